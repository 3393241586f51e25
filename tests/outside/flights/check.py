"""Random invented stairs, solved by the command and by plane geometry of its own (GEOS). See README.md.

usage: check.py SEATCUT [COUNT [SEED]]
"""

import json
import math
import random
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from shapely import Point, Polygon, box, union_all

INCH = 25.4
# A millionth of an inch.
SAME_MM = 1e-6 * INCH
# Farther than any stair reaches.
FAR = 1e5
# Edges that nearly touch: whether there is a part is not held against the command there.
NEAR_MM = 1e-3


class Draw:
    """Lengths as a job file has them, with what they are in mm."""

    def __init__(self, seed):
        self.random = random.Random(seed)
        self.unit = self.random.choice(["in", "mm", "cm", "ft", "m"])

    def chance(self, share):
        return self.random.random() < share

    def choice(self, of):
        return self.random.choice(of)

    def length(self, least, most):
        """Between two figures in inches, on a sixteenth or on half a millimetre."""
        if self.unit in ("in", "ft"):
            return self.random.randint(round(least * 16), round(most * 16)) / 16 * INCH
        return self.random.randint(math.ceil(least * INCH * 2), math.floor(most * INCH * 2)) / 2

    def typed(self, mm):
        if self.unit == "in":
            return f'"{mm / INCH!r} in"'
        if self.unit == "ft":
            feet = int(mm / INCH // 12)
            return f'"{feet} ft {mm / INCH - 12 * feet!r} in"'
        per = {"mm": 1.0, "cm": 10.0, "m": 1000.0}[self.unit]
        return f'"{plain(mm / per)} {self.unit}"'


def plain(value):
    """Digits without an exponent."""
    return f"{value:.10f}".rstrip("0").rstrip(".")


class Stair:
    """An invented stair: what was drawn, in mm, and the job that says it."""

    def __init__(self, seed):
        d = self.draw = Draw(seed)
        self.tables, self.rise = [], []
        self.n = d.random.randint(2, 16)
        self.flush = d.chance(0.35)
        self.treads_and_head(d)
        self.foot(d)
        self.board(d)
        self.heights(d)
        self.joint_at_head(d)
        self.floor_across(d)

    def put(self, table, key, mm):
        table.append(f"{key} = {self.draw.typed(mm)}")
        return mm

    def treads_and_head(self, d):
        t = self.tread = []
        self.o = self.put(t, "overhang", d.length(0, 1.5))
        self.t = self.put(t, "thickness", d.length(0.75, 2))
        self.p = self.put(t, "riser_board", d.choice([0.0, d.length(0.5, 1)]))
        if d.chance(0.2):
            width, gap, count = d.length(3, 6), d.length(0, 0.5), d.choice([2, 3])
            at_riser = d.chance(0.5)
            t.append(
                f"boards = {{ count = {count}, width = {d.typed(width)}, gap = {d.typed(gap)}, "
                f"gap_at_riser = {str(at_riser).lower()} }}"
            )
            self.g = count * width + (count if at_riser else count - 1) * gap - self.o
        else:
            self.g = self.put(t, "cut", d.length(8, 14))
        h = self.head = [f'meets = "{"flush" if self.flush else "one-down"}"']
        self.T = self.put(h, "finish", d.length(0, 2))
        self.p_h = self.put(h, "riser_board", d.length(0, 1)) if d.chance(0.5) else self.p
        self.rim = self.put(h, "rim_depth", d.length(5, 14)) if d.chance(0.7) else None
        self.top = self.g
        if self.flush and d.chance(0.6):
            self.top = self.put(h, "top_tread", d.length(4, 14))
        self.o_h = self.o
        if not self.flush and d.chance(0.5):
            self.o_h = self.put(h, "overhang", d.length(0, 1.5))

    def foot(self, d):
        self.on = d.length(0.5, 2.5) if d.chance(0.3) else 0.0
        if self.on:
            self.tables.append(f'[foot]\nstands_on = {{ what = "plate", height = {d.typed(self.on)} }}')
        self.tie = None
        if d.chance(0.5):
            lines = ["[foot.tie_plate]"]
            width = self.put(lines, "width", d.length(1.5, 5.5))
            height = self.put(lines, "height", d.length(0.5, 2.5))
            back = self.put(lines, "set_back", d.choice([0.0, d.length(0.5, 4)]))
            clearance = self.put(lines, "clearance", d.choice([0.0, 1 / 16 * INCH, 1.5]))
            self.tie = (back, back + width + clearance, height + clearance)
            self.tables.append("\n".join(lines))

    def board(self, d):
        lines = ["[board]"]
        width = self.put(lines, "width", d.length(9, 14))
        self.thick = self.put(lines, "thickness", d.length(1, 2))
        inset = self.put(lines, "tip_inset", d.length(0, 0.25)) if d.chance(0.3) else 0.0
        self.W = width - inset
        self.tables.append("\n".join(lines))

    def heights(self, d):
        """The rise: finished, rough, or at the head of ground that falls."""
        self.b = self.put(self.rise, "finish_to_come", d.length(0, 1.5)) if d.chance(0.4) else 0.0
        self.rise.append(f"risers = {self.n}")
        wanted = self.n * d.length(5, 8.5)
        self.fall, self.follow, self.at_head, self.edge_out = 0.0, False, None, 0.0
        kind = d.choice(["total", "total", "rough", "ground", "ground"])
        if kind == "total":
            self.H = self.put(self.rise, "total", wanted)
        elif kind == "rough":
            rough = self.put(self.rise, "rough", wanted)
            self.H = rough - (self.b - self.on) + self.T
        else:
            self.ground_that_falls(d, wanted)

    def ground_that_falls(self, d, at_head):
        lines = ["[ground]"]
        self.at_head = self.put(lines, "at_head", at_head)
        drop, over = d.length(0.5, 40), d.length(100, 200)
        if d.chance(0.2):
            per = d.random.randint(6, 40)
            lines.append(f'slope = "up 1 in {per}"')
            self.fall = -1 / per
        else:
            self.put(lines, "drop", drop)
            self.put(lines, "over", over)
            self.fall = drop / over
        self.edge_out = self.put(lines, "edge_out", d.length(0, 3)) if d.chance(0.5) else 0.0
        self.follow = d.chance(0.6)
        lines.append(f'seat = "{"follow" if self.follow else "level"}"')
        self.tables.append("\n".join(lines))

    def joint_at_head(self, d):
        """How the head meets the framing; what stands between them follows from it."""
        self.joint, self.s, self.hung = None, 0.0, False
        if not d.chance(0.5):
            self.s = self.put(self.head, "spacer", d.length(0, 2)) if d.chance(0.4) else 0.0
            return
        kinds = ["against-rim", "hanger-board", "dropped-header", *2 * ["ledger-notch", "top-over"]]
        kind = d.choice(kinds)
        a, c = d.length(0.75, 3), d.length(1, 6)
        keys = {
            "against-rim": [],
            "hanger-board": [("thickness", a), ("depth", c)],
            "ledger-notch": [("width", a), ("height", c)],
            "dropped-header": [("below", c), ("depth", a)],
            "top-over": [("below", c + d.length(2, 8)), ("bearing", a)],
        }[kind]
        words = "".join(f", {key} = {d.typed(mm)}" for key, mm in keys)
        self.head.append(f'joint = {{ with = "{kind}"{words} }}')
        self.joint = (kind, *[mm for _, mm in keys])
        self.s = a if kind == "hanger-board" else 0.0
        self.hung = kind == "hanger-board"

    def floor_across(self, d):
        """Two or three readings, the greatest of them the rise that the stair is made for."""
        self.readings, self.width = [], None
        if not d.chance(0.35):
            return
        self.width, self.most = d.length(30, 60), d.length(10, 24)
        greatest = self.H if self.at_head is None else self.at_head
        off = d.length(0, 2.5)
        pair = [greatest, greatest - off]
        if d.chance(0.5):
            pair.reverse()
        at = [0.0, self.width]
        if d.chance(0.5):
            middle = d.length(5, 25)
            straight = pair[0] + (pair[1] - pair[0]) * middle / self.width
            pair.insert(1, min(greatest, straight + d.choice([-1, 1]) * d.length(0, 0.25)))
            at.insert(1, middle)
        self.readings = list(zip(at, pair))
        lines = ["[stair]"]
        self.put(lines, "width", self.width)
        self.put(lines, "most_spacing", self.most)
        for offset, total in self.readings:
            lines += ["[[across]]", f"offset = {d.typed(offset)}", f'total = "{plain(total)} mm"']
        self.tables.append("\n".join(lines))

    def toml(self):
        rules = self.draw.choice(["us-ibc", "us-irc-2021", "uk-private"])
        rows = ['title = "Invented"', f'rules = "{rules}"']
        rows += ["[rise]", *self.rise, "[tread]", *self.tread, "[head]", *self.head, *self.tables]
        rows += ["[cut]", 'makes = "pattern"', 'machine = "router-table-large"', 'material = "hardboard-6"']
        return "\n".join(rows) + "\n"


class Worked:
    """The same stair by plane geometry. y = 0 is what the stringer stands on, at the first riser's face."""

    def __init__(self, s):
        self.s = s
        self.m = s.n if s.flush else s.n - 1
        # A hanger board stands as high as the framing, before the rim: riser board and tread end at it.
        gap = 0.0 if s.hung and not (s.flush and s.t <= s.T) else s.s
        self.top_cut = s.top - gap if s.flush else s.g - s.p + s.p_h - gap
        self.X = (self.m - 1) * s.g + self.top_cut
        self.H = s.H if s.at_head is None else s.at_head + s.fall * self.out_from_line()
        self.r = self.H / s.n
        self.base = s.b - s.on
        self.y = [self.r * k - s.t + self.base for k in range(1, self.m + 1)]
        self.F = self.H - s.T + self.base
        self.slope = self.r / s.g
        self.L = math.hypot(self.r, s.g)
        self.fall = s.fall if s.follow else 0.0

    def out_from_line(self):
        s = self.s
        return self.X + s.s + s.p - s.edge_out

    def seat(self, x):
        return self.fall * (x + self.s.p)

    def lower(self, x):
        return self.y[0] + self.slope * x - self.s.W * self.L / self.s.g

    def heel(self):
        if self.lower(self.X) <= self.seat(self.X):
            return self.X
        return (self.seat(0) - self.lower(0)) / (self.slope - self.fall)

    def figures(self):
        s, top = self.s, self.y[-1]
        end = self.head_end()
        figures = {
            "total_rise_mm": self.H,
            "unit_rise_mm": self.r,
            "unit_run_mm": s.g,
            "first_riser_cut_mm": self.y[0],
            "drop_mm": s.t - self.base,
            "hang_line_mm": self.F - top,
            "head_cut_x_mm": self.X,
            "throat_mm": s.W - self.r * s.g / self.L,
            "seat_length_mm": self.heel() * math.hypot(1, self.fall),
            "head_cut_length_mm": top - end,
            "pitch_deg": math.degrees(math.atan2(self.r, s.g)),
        }
        kind, a, b = (s.joint + (None, None))[:3] if s.joint else ("against-rim", None, None)
        # The face that the plumb cut stands against: its upper end and its depth.
        faces = {"hanger-board": (self.F, b), "dropped-header": (self.F - (a or 0), b), "top-over": (self.F, None)}
        upper, deep = faces.get(kind, (self.F, s.rim))
        if deep is not None:
            figures["contact_height_mm"] = max(0.0, min(top, upper) - max(end, upper - deep))
        return figures

    def head_end(self):
        """Lower end of the plumb cut at the head."""
        low, joint = max(self.lower(self.X), self.seat(self.X)), self.s.joint
        if joint and joint[0] == "ledger-notch":
            return low + joint[2]
        if joint and joint[0] == "top-over":
            return self.F - joint[1]
        return low

    def impossible(self):
        """What is left where there is no part: the least of it, not above 0."""
        s, m = self.s, self.m
        if min(self.top_cut, self.slope - self.fall, self.y[0] - self.seat(0)) <= 0:
            return min(self.top_cut, (self.slope - self.fall) * s.g, self.y[0] - self.seat(0))
        heel = self.heel()
        left = [self.seat(0) - self.lower(0), self.y[-1] - self.lower(self.X)]
        if m > 1:
            left.append(s.W - self.r * s.g / self.L)
        if self.fall > 0:
            left.append(self.y[0] - self.seat(min(heel, s.g if m > 1 else self.X)))
        joint = s.joint
        if joint and joint[0] == "ledger-notch":
            left += [self.X - joint[1] - heel, self.under_tread(self.X - joint[1]) - self.head_end()]
        if joint and joint[0] == "top-over":
            foot = max(self.lower(self.X), self.seat(self.X))
            left += [self.head_end() - foot, self.y[-1] - self.head_end()]
            # Nothing of the head lies below the board that it is cut from.
            left.append(self.head_end() - self.lower(self.X + joint[2]))
        return min(left)

    def under_tread(self, x):
        """Height of the tread cut that begins before x and lies over it."""
        k = max((k for k in range(self.m) if k * self.s.g < x), default=0)
        return self.y[k]

    def part(self):
        """The part as what is left of half planes and boxes; whether the plate is let in."""
        s, X = self.s, self.X
        ends = [(k + 1) * s.g for k in range(self.m - 1)] + [X]
        region = union_all([box(k * s.g, -FAR, ends[k], self.y[k]) for k in range(self.m)])
        for line in (self.seat, self.lower):
            below = Polygon([(-FAR, line(-FAR)), (FAR, line(FAR)), (FAR, -2 * FAR), (-FAR, -2 * FAR)])
            region = region.difference(below)
        region, let_in = self.without_plate(region)
        joint = s.joint
        if joint and joint[0] == "ledger-notch":
            region = region.difference(box(X - joint[1], -FAR, X + FAR, self.head_end()))
        if joint and joint[0] == "top-over":
            region = union_all([region, box(X, self.head_end(), X + joint[2], self.y[-1])])
        return region, let_in

    def without_plate(self, region):
        if not self.s.tie:
            return region, False
        begin, end, height = self.s.tie
        u = (1 / math.hypot(1, self.fall), self.fall / math.hypot(1, self.fall))
        point = lambda along, into: (along * u[0] - into * u[1], self.seat(0) + along * u[1] + into * u[0])
        highest = max(point(begin, height)[1], point(end, height)[1], self.seat(0) + height)
        if end >= self.heel() / u[0] or highest >= self.y[0]:
            return region, False
        if begin <= 0 or point(begin, height)[0] <= 0:
            begin = -FAR
        sides = [point(begin, -FAR), point(end, -FAR), point(end, height), point(begin, height)]
        return region.difference(Polygon(sides)), True

    def plate_is_close(self):
        """Whether it is a matter of the last digit if the plate is let in."""
        if not self.s.tie:
            return False
        begin, end, height = self.s.tie
        u = (1 / math.hypot(1, self.fall), self.fall / math.hypot(1, self.fall))
        tops = [self.seat(0) + along * u[1] + height * u[0] for along in (begin, end)]
        near = [end - self.heel() / u[0], max([*tops, self.seat(0) + height]) - self.y[0]]
        if begin > 0 and self.fall:
            # Whether its front breaks out of the riser cut.
            near.append(begin * u[0] - height * u[1])
        return any(abs(gap) < NEAR_MM for gap in near)

    def risers(self):
        tops = [self.base] + [y + self.s.t for y in self.y] + ([] if self.s.flush else [self.F + self.s.T])
        return [high - low for low, high in zip(tops, tops[1:])]

    def trims(self):
        """Off the bottom of each stringer, from the left."""
        s = self.s
        span = s.width - s.thick
        spans = max(1, math.ceil(span / s.most - 1e-9))
        places = [s.thick / 2 + span * k / spans for k in range(spans + 1)]
        greatest = max(total for _, total in s.readings)
        return [greatest - self.reading_at(place) for place in places]

    def reading_at(self, x):
        for (x0, h0), (x1, h1) in zip(self.s.readings, self.s.readings[1:]):
            if x <= x1 or (x1, h1) == self.s.readings[-1]:
                return h0 + (h1 - h0) * (x - x0) / (x1 - x0)


def differences(report, worked):
    """What the command and the geometry here do not agree on, in words."""
    found = []

    def hold(name, ours, theirs):
        if theirs is None or not abs(ours - theirs) <= SAME_MM:
            found.append(f"{name}: {theirs} for {ours}")

    flight, s = report["flight"], worked.s
    left = worked.impossible()
    if report["outline"] is None or not report["outline"]["vertices_mm"]:
        if left > NEAR_MM:
            found.append(f"no part, where {left} mm are left")
    elif left < -NEAR_MM:
        found.append(f"a part, where {left} mm are left")
    else:
        for key, value in worked.figures().items():
            hold(key, value, flight[key])
        found += outline(report, worked)
    for i, (ours, theirs) in enumerate(zip(worked.risers(), flight["finished_risers_mm"], strict=True)):
        hold(f"riser {i + 1}", ours, theirs)
    if s.at_head is not None:
        landing = report["ground"]["landing"]
        hold("out from the line", worked.out_from_line(), landing["out_from_line_mm"])
        hold("out from the head", worked.out_from_line() + s.edge_out, landing["out_from_head_mm"])
        hold("rise to bare", worked.H + worked.base, landing["rise_to_bare_mm"])
    if s.readings and report["across"] is not None:
        let_in = left > 0 and worked.part()[1]
        given = report["across"]["trims"]
        for i, (ours, theirs) in enumerate(zip(worked.trims(), given, strict=True)):
            hold(f"trim {i + 1}", ours, theirs["trim_mm"])
            if let_in and ours < worked.y[0] and not worked.plate_is_close():
                hold(f"plate over the seat {i + 1}", s.tie[2] * math.hypot(1, worked.fall) + ours, theirs["notch_top_mm"])
    return found


def outline(report, worked):
    theirs = [tuple(vertex) for vertex in report["outline"]["vertices_mm"]]
    part, _ = worked.part()
    if part.geom_type != "Polygon" or part.interiors:
        return [f"the geometry here is no one piece: {part.geom_type}"] if not worked.plate_is_close() else []
    if worked.plate_is_close():
        return []
    ours = part.simplify(0).exterior
    off = max((ours.distance(Point(p)) for p in theirs), default=math.inf)
    ring = Polygon(theirs).exterior
    off = max([off, *(ring.distance(Point(p)) for p in ours.coords)])
    return [] if off <= SAME_MM else [f"outline: {off} mm off"]


def solved(program, folder, seed):
    """The seed's stair, the command's report of it and what it said."""
    stair = Stair(seed)
    job = Path(folder) / f"{seed}.toml"
    job.write_text(stair.toml())
    run = subprocess.run([program, "solve", str(job), "--json"], capture_output=True, text=True)
    report = json.loads(run.stdout) if run.returncode in (0, 4, 5) and run.stdout else None
    job.unlink()
    return stair, report, run


def main():
    program, count, seed = sys.argv[1], int((sys.argv + [0, 0])[2] or 60), int((sys.argv + [0, 0, 0])[3] or 1)
    passed = failed = refused = without = 0
    kinds = {}
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(2) as pool:
        seeds = range(seed * 100_000, seed * 100_000 + count)
        for stair, report, run in pool.map(lambda i: solved(program, folder, i), seeds):
            worked = Worked(stair)
            if report is None:
                # No landing is reached, readings contradict: there is nothing to hold.
                refused += 1
                wrong = [] if run.returncode == 4 else [f"exit {run.returncode}: {run.stderr.strip()}"]
            else:
                asked = any(f["code"] == "not-worked-out" for f in report["findings"])
                refused += asked
                wrong = [] if asked else differences(report, worked)
                part = report["outline"] is not None
                without += not asked and not part
                for name, has in features(stair).items():
                    kinds[name] = kinds.get(name, 0) + (has and part and not asked)
            if wrong:
                failed += 1
                print(f"FAIL {stair.draw.unit}: {'; '.join(wrong)}\n{stair.toml()}")
            else:
                passed += 1
    held = ", ".join(f"{name} {number}" for name, number in kinds.items())
    word = "FAIL" if failed else "ok  "
    print(f"{word} flights: {count - refused} held, {without} of them without a part; {held}")
    print(f"     {refused} refused before there is a flight")
    noticed = spoilt(program)
    print(f"{'ok  ' if noticed else 'FAIL'} self-test: two millionths of an inch are noticed")
    print(f"{(not failed) + noticed} passed, {bool(failed) + (not noticed)} failed")


def features(stair):
    kind = stair.joint[0] if stair.joint else ""
    return {
        "let-in plates": stair.tie is not None,
        "stood on something": stair.on > 0,
        "ledger notches": kind == "ledger-notch",
        "over the framing": kind == "top-over",
        "seats along the ground": stair.follow,
        "on falling ground": stair.at_head is not None,
        "across": bool(stair.readings),
        "flush": stair.flush,
    }


def spoilt(program):
    """Every figure and the outline, moved by two millionths of an inch."""
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(50):
            stair, report, _ = solved(program, folder, seed)
            worked = Worked(stair)
            if report is None or report["outline"] is None or differences(report, worked):
                continue
            for key in worked.figures():
                report["flight"][key] += 2 * SAME_MM
                if not differences(report, worked):
                    return False
                report["flight"][key] -= 2 * SAME_MM
            report["outline"]["vertices_mm"][2][1] += 2 * SAME_MM
            return bool(differences(report, worked))
    return False


if __name__ == "__main__":
    main()
