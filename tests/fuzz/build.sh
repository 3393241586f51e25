#!/usr/bin/env bash
# Builds the readers under libFuzzer with the stable compiler: coverage counters in all Rust code, no sanitizer. Prints
# the path of what it built. Needs a C++ compiler for libFuzzer itself.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
host=$(rustc -vV | sed -n 's/^host: //p')
# What cargo-fuzz sets, less the sanitizer that needs a nightly compiler. `--target` keeps build scripts out of it.
export RUSTFLAGS="-Cpasses=sancov-module -Cllvm-args=-sanitizer-coverage-level=4
 -Cllvm-args=-sanitizer-coverage-inline-8bit-counters -Cllvm-args=-sanitizer-coverage-pc-table
 -Cllvm-args=-sanitizer-coverage-trace-compares"
RUSTFLAGS=$(echo $RUSTFLAGS)
export CARGO_TARGET_DIR="$here/../../target/fuzz"
cargo build --quiet --locked --release --target "$host" --manifest-path "$here/Cargo.toml" --bin readers
echo "$CARGO_TARGET_DIR/$host/release/readers"
