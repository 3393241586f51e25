"""Makes random, invented stairs with the command: each is made and proven (exit 0) or refused with reasons (exit 4).

Usage: tests/fuzz/random_jobs.py PROGRAM [COUNT [SEED]]; ends with 1 if any job ended otherwise, and prints that job.
"""

import collections
import random
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

MACHINES = ["router-table", "router-table-small", "router-table-large", "router-metric", "laser", "laser-lines"]
MATERIALS = ["hardboard-3", "hardboard-6", "plywood-12", "plywood-18", "board-2x12"]
FOLLOWS = ["", 'follow = { with = "pencil", lead = "0.8 mm" }\n', 'follow = { with = "bushing", outside = "19 mm", bit = "12 mm" }\n']


def job(pick, rules):
    """A job file of random measurements, sensible or not."""
    mm = lambda length: f'"{length:.3f} mm"'
    flush = pick.random() < 0.3
    risers = pick.randint(1 if flush else 2, 9)
    text = f"""title = "Invented random stair"
rules = "{rules}"
[rise]
total = {mm(pick.uniform(60, 230) * risers)}
risers = {risers}
finish_to_come = {mm(pick.choice([0, 0, pick.uniform(0, 20)]))}
[tread]
cut = {mm(pick.uniform(80, 350))}
overhang = {mm(pick.uniform(0, 40))}
thickness = {mm(pick.uniform(5, 45))}
riser_board = {mm(pick.choice([0, 18]))}
[head]
meets = "{'flush' if flush else 'one-down'}"
finish = {mm(pick.uniform(0, 40))}
spacer = {mm(pick.choice([0, 0, 20]))}
rim_depth = "600 mm"
"""
    if pick.random() < 0.5:
        width, height = mm(pick.uniform(8, 120)), mm(pick.uniform(8, 60))
        text += f"[foot.tie_plate]\nwidth = {width}\nheight = {height}\nset_back = {mm(pick.choice([0, 0, pick.uniform(10, 80)]))}\nclearance = \"1 mm\"\n"
    board = mm(pick.choice([285.75, 234.95, pick.uniform(150, 400)]))
    text += f"[board]\nwidth = {board}\nthickness = \"38 mm\"\ntip_inset = {mm(pick.choice([0, 3]))}\n[cut]\n"
    makes = pick.choice(["pattern", "stringers"])
    corners = pick.choice(["fillet", "bisector", "riser", "tread"])
    text += f'makes = "{makes}"\nmachine = "{pick.choice(MACHINES)}"\nmaterial = "{pick.choice(MATERIALS)}"\ncorners = "{corners}"\n'
    return text + (pick.choice(FOLLOWS) if makes == "pattern" else "")


def main():
    program = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 300
    pick = random.Random(int(sys.argv[3]) if len(sys.argv) > 3 else 1)
    ends, odd = collections.Counter(), 0
    with tempfile.TemporaryDirectory() as scratch:
        rules, path, out = (Path(scratch) / name for name in ("rules.toml", "job.toml", "out"))
        rules.write_text('kind = "rules"\nabout = "no limits, invented"\naim = "7 in"\n')
        for _ in range(count):
            path.write_text(job(pick, rules))
            shutil.rmtree(out, ignore_errors=True)
            run = subprocess.run([program, "make", path, "-o", out], capture_output=True, text=True)
            ends[run.returncode] += 1
            if run.returncode not in (0, 4) or (run.returncode == 4 and out.exists()):
                odd += 1
                print(path.read_text(), run.stderr, sep="\n")
    print(", ".join(f"exit {code}: {number}" for code, number in sorted(ends.items())))
    print(f"{count - odd} passed, {odd} failed")
    return odd > 0


sys.exit(main())
