#!/usr/bin/env bash
# Every reader of the library under libFuzzer: no panic, no overflow, no run over 2 s, no more than 500 MB.
#   tests/fuzz/readers.sh [RUNS [READER...]]   RUNS each (default 100000) of every reader, or of those named
# Begins from what is kept in corpus/, works in target/fuzz/corpus. Prints a line a reader; ends with 1 if one broke.
# The time is the clock's: give TIMEOUT=60 on a machine with other work; runs over 2 s are told in the log all the same.
# KEEP=1 takes the least set of inputs that reaches as much back into corpus/, the smallest first, up to 30 KB a reader.
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
runs=${1:-100000}
shift || true
readers=("$@")
[ ${#readers[@]} -gt 0 ] || readers=(length job stair order built profile drawing program beam)
work="$here/../../target/fuzz"
fuzzer=${FUZZER:-$(bash "$here/build.sh")}
broken=0
for reader in "${readers[@]}"; do
    mkdir -p "$work/corpus/$reader" "$work/crashes" "$here/corpus/$reader"
    export SEATCUT_READER="$reader"
    log="$work/$reader.log"
    started=$(date +%s)
    "$fuzzer" -runs="$runs" -timeout="${TIMEOUT:-2}" -report_slow_units=2 -rss_limit_mb=500 -max_len=8192 -print_final_stats=1 -verbosity=1 \
        -seed="${SEED:-1}" -max_total_time="${SECONDS_EACH:-0}" -dict="$here/words.dict" -artifact_prefix="$work/crashes/$reader-" \
        "$work/corpus/$reader" "$here/corpus/$reader" >"$log" 2>&1 && end=ok || end=BROKEN
    [ "$end" = ok ] || broken=1
    stat() { sed -n "s/^stat::$1: *//p" "$log"; }
    echo "$end $reader: $(stat number_of_executed_units) runs in $(($(date +%s) - started)) s," \
        "slowest $(stat slowest_unit_time_sec) s, $(stat peak_rss_mb) MB at most"
    [ "$end" = ok ] || tail -n 5 "$log"
    if [ -n "${KEEP:-}" ]; then
        rm -rf "$work/least" && mkdir "$work/least"
        "$fuzzer" -merge=1 -timeout=2 "$work/least" "$work/corpus/$reader" "$here/corpus/$reader" >>"$log" 2>&1
        rm -f "$here/corpus/$reader"/[0-9a-f]*[0-9a-f]
        size=0
        for file in $(ls -Sr "$work/least"); do
            size=$((size + $(wc -c <"$work/least/$file")))
            [ "$size" -le 30000 ] || break
            cp "$work/least/$file" "$here/corpus/$reader/${file:0:12}"
        done
    fi
done
exit "$broken"
