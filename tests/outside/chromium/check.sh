#!/usr/bin/env bash
# Loads bench.html of several jobs in a real browser from a file:// address. Screenshots go to $1, or to a temporary folder.
#   check.sh --fetch   fetches what is missing and checks nothing
# SEATCUT=FILE takes that build of the command and builds none.
set -euo pipefail
cd "$(dirname "$0")/../../.."
here=tests/outside/chromium
browser=${CHROMIUM:-/usr/bin/chromium}
if [ ! -x "$browser" ]; then
    [ "$(id -u)" = 0 ] || { echo "Chromium is missing: apt-get install chromium, or set CHROMIUM to a browser"; exit 1; }
    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium >/dev/null
fi
if ! command -v npm >/dev/null; then
    [ "$(id -u)" = 0 ] || { echo "npm is missing: install Node.js 18 or later"; exit 1; }
    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq nodejs npm >/dev/null
fi
target=$(mkdir -p "${CARGO_TARGET_DIR:-target}" && cd "${CARGO_TARGET_DIR:-target}" && pwd)
mkdir -p "$target/chromium"
cp $here/check.mjs $here/draft.mjs $here/words.mjs "$target/chromium/"
if ! cmp -s $here/package-lock.json "$target/chromium/fetched.json"; then
    cp $here/package.json $here/package-lock.json "$target/chromium/"
    npm ci --prefix "$target/chromium" --ignore-scripts --no-audit --no-fund --silent
    cp $here/package-lock.json "$target/chromium/fetched.json"
fi
if [ "${1:-}" = "--fetch" ]; then exit 0; fi
shots=${1:-$(mktemp -d)}
mkdir -p "$shots"
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
if [ -z "${SEATCUT:-}" ]; then cargo build --locked --quiet; fi
seatcut=${SEATCUT:-$target/debug/seatcut}
for job in output-samples/*/job.toml $here/long/job.toml; do
    name=$(basename "$(dirname "$job")")
    (cd "$(dirname "$job")" && "$seatcut" make job.toml -o "$work/$name" >/dev/null)
done
CHROMIUM=$browser node "$target/chromium/check.mjs" "$work" "$shots"
CHROMIUM=$browser node "$target/chromium/draft.mjs" "$seatcut" "$shots"
# Words over words or lines, in all drawings of these and of more stairs; DEVELOPERS.md has the long run.
if command -v python3 >/dev/null; then
    python3 $here/stairs.py "$seatcut" "$work/drawn" 12
else
    echo "Python is missing: the drawings of no more stairs were measured"
fi
CHROMIUM=$browser node "$target/chromium/words.mjs" "$work"
