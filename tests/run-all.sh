#!/usr/bin/env bash
# Runs every test of the project from a fresh clone, setting up what it needs beyond cargo. Says first what is there, what will
# be installed and what is left out, and last the seconds of each part. ALL=1: what would be left out is an error.
set -euo pipefail
cd "$(dirname "$0")/.."

has() { command -v "$1" >/dev/null; }
can_install() { [ "$(id -u)" = 0 ] && has apt-get; }
left_out=""
# state NAME WHAT-FOR COMMAND: whether it is there or can be; else what it is for is left out.
state() {
    local name=$1 what=$2
    if "${@:3}"; then
        printf '  %-10s here\n' "$name"
    elif can_install; then
        printf '  %-10s will be installed, for %s\n' "$name" "$what"
    else
        printf '  %-10s MISSING: %s left out\n' "$name" "$what"
        left_out+="  $what: $name is missing"$'\n'
        return 1
    fi
}
chromium_is_here() { [ -x "${CHROMIUM:-/usr/bin/chromium}" ]; }
python=yes browser=yes
echo "What the tests need:"
printf '  %-10s ' Rust
if ! has cargo; then
    echo "MISSING: nothing can be tested; install a toolchain, 1.89 or later, first"
    exit 1
fi
cargo --version
state Python "checks against unrelated programs" has python3 || python=no
state poppler "checks of printed pages" has pdftoppm || true
state Node "pages in a browser" has npm || browser=no
state Chromium "pages in a browser" chromium_is_here || browser=no
if [ -n "$left_out" ] && [ -n "${ALL:-}" ]; then
    echo "Asked for all of it: nothing was run."
    exit 1
fi

seconds=""
part() {
    local began=$SECONDS status=0
    "${@:2}" || status=$?
    seconds+=$(printf '%6s s  %s' $((SECONDS - began)) "$1")$'\n'
    return $status
}
fetched=$(mktemp)
summary() {
    kill $(jobs -p) 2>/dev/null || true
    rm -f "$fetched" ${shown:+"$shown" "$shown.seconds"}
    printf '%s%6s s  in all\n' "$seconds" "$SECONDS"
    if [ -n "$left_out" ]; then printf 'LEFT OUT\n%s' "$left_out"; fi
}
trap summary EXIT

# What the outside checks need comes over the network while the compiler has the processor. What fails here is tried again by
# the check that needs it, and told there.
fetch() {
    if [ $browser = yes ]; then bash tests/outside/chromium/check.sh --fetch; fi
    if [ $python = yes ]; then bash tests/outside/setup.sh; fi
}
fetch >"$fetched" 2>&1 &
part "cargo test" cargo test --locked
part "fetching that was not done by then" wait $! || cat "$fetched"
# The browser waits more than it works: beside the other checks, which give way to it, it takes no time of its own. What it says is
# shown when it is done.
shown=$(mktemp)
checks_pages() {
    local began=$SECONDS status=0
    bash tests/outside/chromium/check.sh >"$shown" 2>&1 || status=$?
    echo "$((SECONDS - began))" >"$shown.seconds"
    return $status
}
# The command that the tests were built with is the one that is looked at: without what only tests ask of the library it would be
# built a second time, all of it.
export SEATCUT="$(cd "${CARGO_TARGET_DIR:-target}" && pwd)/debug/seatcut"
if [ $browser = yes ]; then checks_pages & pages=$!; fi
failed=0
if [ $python = yes ]; then part "tests/outside/python.sh" nice -n 15 bash tests/outside/python.sh || failed=1; fi
if [ $browser = yes ]; then
    wait $pages || failed=1
    cat "$shown"
    seconds+=$(printf '%6s s  %s, beside it' "$(cat "$shown.seconds")" tests/outside/chromium/check.sh)$'\n'
fi
[ $failed = 0 ]
