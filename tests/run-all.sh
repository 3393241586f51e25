#!/usr/bin/env bash
# Runs every test of the project from a fresh clone, setting up what it needs beyond cargo. Prints the seconds of each part.
set -euo pipefail
cd "$(dirname "$0")/.."
command -v cargo >/dev/null || { echo "cargo is missing: install a Rust toolchain first"; exit 1; }

seconds=""
part() {
    local began=$SECONDS status=0
    "${@:2}" || status=$?
    seconds+=$(printf '%6s s  %s' $((SECONDS - began)) "$1")$'\n'
    return $status
}
fetched=$(mktemp)
trap 'kill $(jobs -p) 2>/dev/null || true; rm -f "$fetched"; printf "%s%6s s  in all\n" "$seconds" "$SECONDS"' EXIT

# What the outside checks need comes over the network while the compiler has the processor. What fails here is tried again by
# the check that needs it, and told there.
{ bash tests/outside/chromium/check.sh --fetch; bash tests/outside/setup.sh; } >"$fetched" 2>&1 &
part "cargo test" cargo test --locked
part "fetching that was not done by then" wait $! || cat "$fetched"
part "tests/outside/python.sh" bash tests/outside/python.sh
part "tests/outside/chromium/check.sh" bash tests/outside/chromium/check.sh
