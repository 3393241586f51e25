#!/usr/bin/env bash
# Runs every test of the project from a fresh clone, setting up what it needs beyond cargo.
set -euo pipefail
cd "$(dirname "$0")/.."
command -v cargo >/dev/null || { echo "cargo is missing: install a Rust toolchain first"; exit 1; }
cargo test --locked
bash tests/outside/python.sh
bash tests/outside/chromium/check.sh
