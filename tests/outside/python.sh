#!/bin/sh
# Makes every job of this folder with the release binary and holds the files against unrelated Python packages.
#   tests/outside/python.sh              sets up what is missing, builds, makes, checks, spoils copies and checks those
#   tests/outside/python.sh --self-test  shows only what the spoilt copies did; the count is of all checks
# One line a check, a last line `N passed, N failed`; ends with 1 if one failed.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../.." && pwd)
cd "$root"

"$here/setup.sh"
cargo build --release --quiet
seatcut="${CARGO_TARGET_DIR:-$root/target}/release/seatcut"
python="$root/target/outside-venv/bin/python"

made=$(mktemp -d)
trap 'rm -rf "$made"' EXIT INT TERM
mkdir "$made/sets" "$made/tmp"
log="$made/log"
: > "$log"

for job in "$here"/jobs/*.toml; do
    name=$(basename "$job" .toml)
    for version in r12 r2000; do
        if "$seatcut" make "$job" -o "$made/sets/$name/$version" --dxf "$version" >"$made/said" 2>&1; then
            echo "ok   make: $name $version"
        else
            echo "FAIL make: $name $version: exit $?: $(tail -n 1 "$made/said")"
        fi
    done
done >> "$log"

for source in ezdxf/check geos/check geos/sets second_parser/check; do
    TMPDIR="$made/tmp" "$python" -B "$here/$source.py" "$made/sets" "$root/output-samples" >"$made/said" 2>&1 || true
    grep '^ok \|^FAIL\|^     ' "$made/said" >> "$log" || true
    # A check that breaks off has no last line of its own and counts as failed.
    if ! tail -n 1 "$made/said" | grep -q ' passed, .* failed$'; then
        echo "FAIL $source broke off: $(tail -n 1 "$made/said")" >> "$log"
    fi
done

# Tasks that come from the test suite itself: no command prints their figures bare.
#   from_tests SOURCE VARIABLE TEST [FILE]   FILE where one file is written and not a folder of them
from_tests() {
    mkdir "$made/$1"
    tasks="$made/$1${4:+/$4}"
    env "$2=$tasks" cargo test --quiet --locked --test it -- --ignored "$3" >"$made/said" 2>&1 || cat "$made/said"
    "$python" -B "$here/$1/check.py" "$tasks" >"$made/said" 2>&1 || true
    grep '^ok \|^FAIL\|^     ' "$made/said" >> "$log" || true
    if ! tail -n 1 "$made/said" | grep -q ' passed, .* failed$'; then
        echo "FAIL $1 broke off: $(tail -n 1 "$made/said")" >> "$log"
    fi
}
from_tests exact_tour SEATCUT_TOURS tours_for_the_exact_solver_are_written
from_tests scipy SEATCUT_SCHEDULES shim_schedules
from_tests pynite SEATCUT_BEAMS beams_are_written beams.json

if ! command -v pdftoppm >/dev/null; then
    { apt-get update && apt-get install -y poppler-utils; } >"$made/said" 2>&1 || cat "$made/said"
fi
"$python" -B "$here/poppler/check.py" "$seatcut" output-samples/bushing-pattern/job.toml >"$made/said" 2>&1 || true
grep '^ok \|^FAIL' "$made/said" >> "$log" || true
if ! tail -n 1 "$made/said" | grep -q ' passed, .* failed$'; then
    echo "FAIL poppler broke off: $(tail -n 1 "$made/said")" >> "$log"
fi

# A first look with the searches of tests/fuzz; DEVELOPERS.md has the long runs.
look() {
    if "$python" -B "$root/tests/fuzz/$@" >"$made/said" 2>&1; then
        echo "ok   $1: $(tail -n 1 "$made/said")" >> "$log"
    else
        { sed 's/^/     /' "$made/said"; echo "FAIL $1: $(tail -n 1 "$made/said")"; } >> "$log"
    fi
}
look mutants.py "$seatcut" 330
look hanging.py "$seatcut" 8

if [ "${1:-}" = "--self-test" ]; then
    grep 'self-test\|^FAIL' "$log" || true
else
    cat "$log"
fi
passed=$(grep -c '^ok ' "$log" || true)
failed=$(grep -c '^FAIL' "$log" || true)
echo "$passed passed, $failed failed"
[ "$failed" = 0 ]
