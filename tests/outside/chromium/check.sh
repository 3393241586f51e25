#!/usr/bin/env bash
# Loads bench.html of several jobs in a real browser from a file:// address. Screenshots go to $1, or to a temporary folder.
set -euo pipefail
cd "$(dirname "$0")/../../.."
here=tests/outside/chromium
shots=${1:-$(mktemp -d)}
mkdir -p "$shots"
browser=${CHROMIUM:-/usr/bin/chromium}
if [ ! -x "$browser" ]; then
    [ "$(id -u)" = 0 ] || { echo "Chromium is missing: apt-get install chromium, or set CHROMIUM to a browser"; exit 1; }
    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium >/dev/null
fi
command -v npm >/dev/null || { echo "npm is missing: install Node.js 18 or later"; exit 1; }
target=$(mkdir -p "${CARGO_TARGET_DIR:-target}" && cd "${CARGO_TARGET_DIR:-target}" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cargo build --locked --quiet
mkdir -p "$target/chromium"
cp $here/package.json $here/package-lock.json $here/check.mjs "$target/chromium/"
npm ci --prefix "$target/chromium" --ignore-scripts --no-audit --no-fund --silent
for job in output-samples/*/job.toml $here/long/job.toml; do
    name=$(basename "$(dirname "$job")")
    (cd "$(dirname "$job")" && "$target/debug/seatcut" make job.toml -o "$work/$name" >/dev/null)
done
CHROMIUM=$browser node "$target/chromium/check.mjs" "$work" "$shots"
