"""Puts small mistakes into the program, one at a time, and runs the tests that reach each: a mistake that no test notices
is printed. All of them are compiled at once, each behind a number (`mutation/`), so that one costs a run, not a build.

Usage: tests/fuzz/mutation.py [SHARE [SEED]]: tries that share (default 0.25) of the mistakes in the modules below.
`NUMBERS="3 17"` tries these alone, `ROOMS="check verify"` those of these modules. Works in target/mutants; what is known of an unchanged tree is kept there.
"""

import collections
import json
import os
import random
import shutil
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
WORK = ROOT / "target" / "mutants"
TREE = WORK / "tree"
MODULES = ["model/stair", "cam/compensate", "cam/plan", "check", "site/beam", "verify"]
# The crates that these are in, each with the switch of its own.
CRATES = ["src", "src/model", "src/verify"]
# A mistaken loop may take all memory there is: each run gets this much, in KiB.
MOST_KIB = 3_000_000
ENVIRONMENT = dict(os.environ, CARGO_TARGET_DIR=str(WORK / "target"), RUSTFLAGS="-Awarnings", CARGO_PROFILE_DEV_DEBUG="0", CARGO_INCREMENTAL="0", PROPTEST_CASES="16")


def fresh_tree(tool, skip):
    """A copy of the sources with every mistake in it that is not skipped; the list of them."""
    TREE.mkdir(parents=True, exist_ok=True)
    files = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\n")
    for name in filter(None, files):
        source, target = ROOT / name, TREE / name
        if source.exists():
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(source, target)
    for folder in CRATES:
        # The switch itself is no place for a mistake: it would ask itself, without end.
        (TREE / folder / "mutant.rs").unlink(missing_ok=True)
        library = TREE / folder / "lib.rs"
        library.write_text(library.read_text() + "\nmod mutant;\n")
    (WORK / "skip").write_text("\n".join(map(str, sorted(skip))))
    folders = [f"src/{name}" for name in MODULES]
    listed = subprocess.run([tool, WORK / "skip", *folders], cwd=TREE, capture_output=True, text=True, check=True).stdout
    for folder in CRATES:
        shutil.copyfile(ROOT / "tests/fuzz/mutation/mutant.rs", TREE / folder / "mutant.rs")
    rows = [line.split("\t") for line in listed.splitlines()]
    return {int(r[0]): {"file": r[1], "line": int(r[2]), "span": (int(r[3]), int(r[4])), "what": r[5]} for r in rows}


def cargo(*arguments):
    run = subprocess.run(["cargo", *arguments, "--message-format=json"], cwd=TREE, env=ENVIRONMENT, capture_output=True, text=True)
    return [json.loads(line) for line in run.stdout.splitlines() if line.startswith("{")], run


def blamed(messages, mistakes):
    """The mistakes in whose text a compiler's error lies."""
    found = set()
    for message in messages:
        inner = message.get("message") or {}
        if message.get("reason") != "compiler-message" or inner.get("level") != "error":
            continue
        for span in inner["spans"]:
            at = (span["byte_start"], span["byte_end"])
            found |= {n for n, m in mistakes.items() if m["file"] == span["file_name"] and m["span"][0] <= at[1] and at[0] <= m["span"][1]}
    return found


def compiled(tool):
    """Leaves out what does not compile, builds the tests: mistakes, and the test programs."""
    skip = set()
    # What a check takes, a build may still refuse: arithmetic on constants that overflows.
    for build in (["check", "--lib"], ["test", "--no-run", "--lib", "--test", "it"]):
        while True:
            mistakes = fresh_tree(tool, skip)
            messages, run = cargo(*build)
            if run.returncode == 0:
                break
            bad = blamed(messages, mistakes)
            if not bad:
                sys.exit(f"does not compile, and no mistake is to blame:\n{run.stderr[-3000:]}")
            skip |= bad
            print(f"{len(bad)} of {len(mistakes)} do not compile and are left out", flush=True)
    programs = [m["executable"] for m in messages if m.get("executable") and m.get("profile", {}).get("test")]
    if not programs:
        sys.exit(f"no test was built:\n{run.stderr[-3000:]}")
    return mistakes, programs


def limited(program, tests, seconds, **more):
    """Whether the tests pass; not passing, hanging and taking too much memory are all the same."""
    names = ["--exact", *tests, "--test-threads", "1", "-q"]
    line = ["sh", "-c", f'ulimit -v {MOST_KIB}; exec "$@"', "sh", program, *names]
    try:
        run = subprocess.run(line, cwd=TREE, env=ENVIRONMENT | more, timeout=seconds, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    except subprocess.TimeoutExpired:
        return False
    return run.returncode == 0


def reached_by(program, test):
    """Which mistakes a test reaches, and how long it takes; `None` if it fails as it is."""
    trace = WORK / "traces" / f"{hash((program, test))}"
    trace.unlink(missing_ok=True)
    started = time.monotonic()
    if not limited(program, [test], 120, MUTANT_TRACE=str(trace)):
        return None
    seconds = time.monotonic() - started
    numbers = set(map(int, trace.read_text().split())) if trace.exists() else set()
    trace.unlink(missing_ok=True)
    return seconds, numbers


def coverage(programs, workers):
    """For every mistake the tests that reach it, quickest first."""
    (WORK / "traces").mkdir(exist_ok=True)
    tests = []
    for program in programs:
        listed = subprocess.run([program, "--list", "--format", "terse"], cwd=TREE, env=ENVIRONMENT, capture_output=True, text=True).stdout
        ignored = subprocess.run([program, "--list", "--format", "terse", "--ignored"], cwd=TREE, env=ENVIRONMENT, capture_output=True, text=True).stdout
        names = {line[:-6] for line in listed.splitlines() if line.endswith(": test")} - {line[:-6] for line in ignored.splitlines()}
        tests += [(program, name) for name in sorted(names)]
    with ThreadPoolExecutor(workers) as pool:
        results = list(pool.map(lambda test: reached_by(*test), tests))
    by_mistake = collections.defaultdict(list)
    for test, result in zip(tests, results):
        if result is None:
            print(f"left out, for it fails as it is: {test[1]}", flush=True)
            continue
        for number in result[1]:
            by_mistake[number].append((result[0], *test))
    return {number: sorted(found) for number, found in by_mistake.items()}


def is_noticed(number, tests):
    """Runs the tests that reach a mistake, a few at a time, until one notices it."""
    at, size = 0, 1
    while at < len(tests):
        some = tests[at:at + size]
        for program in sorted({test[1] for test in some}):
            own = [test for test in some if test[1] == program]
            seconds = 5 + 10 * sum(test[0] for test in own)
            if not limited(program, [test[2] for test in own], seconds, MUTANT=str(number)):
                return True
        at, size = at + size, size * 3
    return False


def main():
    share = float(sys.argv[1]) if len(sys.argv) > 1 else 0.25
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    workers = int(os.environ.get("WORKERS", "1"))
    WORK.mkdir(parents=True, exist_ok=True)
    tool = WORK / "tool/release/mutation"
    subprocess.run(["cargo", "build", "--quiet", "--locked", "--release", "--manifest-path", str(ROOT / "tests/fuzz/mutation/Cargo.toml"), "--target-dir", str(WORK / "tool")], check=True)
    started = time.monotonic()
    mistakes, programs = compiled(str(tool))
    print(f"{len(mistakes)} mistakes compiled in {time.monotonic() - started:.0f} s", flush=True)
    started = time.monotonic()
    tests = coverage(programs, workers)
    print(f"{len(tests)} of them reached by a test, told in {time.monotonic() - started:.0f} s", flush=True)
    chosen = [n for n in sorted(mistakes) if random.Random(f"{seed} {n}").random() < share]
    if os.environ.get("ROOMS"):
        rooms = tuple(f"src/{room}/" for room in os.environ["ROOMS"].split())
        chosen = [n for n in chosen if mistakes[n]["file"].startswith(rooms)]
    if os.environ.get("NUMBERS"):
        chosen = [int(n) for n in os.environ["NUMBERS"].split()]
    started, tally = time.monotonic(), collections.defaultdict(collections.Counter)
    with ThreadPoolExecutor(workers) as pool:
        for number, noticed in pool.map(lambda n: (n, is_noticed(n, tests.get(n, []))), chosen):
            end = "noticed" if noticed else "missed" if number in tests else "not reached"
            mistake = mistakes[number]
            tally[str(Path(mistake["file"]).parent)][end] += 1
            if not noticed:
                print(f"{end}\t{number}\t{mistake['file']}:{mistake['line']}\t{mistake['what'][:200]}", flush=True)
    for module, counts in tally.items():
        print(f"{module}: {dict(counts)}")
    whole = sum(tally.values(), collections.Counter())
    print(f"{len(chosen)} of {len(mistakes)} tried in {time.monotonic() - started:.0f} s: {dict(whole)}")


if __name__ == "__main__":
    main()
