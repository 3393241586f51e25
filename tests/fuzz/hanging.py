"""What hangs together on a sheet when all its programs have run, worked out from the programs alone and held against what
the command says: every piece and offcut larger than a coin has to hang on the sheet's edge by its tabs.

Usage: tests/fuzz/hanging.py PROGRAM [COUNT [SEED]]: every sample and COUNT (default 200) random orders of one to three kinds,
spacing left out, 3/8, 1/2, 1/4 in, some with clamps. Ends with 1 where the command takes or makes a sheet with something
loose on it, or reports other parts than there are.
"""

import collections
import json
import os
import random
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import shapely

from judge import clamp_of, is_of_boards, shift_of
from sweep import Unread, below, capsules, parts, read

ROOT = Path(__file__).resolve().parents[2]
MACHINES = ["router-table-large", "router-two-cutters", "router-metric", "router-plain-lines", "router-table-small"]
SPACINGS = [None, "3/8 in", "1/2 in", "1/4 in"]
# What lies on the machine, as measured.
THICKNESS = {"plywood-18": "18 mm", "plywood-12": "12 mm", "hardboard-6": "6 mm"}
# The coin of the README, an inch across: what is smaller may lie loose.
COIN_MM2 = 490.0
# Strands that are thinner than this break into chips (common practice, no source).
STRAND_MM = 1.0
# Wood that holds is a thirty-second of an inch high; a tab's place and a printed depth may be off by this.
LEAST_HIGH_MM, PLAY_MM = 25.4 / 32, 0.015
# How much two sweeps of one sheet may differ in the area of a part: the command's goes by rows half a millimetre high.
SAME_SHARE, SAME_MM2 = 1e-3, 60.0


def left_of(folder, program, before=()):
    """The parts of the stock that stay after a program, and after those `before` it with cutters of their own, at full depth,
    largest first."""
    sheet = shapely.box(0, 0, program["stock"]["length_mm"], program["stock"]["width_mm"])
    taken = shapely.union_all([taken_by(folder, each) for each in [*before, program]])
    return sheet, [p for p in parts(sheet.difference(taken)) if without_strands(p).area > COIN_MM2]


def without_strands(part):
    """A part without what of it is thinner than a strand."""
    return part.buffer(-STRAND_MM / 2).buffer(STRAND_MM / 2)


def taken_by(folder, program):
    """What a program cuts through."""
    stock = program["stock"]
    top = stock["thickness_mm"] if program["z_zero"] == "bed" else 0.0
    shifts = [shift_of(s) for s in program.get("setups_mm", [])] or [(0.0, 0.0)]
    moves = read((folder / program["file"]).read_text(), shifts, top)
    if program["process"] == "laser":
        lit = moves.on & ~moves.rapid & (moves.power >= 0.9 * moves.power.max())
        ways = capsules(moves.xyz[lit][:, [0, 1, 3, 4]], program["cutter_mm"] / 2)
    else:
        # Wood that is lower than that holds nothing, and is taken for cut.
        least = min(LEAST_HIGH_MM, stock["thickness_mm"] / 4) - PLAY_MM
        ways = capsules(below(moves, -stock["thickness_mm"] + least)[0], program["cutter_mm"] / 2)
    return shapely.union_all(ways)


def loose_of(sheet, left, clamps):
    """What hangs on nothing: on no clamp where there are clamps, else not on the sheet's edge."""
    held = shapely.union_all(clamps) if clamps else sheet.exterior
    return [part for part in left if part.distance(held) > 1e-6]


def words_of(part, report):
    """A loose part in words: one of the pieces or an offcut, its size, where it lies."""
    outlines = [job["outline"] for job in report.get("jobs", [report])]
    least = min(shapely.Polygon(outline["vertices_mm"]).area for outline in outlines)
    at = part.representative_point()
    return f"{'a piece' if part.area > 0.8 * least else 'an offcut'} of {part.area:.0f} mm2 at {at.x:.0f}, {at.y:.0f}"


def told(program):
    """What the report says hangs together after a program, where it says so: (area, box) of each part."""
    holding = program.get("holding") or program.get("verified", {}).get("holding")
    if holding is None:
        return None
    found = holding if isinstance(holding, list) else holding.get("components", [])
    return [(part["area_mm2"], tuple(part.get("box_mm") or ())) for part in found if part["area_mm2"] > COIN_MM2]


def differing(left, said):
    """Parts of one list that the other has not."""
    mine, theirs = [(p.area, p.bounds) for p in left], list(said)
    for area, bounds in list(mine):
        same = [one for one in theirs if abs(one[0] - area) < SAME_MM2 + SAME_SHARE * area]
        same = [one for one in same if not one[1] or max(abs(a - b) for a, b in zip(one[1], bounds)) < 0.5]
        if same:
            theirs.remove(same[0])
            mine.remove((area, bounds))
    return [f"{area:.0f} mm2 is there, not told" for area, _ in mine] + [f"{area:.0f} mm2 is told, not there" for area, _ in theirs]


def faults_of(folder):
    """Every program of a set: what is loose, what is told otherwise; and how many programs were looked at."""
    report = json.loads((folder / "report.json").read_text())
    found, programs, rough = [], 0, []
    # Of a set-up alone nobody knows what hangs: the others cut too.
    for program in (p for p in report.get("programs", []) if "set_up" not in p):
        if program["offset_applied"] == "none":
            continue
        sheet, left = left_of(folder, program, rough)
        # What a roughing program leaves is what the next one finds.
        rough = [program] if program.get("leaves_mm") else []
        programs += 1
        run = [s for s in report.get("sheets", []) if program["file"] in s["programs"]]
        clamps = [clamp_of(c) for s in run for c in s["clamps"]]
        # A beam cuts every piece free, and nothing throws it about.
        if program["process"] == "router":
            loose = left[1:] if is_of_boards(report, program) else loose_of(sheet, left, clamps)
            found += [f"{program['file']}: {words_of(part, report)} is loose" for part in loose]
        said = told(program)
        found += [f"{program['file']}: {words}" for words in differing(left, said)] if said is not None else []
    return found, programs


def order(pick):
    """Jobs that share sheets: one to three kinds of stringers, few of each."""
    spacing, machine = pick.choice(SPACINGS), "router-table"
    material = pick.choice(["plywood-18", "plywood-12", "hardboard-6"])
    clamps = ""
    if pick.random() < 0.3:
        x, y = pick.choice([("0 in", f"{pick.randint(2, 40)} in"), (f"{pick.randint(4, 80)} in", "0 in")])
        clamps = f'clamps = [{{ x = "{x}", y = "{y}", length = "4 in", width = "3 in" }}]\n'
    jobs = {}
    for number in range(pick.randint(1, 3)):
        risers = pick.randint(3, 8)
        text = f'title = "Invented order {number}"\nrules = "rules.toml"\n[rise]\ntotal = "{pick.randint(96, 124) * risers}/16 in"\nrisers = {risers}\n'
        text += f'[tread]\ncut = "{pick.randint(150, 176)}/16 in"\noverhang = "1 in"\nthickness = "1 in"\nriser_board = "3/4 in"\n'
        text += f'[head]\nmeets = "one-down"\nfinish = "1 in"\n[board]\nwidth = "11 1/4 in"\nthickness = "{THICKNESS[material]}"\n'
        text += f'[cut]\nmakes = "stringers"\nquantity = {pick.randint(1, 5)}\nmachine = "{machine}"\nmaterial = "{material}"\n'
        text += f'corners = "{pick.choice(["fillet", "bisector", "riser", "tread"])}"\n'
        jobs[f"job-{number}.toml"] = text + (f'spacing = "{spacing}"\n' if spacing else "") + clamps
    if pick.random() < 0.4:
        other = pick.choice(MACHINES)
        jobs = {name: text.replace(f'"{machine}"', f'"{other}"') for name, text in jobs.items()}
    return spacing or "left out", jobs


def one(arguments):
    """One random order through `make`: how it ended, and what is wrong with what was made."""
    program, seed = arguments
    spacing, jobs = order(random.Random(f"hanging {seed}"))
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / "rules.toml").write_text('kind = "rules"\nabout = "no limits, invented"\naim = "7 in"\n')
        for name, text in jobs.items():
            (folder / name).write_text(text)
        run = subprocess.run([program, "make", *jobs, "-o", "out", "--effort", "0"], cwd=folder, capture_output=True, text=True)
        if run.returncode:
            last = (run.stderr.strip().splitlines() or [""])[0]
            return seed, spacing, f"exit {run.returncode}", [last] if run.returncode not in (3, 4) else [], 0
        try:
            found, programs = faults_of(folder / "out")
        except Unread:
            # Words of a machine that the sweep knows nothing of.
            return seed, spacing, "made, not swept", [], 0
    return seed, spacing, "made", found, programs


def main():
    program = str(Path(sys.argv[1]).resolve())
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    started, wrong, seen = time.monotonic(), 0, collections.Counter()
    for report in sorted((ROOT / "output-samples").glob("*/report.json")):
        found, programs = faults_of(report.parent)
        seen["sample programs"] += programs
        wrong += bool(found)
        print("\n".join(f"{report.parent.name}: {words}" for words in found), end="\n" if found else "")
    with ThreadPoolExecutor(int(os.environ.get("WORKERS", "2"))) as pool:
        for number, spacing, end, found, programs in pool.map(one, [(program, seed * 100_000 + i) for i in range(count)]):
            seen[f"{spacing}: {end}"] += 1
            seen["programs"] += programs
            wrong += bool(found)
            for words in found:
                print(f"order {number} (spacing {spacing}): {words}", flush=True)
    print(f"{dict(sorted(seen.items()))}, {wrong} with something wrong, in {time.monotonic() - started:.0f} s")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
