"""Puts random, invented jobs to the command: each is made and proven (exit 0), its input refused (3), it is refused with
reasons (4), or has warnings under `--deny-warnings` (5). Nothing is half-written, nothing panics, nothing takes for ever.

Usage: tests/fuzz/random_jobs.py PROGRAM [COUNT [SEED]]; ends with 1 if any job ended otherwise, and prints that job.
`DRAWINGS=FOLDER` keeps the drawings of all that was made there, for `tests/outside/chromium/words.mjs`.
"""

import collections
import json
import os
import random
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import texts

# A run longer than this is a fault of its own; the longest seen beside other work took a fraction of it.
LONGEST_S = 120


class Case:
    """Files to write, commands to run on them, and where each may leave a set."""

    def __init__(self, kind):
        self.kind, self.files, self.runs = kind, {}, []


def make_run(pick, inputs):
    """A command that makes a set."""
    effort = ["--effort", str(pick.choice([0, 0, 1, 1, 2, 3]))] if pick.random() < 0.5 else []
    deny = ["--deny-warnings"] if pick.random() < 0.1 else []
    return ["make", *inputs, "-o", "out", *effort, *deny, *pick.choice([[], [], ["--dxf", "r12"]])]


def one_job(pick, rules):
    """One job through `make`: several pieces, shifts, splits, boards."""
    case = Case("make")
    risers = pick.choice([pick.randint(1, 9), pick.randint(3, 6), pick.randint(8, 18)])
    text, _, _ = texts.stair(pick, rules, "Invented random stair", risers)
    text += texts.cut(pick) + (texts.boards(pick) if pick.random() < 0.4 else "")
    case.files["job.toml"] = text
    case.runs.append(make_run(pick, ["job.toml"]))
    return case


def order(pick, rules):
    """Two or three jobs together, by an order file or by name."""
    case = Case("order")
    machine, material, held = pick.choice(texts.MACHINES), pick.choice(texts.MATERIALS), texts.clamps(pick)
    names = []
    for number in range(pick.randint(2, 3)):
        shared = (machine, material if pick.random() < 0.75 else pick.choice(texts.MATERIALS), held)
        title = f"Invented random stair {number if pick.random() < 0.95 else 0}"
        text, _, _ = texts.stair(pick, rules, title, pick.randint(1, 8))
        names.append(f"job-{number}.toml")
        case.files[names[-1]] = text + texts.cut(pick, shared)
    if pick.random() < 0.6:
        lines = [f'[[job]]\nfile = "{name}"\ncount = {pick.choice([1, 1, 2, pick.randint(1, 5)])}\n' for name in names]
        case.files["order.toml"] = "".join(lines)
        names = ["order.toml"]
    case.runs.append(make_run(pick, names))
    return case


def site(pick, rules):
    """Tables about the site, loads, moisture and the flight as built, through `solve`, `make` and `fit`."""
    case = Case("site")
    falling = pick.random() < 0.4
    rules = pick.choice([rules, rules, "us-irc-2021", "uk-private"])
    text, total, risers = texts.stair(pick, rules, "Invented random stair", pick.randint(2, 12), not falling)
    text = text.replace("[board]\n", pick.choice(["[board]\n", '[board]\nspecies = "southern-pine"\ngrade = "no2"\n', '[board]\nspecies = "hem-fir"\ngrade = "no2"\nwet = true\nincised = true\n']))
    text += texts.cut(pick) + texts.surroundings(pick, total, falling)
    measured = texts.built(pick, total, risers)
    inside = pick.random() < 0.5
    case.files["job.toml"] = text + (measured if inside else "")
    case.files["built.toml"] = measured
    case.runs += [["solve", "job.toml", *pick.choice([[], ["--json"]])], make_run(pick, ["job.toml"])]
    case.runs.append(["fit", "job.toml", *([] if inside else ["built.toml"]), *pick.choice([[], ["--json"]])])
    return case


def faults(run, code, said, out):
    """What is wrong with the end of a run."""
    found = []
    if code not in (0, 3, 4) and not (code == 5 and "--deny-warnings" in run):
        found.append(f"exit {code}")
    if "panicked" in said:
        found.append("a panic")
    if code != 0 and out.exists():
        found.append("something was written although it did not end with 0")
    if code == 0 and run[0] == "make":
        found += unfinished(out)
    return found


def unfinished(out):
    """Files that a set's report lists and that are not there, or there and not listed."""
    report = json.loads((out / "report.json").read_text())
    listed = {file["name"] for file in report["files"]} | {"report.json"}
    there = {path.name for path in out.iterdir()}
    programs = report.get("programs", []) or [None]
    return [f"files listed and there differ: {sorted(listed ^ there)}"] * (listed != there) + ["no program"] * (not programs)


def main():
    program = Path(sys.argv[1]).resolve()
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 300
    pick = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    ends, odd, seen = collections.Counter(), 0, 0
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / "rules.toml").write_text('kind = "rules"\nabout = "no limits, invented"\naim = "7 in"\n')
        for _ in range(count):
            case = pick.choice([one_job, one_job, order, site])(pick, "rules.toml")
            for name, text in case.files.items():
                (folder / name).write_text(text)
            for run in case.runs:
                shutil.rmtree(folder / "out", ignore_errors=True)
                code, said = ended(program, run, folder)
                seen += 1
                ends[case.kind if run[0] == "make" else run[0], code] += 1
                keep(folder, seen)
                found = faults(run, code, said, folder / "out")
                if found:
                    odd += 1
                    show(case, run, found, said)
    print(", ".join(f"{kind} exit {code}: {number}" for (kind, code), number in sorted(ends.items(), key=str)))
    print(f"{seen - odd} passed, {odd} failed")
    return odd > 0


def keep(folder, number):
    """The drawings of what was made, each under its number, with the jobs that it was made of."""
    drawings = list((folder / "out").rglob("*.svg")) if os.environ.get("DRAWINGS") else []
    for drawing in drawings:
        to = Path(os.environ["DRAWINGS"]) / str(number)
        to.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(drawing, to / "-".join(drawing.relative_to(folder / "out").parts))
    for job in folder.glob("*.toml") if drawings else []:
        shutil.copyfile(job, Path(os.environ["DRAWINGS"]) / str(number) / job.name)


def ended(program, run, folder):
    """How a run ended, and what it said."""
    try:
        done = subprocess.run([program, *run], cwd=folder, capture_output=True, text=True, timeout=LONGEST_S)
    except subprocess.TimeoutExpired:
        return "never", f"still running after {LONGEST_S} s"
    return done.returncode, done.stderr


def show(case, run, found, said):
    print(f"---- {' '.join(run)}: {'; '.join(found)}")
    for name, text in case.files.items():
        print(f"-- {name}", text, sep="\n")
    print("-- it said", said, sep="\n", flush=True)


if __name__ == "__main__":
    sys.exit(main())
