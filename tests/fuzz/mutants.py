"""Changes good programs in ways that mean something, puts each to `verify`, and sweeps what it takes: a program that is
taken and does something else to the wood than the good one is a fault, printed with its differences.

Usage: tests/fuzz/mutants.py PROGRAM [COUNT [SEED]]; ends with 1 if such a program was taken. Ten kinds of job, `jobs/`.
WORKERS: how many at once (2); MOST_SECONDS: stop early; KEEP: a folder for what was taken and should not have been.
"""

import collections
import difflib
import multiprocessing
import os
import random
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import changes
import judge

JOBS = Path(__file__).parent / "jobs"
KINDS = ["pattern", "beam", "board", "sheet", "beam-sheet", "split", "housed", "bed", "shifts", "two-cutters"]
# How many programs one call of the command holds against a job: a sheet is laid out anew for every call.
AT_ONCE = 100
SAID = re.compile(r"^(\S+\.nc): (NOT this job's part|is this job's part|roughs out this job's part)", re.MULTILINE)


def made(program, folder):
    """Every kind's programs, made by the command: (kind, file name, folder)."""
    found = []
    for kind in KINDS:
        out = folder / "made" / kind
        subprocess.run([program, "make", f"{kind}.toml", "-o", str(out)], cwd=JOBS, check=True, capture_output=True)
        found += [(kind, path.name, out) for path in sorted(out.glob("program*.nc"))]
    return found


def taken(program, kind, files, others):
    """Which of the files the command takes for the job's part; a call that breaks off is made again in halves. A set-up's
    program is taken only with the `others`, so each is a call of its own."""
    if others and len(files) > 1:
        each = [taken(program, kind, [file], others) for file in files]
        return {k: v for verdicts, _ in each for k, v in verdicts.items()}, [b for _, broken in each for b in broken]
    run = subprocess.run([program, "verify", f"{kind}.toml", *map(str, [*files, *others])], cwd=JOBS, capture_output=True, text=True)
    if run.returncode not in (0, 6) or "panicked" in run.stderr:
        if len(files) == 1:
            return {}, [f"exit {run.returncode}: {run.stderr.strip().splitlines()[-1:]}"]
        halves = [taken(program, kind, half, others) for half in (files[:len(files) // 2], files[len(files) // 2:])]
        return halves[0][0] | halves[1][0], halves[0][1] + halves[1][1]
    said = dict(SAID.findall(run.stdout))
    return {file: said.get(str(file), "").startswith(("is", "roughs")) for file in files}, []


GOOD = {}


def task(arguments):
    """One batch of changed programs of one good one: counts, and what was taken and should not have been."""
    program, kind, file, folder, seed, count = arguments
    good = GOOD.setdefault((kind, file), None) or judge.Good(folder, file)
    GOOD[kind, file] = good
    pick, tally, odd = random.Random(f"{kind} {file} {seed}"), collections.Counter(), []
    with tempfile.TemporaryDirectory() as scratch:
        tried = {}
        for number in range(count):
            text, by = changes.changed(pick, good.text, good.beam)
            named = pick.random() < 0.6
            path = Path(scratch, f"{number}.nc")
            tried[path] = (text if named else judge.bare(text), by, named)
            path.write_text(tried[path][0])
        verdicts, broken = taken(program, kind, list(tried), good.other_files)
        odd += [(kind, file, "", False, [("hard", "broke-off", what)], "") for what in broken]
        for path, is_taken in verdicts.items():
            text, by, named = tried[path]
            tally["tried"] += 1
            if not is_taken:
                continue
            tally["taken"] += 1
            found = judge.faults(good, text)
            for severity, code, _ in found:
                tally[f"{severity} {code}"] += 1
            if found:
                odd.append((kind, file, by, named, found, text))
    return kind, tally, odd


def differences(good, text):
    lines = [line for line in difflib.unified_diff(good.splitlines(), text.splitlines(), n=0, lineterm="") if not line.startswith(("---", "+++"))]
    return lines[:14] + ([f"... {len(lines) - 14} more"] if len(lines) > 14 else [])


def show(odd, folder_of, keep):
    """One entry: what was done, what it does, how the files differ."""
    kind, file, by, named, found, text = odd
    said = "; ".join(f"{severity} {code} {where}" for severity, code, where in found)
    print(f"{kind}/{file} {'with' if named else 'without'} fingerprint, by {by}: {said}")
    if text and any(severity == "hard" for severity, *_ in found):
        print("\n".join(f"    {line}" for line in differences((folder_of[kind, file] / file).read_text(), text)))
        if keep:
            Path(keep).mkdir(exist_ok=True)
            number = len(list(Path(keep).iterdir()))
            Path(keep, f"{kind}-{found[0][1]}-{number}.nc").write_text(text)


def main():
    program, count, seed = str(Path(sys.argv[1]).resolve()), 2000, 1
    if len(sys.argv) > 2:
        count = int(sys.argv[2])
    if len(sys.argv) > 3:
        seed = int(sys.argv[3])
    started, tally, by_kind, hard = time.monotonic(), collections.Counter(), collections.defaultdict(collections.Counter), 0
    with tempfile.TemporaryDirectory() as scratch:
        programs = made(program, Path(scratch))
        folder_of = {(kind, file): folder for kind, file, folder in programs}
        each = -(-count // len(programs))
        tasks = [
            (program, kind, file, folder, f"{seed} {start}", min(AT_ONCE, each - start))
            for start in range(0, each, AT_ONCE) for kind, file, folder in programs
        ]
        until = started + float(os.environ.get("MOST_SECONDS", "inf"))
        with multiprocessing.Pool(int(os.environ.get("WORKERS", "2"))) as pool:
            for kind, counted, odds in pool.imap_unordered(task, tasks):
                tally += counted
                by_kind[kind] += counted
                for odd in odds:
                    hard += any(severity == "hard" for severity, *_ in odd[4])
                    show(odd, folder_of, os.environ.get("KEEP"))
                print(f"{tally['tried']} tried, {tally['taken']} taken", file=sys.stderr, flush=True)
                sys.stdout.flush()
                if time.monotonic() > until:
                    break
    for kind in KINDS:
        print(f"{kind}: {dict(sorted(by_kind[kind].items()))}")
    print(f"{tally['tried']} tried, {tally['taken']} taken, {hard} of them do something else, in {time.monotonic() - started:.0f} s")
    sys.exit(1 if hard else 0)


if __name__ == "__main__":
    main()
