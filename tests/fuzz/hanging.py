"""What of a cut stock hangs together, by polygons of GEOS (shapely) and nothing of the project: reads a set that `make`
wrote, sweeps the cutter at full depth along each program, and tells every piece, and all waste larger than a coin, that
does not hang on the clamps (or the rim) by wood of the least width.

Usage: tests/fuzz/hanging.py FOLDER...             looks at the sets in those folders
       tests/fuzz/hanging.py --random PROGRAM [COUNT [SEED]]   random orders at four spacings, made and looked at
Needs shapely. Ends with 1 if anything hangs on nothing, or any run ended with 1.
"""

import json
import math
import random
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import shapely
from shapely.geometry import LineString, box

WEB_MM = 6.35
COIN_MM2 = 490.0
# The tool sees webs up to a millimetre wider than the least as thinner, never the other way round: this asks for the least
# and a tenth of a millimetre less, for its own chords.
SLACK_MM = 0.1
SHAVING_MM = 1.2
WORD = re.compile(r"([A-Z])(-?[\d.]+)")


def through(text, thickness, bed):
    """The ways of the tool's centre below the material, in mm, in the stock's frame; each a list of points."""
    unit, at, motion, shift = 1.0, {"X": 0.0, "Y": 0.0, "Z": 1e9}, None, (0.0, 0.0)
    level = (0.0 if bed else -thickness) + 0.006
    ways = []
    for line in text.splitlines():
        words = WORD.findall(re.sub(r"\([^)]*\)|;.*", "", line.upper()))
        end, centre = dict(at), [0.0, 0.0]
        for letter, value in words:
            if letter == "G" and float(value) in (20, 21):
                unit = 25.4 if float(value) == 20 else 1.0
            elif letter == "G" and float(value) in (0, 1, 2, 3):
                motion = int(float(value))
            elif letter in "XYZ":
                end[letter] = float(value) * unit
            elif letter in "IJ":
                centre["IJ".index(letter)] = float(value) * unit
        if end == at and motion not in (2, 3):
            continue
        low = min(at["Z"], end["Z"])
        if motion in (1, 2, 3) and low <= level:
            start, stop = (at["X"], at["Y"]), (end["X"], end["Y"])
            if motion == 1:
                a, b = at["Z"], end["Z"]
                part = lambda s: (start[0] + (stop[0] - start[0]) * s, start[1] + (stop[1] - start[1]) * s)
                ends = [0.0, 1.0]
                if a > level:
                    ends[0] = (a - level) / (a - b)
                if b > level:
                    ends[1] = (a - level) / (a - b)
                ways.append([part(ends[0]), part(ends[1])])
            else:
                middle = (start[0] + centre[0], start[1] + centre[1])
                radius = math.hypot(*centre)
                first = math.atan2(start[1] - middle[1], start[0] - middle[0])
                last = math.atan2(stop[1] - middle[1], stop[0] - middle[0])
                sweep = (first - last if motion == 2 else last - first) % math.tau or math.tau
                sign = -1 if motion == 2 else 1
                count = max(2, int(sweep / 0.05))
                turn = [first + sign * sweep * i / count for i in range(count + 1)]
                ways.append([(middle[0] + radius * math.cos(t), middle[1] + radius * math.sin(t)) for t in turn])
        at = end
    return ways


def parts(area):
    return [p for p in getattr(area, "geoms", [area]) if not p.is_empty]


def loose(program, text, form, clamps):
    """What hangs on nothing: words."""
    stock, radius = program["stock"], program["cutter_mm"] / 2
    plate = box(0, 0, stock["length_mm"], stock["width_mm"])
    ways = through(text, stock["thickness_mm"], program["z_zero"] == "bed")
    lines = [LineString(way if way[0] != way[-1] or len(way) > 2 else [way[0], way[0]]) for way in ways]
    web = WEB_MM - SLACK_MM
    kerf = shapely.union_all([line.buffer(radius) for line in lines])
    whole = parts(plate.difference(kerf))
    wide = shapely.union_all([line.buffer(radius + web / 2) for line in lines])
    wood = parts(plate.buffer(-web / 2, join_style="mitre").difference(wide))
    rim = plate.buffer(-web / 2, join_style="mitre").exterior
    if clamps:
        hold = [i for i, p in enumerate(wood) if any(p.intersects(c) for c in clamps)]
    elif form == "board":
        # The piece is what is clamped: the largest part.
        hold = [max(range(len(wood)), key=lambda i: wood[i].area)]
    else:
        edge = [i for i, p in enumerate(wood) if p.distance(rim) < 1e-6]
        hold = [max(edge, key=lambda i: wood[i].area)] if edge else []
    told = []
    # Wood inside a piece counts as one: a thin piece is what was asked for. Pieces are larger than a hand here.
    for p in whole:
        held = any(wood[i].representative_point().within(p) or wood[i].intersects(p) for i in hold)
        # What is thinner than a millimetre all along is a shaving.
        if not held and p.buffer(-SHAVING_MM / 2).buffer(SHAVING_MM / 2).area > COIN_MM2:
            told.append(f"free: {p.area:.0f} mm2 at {p.representative_point().wkt}")
    for i, p in enumerate(wood):
        grown = p.buffer(web / 2)
        if i not in hold and grown.area > COIN_MM2:
            home = next((q for q in whole if q.intersects(p)), None)
            if home is not None and any(wood[j].intersects(home) for j in hold):
                told.append(f"by thin wood: {grown.area:.0f} mm2 at {p.representative_point().wkt}")
    return told


def look_at(folder):
    """What hangs on nothing in a set."""
    report = json.loads((folder / "report.json").read_text())
    told = []
    for program in report["programs"]:
        if program["process"] != "router" or program["offset_applied"] == "none":
            continue
        held = program["verified"]["holding"]
        form = "board" if held["held_by"] == "the clamped board" else "sheet"
        sheet = next((s for s in report.get("sheets", []) if program["file"] in s["programs"]), {"clamps": []})
        at = lambda c: box(c["x_mm"], c["y_mm"], c["x_mm"] + c["length_mm"], c["y_mm"] + c["width_mm"])
        text = (folder / program["file"]).read_text()
        words = loose(program, text, form, [at(c) for c in sheet["clamps"]])
        silent = [c for c in held["components"] if not c["held"]]
        told += [f"{program['file']}: {word}" for word in words] + [f"{program['file']}: says {c}" for c in silent]
    return told


JOB = """title = "{title}"
rules = "us-irc-2021"
[rise]
total = "{rise} in"
risers = {risers}
[tread]
cut = "{run} in"
overhang = "1 in"
thickness = "1 in"
riser_board = "3/4 in"
[head]
meets = "one-down"
finish = "1 in"
[board]
width = "11 1/4 in"
thickness = "18 mm"
[cut]
makes = "{makes}"
machine = "{machine}"
material = "{material}"
quantity = {quantity}
{spacing}
"""


def random_order(pick, folder):
    """The files of an order; what to give `make`."""
    names = []
    machine = pick.choice(["router-table", "router-table", "router-table-large"])
    material = pick.choice(["plywood-18", "plywood-18", "hardboard-6"])
    for number in range(pick.choice([1, 1, 2, 3])):
        risers = pick.randint(2, 8)
        text = JOB.format(
            title=f"Invented random order {number}", rise=round(risers * pick.uniform(6.2, 7.7), 3), risers=risers,
            run=pick.choice(["10", "10 1/4", "10 1/2", "11"]), makes="stringers", machine=machine, material=material,
            quantity=pick.randint(1, 6), spacing="{spacing}",
        )
        names.append((f"job-{number}.toml", text))
    return names


def main_random(program, count, seed):
    tally, bad = {}, 0
    for number in range(count):
        for spacing in [None, "3/8 in", "1/2 in", "1/4 in"]:
            pick = random.Random(seed * 100_000 + number)
            folder = Path(tempfile.mkdtemp(prefix="hanging-"))
            files = random_order(pick, folder)
            for name, text in files:
                (folder / name).write_text(text.replace("{spacing}", f'spacing = "{spacing}"' if spacing else ""))
            inputs = [name for name, _ in files]
            run = subprocess.run(
                [program, "make", *inputs, "-o", "out", "--effort", "0"], cwd=folder, capture_output=True, text=True
            )
            told = look_at(folder / "out") if run.returncode == 0 else []
            codes = sorted(set(re.findall(r"(piece-loose|offcut-loose|tabs-few|tabs-one-sided)", run.stdout + run.stderr)))
            key = (spacing or "left out", run.returncode, tuple(codes) if run.returncode else ())
            tally[key] = tally.get(key, 0) + 1
            if told or run.returncode not in (0, 4):
                bad += 1
                print(f"order {number} of seed {seed}, spacing {spacing}: exit {run.returncode} {folder}", flush=True)
                print("\n".join(["  " + word for word in told] or ["  " + (run.stderr + run.stdout)[-600:]]), flush=True)
            else:
                shutil.rmtree(folder)
    for key, times in sorted(tally.items(), key=str):
        print(times, key)
    return bad


if __name__ == "__main__":
    arguments = sys.argv[1:]
    if arguments[:1] == ["--random"]:
        counted = [int(word) for word in arguments[2:]] + [15, 1][len(arguments[2:]) :]
        sys.exit(1 if main_random(str(Path(arguments[1]).resolve()), *counted) else 0)
    found = {folder: look_at(Path(folder)) for folder in arguments}
    for folder, words in found.items():
        print(folder, *(words or ["hangs"]), sep="\n  ")
    sys.exit(1 if any(found.values()) else 0)
