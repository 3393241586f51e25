#!/usr/bin/env bash
# Makes every job of this folder with the command that the tests are built with, and holds the files against unrelated
# Python packages, as many checks at a time as there are cores.
#   tests/outside/python.sh              sets up what is missing, builds, makes, checks, spoils copies and checks those
#   tests/outside/python.sh --self-test  shows only what the spoilt copies did; the count is of all checks
# One line a check, then the seconds of each part, a last line `N passed, N failed`; ends with 1 if one failed.
# SEATCUT=FILE takes that build of the command and builds none.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
cd "$root"

"$here/setup.sh"
# The tests' own build serves: it is optimised a little, and a build of its own would take longer than it saves.
if [ -z "${SEATCUT:-}" ]; then cargo build --locked --quiet; fi
target=$(mkdir -p "${CARGO_TARGET_DIR:-target}" && cd "${CARGO_TARGET_DIR:-target}" && pwd)
seatcut=${SEATCUT:-$target/debug/seatcut}
python="$root/target/outside-venv/bin/python"
lanes=${LANES:-$(nproc)}

made=$(mktemp -d)
trap 'rm -rf "$made"' EXIT
trap 'kill $(jobs -p) 2>/dev/null || true; exit 1' INT TERM
mkdir "$made/sets" "$made/tmp" "$made/logs" "$made/seconds"
export TMPDIR="$made/tmp"

# Runs one part beside the others: part NAME FUNCTION [ARGUMENT...]. What it says goes to a log of its own; the logs are shown
# in the order the parts were begun.
begun=()
part() {
    local name=$1 began
    shift
    while [ "$(jobs -rp | wc -l)" -ge "$lanes" ]; do wait -n || true; done
    begun+=("$name")
    (
        began=$SECONDS
        # A part that breaks off has said less than all, and nothing else would tell.
        "$@" >"$made/logs/$name" 2>"$made/logs/$name.err" ||
            echo "FAIL $name broke off: $(tail -n 1 "$made/logs/$name.err")" >>"$made/logs/$name"
        echo $((SECONDS - began)) >"$made/seconds/$name"
    ) &
}

make_sets() {
    local job name version
    for job in "$@"; do
        name=$(basename "$job" .toml)
        for version in r12 r2000; do
            if "$seatcut" make "$job" -o "$made/sets/$name/$version" --dxf "$version" >"$made/said-$name" 2>&1; then
                echo "ok   make: $name $version"
            else
                echo "FAIL make: $name $version: exit $?: $(tail -n 1 "$made/said-$name")"
            fi
        done
    done
}

# The lines of a check in Python: checked NAME SCRIPT [ARGUMENT...]
checked() {
    local name=$1 said="$made/said-${1//\//-}"
    shift
    "$python" -B "$@" >"$said" 2>&1 || true
    grep '^ok \|^FAIL\|^     ' "$said" || true
    # A check that breaks off has no last line of its own and counts as failed.
    if ! tail -n 1 "$said" | grep -q ' passed, .* failed$'; then
        echo "FAIL $name broke off: $(tail -n 1 "$said")"
    fi
}

# Tasks that come from the test suite itself: no command prints their figures bare.
#   from_tests SOURCE VARIABLE TEST [FILE]   FILE where one file is written and not a folder of them
from_tests() {
    local tasks="$made/$1${4:+/$4}"
    mkdir "$made/$1"
    env "$2=$tasks" cargo test --quiet --locked --test it -- --ignored "$3" >"$made/said-$1-tasks" 2>&1 ||
        cat "$made/said-$1-tasks"
    checked "$1" "$here/$1/check.py" "$tasks"
}

poppler() {
    if ! command -v pdftoppm >/dev/null && [ "$(id -u)" != 0 ]; then
        echo "     poppler is missing: install poppler-utils; its checks were left out"
        return
    fi
    if ! command -v pdftoppm >/dev/null; then
        { apt-get update && apt-get install -y poppler-utils; } >"$made/said-apt" 2>&1 || cat "$made/said-apt"
    fi
    checked poppler "$here/poppler/check.py" "$seatcut" output-samples/bushing-pattern/job.toml
}

# A first look with the searches of tests/fuzz; DEVELOPERS.md has the long runs.
look() {
    local said="$made/said-$1"
    if "$python" -B "$root/tests/fuzz/$1" "${@:2}" >"$said" 2>&1; then
        echo "ok   $1: $(tail -n 1 "$said")"
    else
        sed 's/^/     /' "$said"
        echo "FAIL $1: $(tail -n 1 "$said")"
    fi
}

# The longest are begun first. What reads the sets waits until all of them are made.
part mutants look mutants.py "$seatcut" 60
part sets make_sets "$here"/jobs/*.toml
sets=$!
part hanging look hanging.py "$seatcut" 5
wait "$sets" || true
for source in geos/sets geos/check ezdxf/check second_parser/check; do
    part "${source/\//-}" checked "$source" "$here/$source.py" "$made/sets" "$root/output-samples"
done
part flights checked flights "$here/flights/check.py" "$seatcut" 40
part flights_made checked flights/made "$here/flights/made.py" "$seatcut" 12
part landings checked landings "$here/landings/check.py" "$seatcut" 25
part packer checked packer "$here/packer/check.py" "$seatcut"
part boards_exact checked boards_exact "$here/boards_exact/check.py" "$seatcut" 10
part cleats checked cleats "$here/cleats/check.py" "$seatcut" 30
part steps checked steps "$here/steps/check.py" "$seatcut" 40
part exact_tour from_tests exact_tour SEATCUT_TOURS tours_for_the_exact_solver_are_written
part scipy from_tests scipy SEATCUT_SCHEDULES shim_schedules
part pynite from_tests pynite SEATCUT_BEAMS beams_are_written beams.json
part scikit_fem from_tests scikit_fem SEATCUT_STRINGERS stringers_are_written stringers.json
part trapezoid_time checked trapezoid_time "$here/trapezoid_time/check.py" "$seatcut"
part poppler poppler
wait || true

log="$made/log"
for name in "${begun[@]}"; do cat "$made/logs/$name"; done >"$log"
if [ "${1:-}" = "--self-test" ]; then
    grep 'self-test\|^FAIL' "$log" || true
else
    cat "$log"
fi
for name in "${begun[@]}"; do printf '     %5s s  %s\n' "$(cat "$made/seconds/$name")" "$name"; done
passed=$(grep -c '^ok ' "$log" || true)
failed=$(grep -c '^FAIL' "$log" || true)
echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
