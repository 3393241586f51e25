"""Makes invented stairs of every kind that is drawn, and keeps their drawings.

Usage: stairs.py PROGRAM FOLDER [COUNT [SEED]]: a folder for each under FOLDER; what a job is refused for is no fault here.
"""

import random
import subprocess
import sys
import tempfile
from pathlib import Path


def stair(pick):
    metric = pick.random() < 0.4

    def length(inches):
        return f'"{inches * 25.4:.0f} mm"' if metric else f'"{round(inches * 16) / 16} in"'

    risers = pick.randint(2, 15)
    rows = ['title = "Invented stair to look at"', 'rules = "us-irc-2021"', "[rise]"]
    rows += [f"total = {length(risers * pick.uniform(6.2, 7.7))}", f"risers = {risers}"]
    if pick.random() < 0.3:
        rows.append(f"finish_to_come = {length(pick.choice([0.75, 1.0, 1.5]))}")
    tread = pick.choice([1.0, 1.25, 1.5])
    rows += ["[tread]", f"cut = {length(pick.uniform(10, 12.5))}", f"overhang = {length(pick.choice([0.75, 1.0]))}"]
    rows += [f"thickness = {length(tread)}", f"riser_board = {length(pick.choice([0.0, 0.625, 0.75]))}"]
    rows += ["[head]", f'meets = "{pick.choice(["one-down", "one-down", "flush"])}"', f"finish = {length(pick.choice([0.0, 0.75, 1.0]))}"]
    if pick.random() < 0.6:
        rows.append(f"rim_depth = {length(pick.choice([9.25, 11.25, 14]))}")
    if pick.random() < 0.5:
        rows += ["[foot.tie_plate]", f"width = {length(3.5)}", f"height = {length(1.5)}", f"clearance = {length(0.0625)}"]
    kind = pick.choice(["hand", "pattern", "pattern", "laser", "board", "sheet", "sheet", "layers"])
    rows += ["[board]", f"width = {length(11.25)}", f"thickness = {length({'sheet': 0.709, 'layers': 1.417}.get(kind, 1.5))}"]
    cut = {
        "hand": [],
        "pattern": ['makes = "pattern"', f'machine = "{pick.choice(["router-table", "router-metric", "router-large", "router-changer"])}"',
                    f'material = "{pick.choice(["hardboard-6", "plywood-12"])}"', f'corners = "{pick.choice(["fillet", "bisector", "riser", "tread"])}"', 'long = "split"'],
        "laser": ['makes = "pattern"', 'machine = "laser"', 'material = "hardboard-3"', 'corners = "fillet"', 'long = "split"'],
        "board": ['makes = "stringers"', 'machine = "profiles/router-long.toml"', 'material = "board-2x12"', 'corners = "fillet"'],
        "sheet": ['makes = "stringers"', f"quantity = {pick.randint(2, 7)}", 'machine = "router-metric"', 'material = "plywood-18"', 'corners = "bisector"'],
        "layers": ['makes = "stringers"', f"quantity = {pick.randint(1, 3)}", "layers = 2", 'machine = "router-metric"', 'material = "plywood-18"', 'corners = "bisector"'],
    }[kind]
    if cut:
        rows += ["[cut]", *cut]
    if pick.random() < 0.3 and kind in ("hand", "pattern"):
        rows += ["[steps]", 'width = "36 in"'] if not metric else ["[steps]", 'width = "915 mm"']
    return "\n".join(rows) + "\n"


def main():
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve()
    count = int(sys.argv[3]) if len(sys.argv) > 3 else 500
    pick = random.Random(int(sys.argv[4]) if len(sys.argv) > 4 else 1)
    profiles = Path(__file__).resolve().parents[1] / "jobs" / "profiles"
    made = number = 0
    while made < count:
        number += 1
        with tempfile.TemporaryDirectory() as scratch:
            job = Path(scratch) / "job.toml"
            job.write_text(stair(pick))
            (Path(scratch) / "profiles").symlink_to(profiles)
            out = Path(scratch) / "out"
            if subprocess.run([program, "make", job, "-o", out], capture_output=True, check=False).returncode:
                continue
            made += 1
            to = folder / str(number)
            to.mkdir(parents=True, exist_ok=True)
            (to / "job.toml").write_text(job.read_text())
            for drawing in out.rglob("*.svg"):
                (to / drawing.name).write_bytes(drawing.read_bytes())
    print(f"{made} stairs of {number} drawn")


if __name__ == "__main__":
    main()
