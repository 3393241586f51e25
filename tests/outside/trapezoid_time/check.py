"""The time that a program says it takes, against a model that knows nothing of the plan.

The file is read by an unrelated parser. Each run of moves from stop to stop is cut into steps of a fraction of a millimetre;
the square of the speed is limited at every step by the feed or the rapids of X and Y together and of Z alone, in an arc by
what holds it on its circle, at a corner by the circle that fits into it within the corner's slack; then no axis gains or
loses speed faster than it can, forward and backward, and the time of each step is twice its length over the speeds at its
ends. No formula of a whole move's time is used.

    check.py PROGRAM
"""

import json
import math
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))
from gcode import motion  # noqa: E402
from shared import length_mm  # noqa: E402

ROOT = HERE.parents[2]
STEP_MM = 0.05
# The promise.
MOST_OFF = 0.02


def rate(text):
    """A speed in mm/s."""
    number, unit = text.split()
    scale, per = {"in": 25.4, "mm": 1.0, "m": 1000.0}, {"min": 60.0, "s": 1.0}
    length, time = unit.split("/")
    return float(number) * scale[length] / per[time]


def pull(text):
    number, unit = text.split()
    return float(number) * {"in/s2": 25.4, "mm/s2": 1.0, "m/s2": 1000.0}[unit]


class Table:
    def __init__(self, profile):
        self.rapid = rate(profile["rapid"])
        self.rapid_z = rate(profile.get("rapid_z", profile["rapid"]))
        self.pull = pull(profile["acceleration"])
        self.pull_z = pull(profile.get("acceleration_z", profile["acceleration"]))
        self.slack = length_mm(profile["corner_slack"])
        self.spin_up = profile.get("router", {}).get("spin_up_s", 0.0)

    def most(self, direction, flat, upright):
        """The most of something along a direction, where the plane and Z each have a most of it."""
        across, up = math.hypot(direction[0], direction[1]), abs(direction[2])
        return min(flat / across if across else math.inf, upright / up if up else math.inf)


def tangent(move, at):
    """The direction at the start (0) or the end (1) of a move."""
    rise = move.end[2] - move.start[2] if move.end[2] is not None else 0.0
    if move.centre is None:
        flat = [b - a for a, b in zip(move.start[:2], move.end[:2])]
    else:
        x, y = [v - c for v, c in zip((move.end if at else move.start)[:2], move.centre)]
        size = abs(move.sweep()) * move.radius() / math.hypot(x, y)
        flat = [-y * size, x * size] if move.left else [y * size, -x * size]
    size = math.hypot(*flat, rise)
    return np.array([*flat, rise]) / size


def seconds_of_run(run, table):
    """From rest to rest along moves that follow each other without a stop."""
    steps, caps, pulls = [], [0.0], []
    before = None
    for move in run:
        size = move.length()
        first = tangent(move, 0)
        top = table.rapid if move.rapid else move.feed / 60
        flat = table.rapid if move.rapid else math.inf
        top = min(table.most(first, flat, table.rapid_z), top if not move.rapid or first[2] == 0 else math.inf)
        if move.centre is not None:
            top = min(top, math.sqrt(table.pull * move.radius()))
        along = table.most(first, table.pull, table.pull_z)
        if before is not None:
            turn = math.acos(max(-1.0, min(1.0, float(before[0] @ first))))
            corner = math.inf
            if turn > 1e-6:
                half = math.sin((math.pi - turn) / 2)
                corner = math.sqrt(min(along, before[1]) * table.slack * half / (1 - half)) if half < 1 else math.inf
            caps[-1] = min(caps[-1], corner, top)
        count = max(1, math.ceil(size / STEP_MM))
        steps += [size / count] * count
        caps += [top] * count
        pulls += [along] * count
        before = (tangent(move, 1), along)
    caps[-1] = 0.0
    squares = np.square(caps)
    for i, (step, along) in enumerate(zip(steps, pulls)):
        squares[i + 1] = min(squares[i + 1], squares[i] + 2 * along * step)
    for i in reversed(range(len(steps))):
        squares[i] = min(squares[i], squares[i + 1] + 2 * pulls[i] * steps[i])
    speeds = np.sqrt(squares)
    return float(np.sum(2 * np.array(steps) / (speeds[:-1] + speeds[1:])))


def seconds(text, table, laser, home_z):
    moves, problems = motion(text, laser)
    assert not problems, problems
    # Where the tool stands before the first word of an axis: over X0 Y0, at the height of rapids.
    runs, total, power, at = [[]], 0.0, None, (0.0, 0.0, 0.0 if laser else home_z)
    for move in moves:
        move.start = at
        at = move.end = tuple(old if new is None else new for old, new in zip(at, move.end))
        lit = move.power if move.on else 0.0
        if not move.joined or (laser and lit != power):
            runs.append([])
        power = lit
        if move.length() > 0.0:
            runs[-1].append(move)
    for run in runs:
        total += seconds_of_run(run, table) if run else 0.0
    return total + table.spin_up * text.count("\nG4 ")


def main(program):
    cases = [
        ("bushing-pattern", {}),
        ("bushing-pattern", {"rapid_z": "100 in/min", "acceleration_z": "4 in/s2"}),
        ("metric-flush", {"rapid_z": "3 m/min", "acceleration_z": "100 mm/s2"}),
        ("hillside-steps", {"rapid_z": "40 in/min", "acceleration_z": "20 in/s2"}),
        ("board-stringer", {"acceleration_z": "5 in/s2"}),
        ("plywood-stringer", {"rapid_z": "200 in/min", "acceleration_z": "2 in/s2"}),
        ("laser-pattern", {}),
    ]
    passed = failed = 0
    for name, keys in cases:
        job = (ROOT / "output-samples" / name / "job.toml").read_text()
        machine = tomllib.loads(job)["cut"]["machine"]
        profile = (ROOT / "profiles" / "machine" / f"{machine}.toml").read_text()
        extra = "".join(f'{key} = "{value}"\n' for key, value in keys.items())
        profile = profile.replace("\ncorner_slack", f"\n{extra}corner_slack", 1)
        table, laser = Table(tomllib.loads(profile)), "[laser]" in profile
        home_z = length_mm(tomllib.loads(profile)["safe_height"])
        with tempfile.TemporaryDirectory() as folder:
            folder = Path(folder)
            (folder / "own.toml").write_text(profile)
            (folder / "job.toml").write_text(job.replace(f'"{machine}"', '"./own.toml"'))
            done = subprocess.run([program, "make", folder / "job.toml", "-o", folder / "out"], capture_output=True, text=True)
            said = done.stderr or done.stdout
            if done.returncode:
                print(f"FAIL {name} {keys}: {said.splitlines()[-1]}")
                failed += 1
                continue
            report = json.loads((folder / "out" / "report.json").read_text())
            for each in report["programs"]:
                text = (folder / "out" / each["file"]).read_text()
                ours, theirs = each["time_s"], seconds(text, table, laser, home_z)
                off = ours / theirs - 1
                if abs(off) <= MOST_OFF:
                    print(f"ok   {name} {keys or 'as shipped'} {each['file']}: {ours:.1f} s, {theirs:.1f} s, {off:+.2%}")
                    passed += 1
                else:
                    print(f"FAIL {name} {keys or 'as shipped'} {each['file']}: {ours:.1f} s, {theirs:.1f} s, {off:+.2%}")
                    failed += 1
    print(f"{passed} passed, {failed} failed")


main(sys.argv[1])
