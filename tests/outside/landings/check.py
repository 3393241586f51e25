"""Random invented stairs of several flights, and flights under an opening, solved by the command and by plane geometry of
its own. See README.md.

usage: check.py SEATCUT [COUNT [SEED]]
"""

import json
import random
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from shapely import Polygon, union_all

INCH = 25.4
# A millionth of an inch.
SAME_MM = 1e-6 * INCH
# Of areas, in square mm: as large as such a line along the longest edge drawn.
SAME_MM2 = SAME_MM * 1e4
# A rule set of no limit but on the height of a flight and the depth of a landing.
RULES = """kind = "rules"
about = "invented, for the check of landings"
aim = "7 in"
[[limit]]
measure = "flight-rise"
at_most = "{most} in"
severity = "warning"
source = "invented"
[landing]
{landing}
source = "invented"
"""


class Stair:
    """An invented stair in mm, and the job that says it."""

    def __init__(self, seed):
        d = self.random = random.Random(seed)
        inch = lambda least, most: d.randint(round(least * 16), round(most * 16)) / 16 * INCH
        self.flush = d.random() < 0.3
        least = 1 if self.flush else 2
        sizes = [d.randint(least, 12) for _ in range(d.randint(2, 4))]
        self.sizes, self.n = sizes, sum(sizes)
        self.r = inch(5, 8.5)
        self.total = self.r * self.n
        self.g, self.o = inch(8, 14), inch(0, 1.5)
        self.p, self.t = d.choice([0.0, inch(0.5, 1)]), inch(0.75, 2)
        self.p_h = inch(0, 1) if d.random() < 0.5 else self.p
        self.top_finish, self.width = inch(0, 2), inch(24, 60)
        self.come = inch(0, 1.5) if d.random() < 0.4 else 0.0
        self.top = inch(4, 14) if self.flush else self.g
        self.most = d.choice([60, 80, 120])
        self.least_depth = d.choice([None, inch(24, 48)])
        self.as_wide = d.choice([False, True, inch(30, 50)]) if self.least_depth else d.choice([True, inch(30, 50)])
        self.landings = []
        after = 0
        for size in sizes[:-1]:
            after += size
            self.landings.append({
                "after": after, "depth": inch(20, 70), "finish": inch(0, 1.5),
                "turn": d.choice(["straight", "left", "right", "back"]), "hand": d.choice(["left", "right"]),
                "well": d.choice([0.0, inch(0, 12)]), "on": d.choice(["framing", "finish"]),
            })

    def rules(self):
        keys = []
        if self.least_depth:
            keys.append(f'least_depth = "{self.least_depth / INCH!r} in"')
        if self.as_wide is True:
            keys.append("as_wide = true")
        elif self.as_wide:
            keys.append(f'as_wide_up_to = "{self.as_wide / INCH!r} in"')
        return RULES.format(most=self.most, landing="\n".join(keys))

    def least(self):
        by_width = {True: self.width, False: 0.0}.get(self.as_wide) if isinstance(self.as_wide, bool) else \
            min(self.width, self.as_wide)
        return max(self.least_depth or 0.0, by_width)

    def toml(self):
        typed = lambda mm: f'"{mm / INCH!r} in"'
        lines = [
            'title = "Invented"', 'rules = "rules.toml"', "[rise]", f"total = {typed(self.total)}", f"risers = {self.n}",
            f"finish_to_come = {typed(self.come)}", "[tread]", f"cut = {typed(self.g)}", f"overhang = {typed(self.o)}",
            f"thickness = {typed(self.t)}", f"riser_board = {typed(self.p)}", "[head]",
            f'meets = "{"flush" if self.flush else "one-down"}"', f"finish = {typed(self.top_finish)}",
            f"riser_board = {typed(self.p_h)}", *([f"top_tread = {typed(self.top)}"] if self.flush else []),
            "[board]", f"width = {typed(14 * INCH)}", 'thickness = "1 1/2 in"', "[stair]", f"width = {typed(self.width)}",
        ]
        for of in self.landings:
            lines += ["[[landing]]", f"after = {of['after']}", f"depth = {typed(of['depth'])}",
                      f"finish = {typed(of['finish'])}", f'turn = "{of["turn"]}"', f'next_on = "{of["on"]}"']
            if of["turn"] == "back":
                lines += [f'hand = "{of["hand"]}"', f"well = {typed(of['well'])}"]
        return "\n".join(lines) + "\n"


def strip(start, ahead, length, left, right):
    """The rectangle from a front line on: `length` ahead of `start`, from `left` of it to `right` of it. Places are complex
    numbers, x the real part; left of a way is a quarter turn, so times i."""
    corners = [start + ahead * 1j * left, start - ahead * 1j * right]
    corners += [corners[1] + ahead * length, corners[0] + ahead * length]
    return Polygon([(p.real, p.imag) for p in corners])


def plan(stair):
    """Every flight and landing as a polygon, each begun where its definition says: a flight goes on over the whole width of a
    side of the landing; one that turns to a side begins at the landing's far end; one that turns back stands beside the one
    that arrives, the well between them."""
    at, ahead, w = 0 + 0j, 1 + 0j, stair.width
    flights, landings = [], []
    for i, size in enumerate(stair.sizes):
        flights.append((strip(at, ahead, (size - 1) * stair.g, 0, w), at, ahead))
        if i == len(stair.landings):
            break
        of = stair.landings[i]
        front, deep, left = at + ahead * (size - 1) * stair.g, of["depth"], ahead * 1j
        spread = (0, w)
        if of["turn"] == "straight":
            at = front + ahead * deep
        elif of["turn"] == "left":
            at, ahead_next = front + ahead * (deep - w), left
        elif of["turn"] == "right":
            at, ahead_next = front - left * w + ahead * deep, -left
        elif of["hand"] == "left":
            spread = (w + of["well"], w)
            at, ahead_next = front + left * of["well"], -ahead
        else:
            spread = (0, 2 * w + of["well"])
            at, ahead_next = front - left * (2 * w + of["well"]), -ahead
        landings.append(strip(front, ahead, deep, *spread))
        ahead = ahead if of["turn"] == "straight" else ahead_next
    return flights, landings


def near(a, b, same=SAME_MM):
    return abs(a - b) <= same


def box_of(report):
    x, y = report["x_mm"], report["y_mm"]
    return (x, y, x + report["length_mm"], y + report["width_mm"])


def wrong(stair, report):
    """What the report says otherwise than the definitions, in words."""
    said = []

    def hold(name, found, wanted, same=SAME_MM):
        if not near(found, wanted, same):
            said.append(f"{name}: {found!r}, and not {wanted!r}")

    whole = report["stairs"][0]
    hold("unit rise", whole["unit_rise_mm"], stair.total / stair.n)
    for k, at in enumerate(whole["surfaces_mm"], 1):
        hold(f"surface {k}", at, stair.total * k / stair.n)
    if len(whole["surfaces_mm"]) != stair.n:
        said.append("not a surface for every riser")
    flights, landings = plan(stair)
    everything = union_all([of[0] for of in flights] + landings)
    for a, b in zip(box_of(whole["plan"]), everything.bounds):
        hold("plan", a, b)
    below, along = 0, 0.0
    for i, size in enumerate(stair.sizes):
        flight, job = whole["flights"][i], report["jobs"][i]["flight"]
        polygon, at, ahead = flights[i]
        under = stair.landings[i - 1] if i else None
        over = stair.landings[i] if i < len(stair.landings) else None
        come = (under["finish"] if under["on"] == "framing" else 0.0) if under else stair.come
        finish = over["finish"] if over else stair.top_finish
        treads = size if stair.flush else size - 1
        hold(f"flight {i} foot", flight["foot_mm"], below * stair.r)
        hold(f"flight {i} along", flight["along_mm"], along)
        hold(f"flight {i} going", flight["going_mm"], (size - 1) * stair.g)
        for a, b in zip(box_of(flight["plan"]), polygon.bounds):
            hold(f"flight {i} plan", a, b)
        hold(f"flight {i} left", abs(complex(*flight["left_mm"]) - at), 0)
        hold(f"flight {i} ahead", abs(complex(*flight["ahead"]) - ahead), 0)
        if job["risers"] != size or len(job["finished_risers_mm"]) != size:
            said.append(f"flight {i} has {job['risers']} risers")
        for riser in job["finished_risers_mm"]:
            hold(f"flight {i} finished riser", riser, stair.total / stair.n)
        # From what the stringer stands on: floor, treads and the framing at its head.
        first = stair.r - stair.t + come
        hold(f"flight {i} first riser cut", job["first_riser_cut_mm"], first)
        hold(f"flight {i} drop", job["drop_mm"], stair.t - come)
        hold(f"flight {i} hang line", job["hang_line_mm"], size * stair.r - finish + come - (first + (treads - 1) * stair.r))
        below += size
        along += (size - 1) * stair.g
        if over is None:
            break
        landing = whole["landings"][i]
        hold(f"landing {i} height", landing["height_mm"], below * stair.r)
        hold(f"landing {i} framing", landing["framing_mm"], below * stair.r - over["finish"])
        hold(f"landing {i} along", landing["along_mm"], along)
        hold(f"landing {i} least", landing["least_depth_mm"], stair.least())
        # The face of the last riser, and that of the rim behind it: a riser cut is a riser board behind its face.
        last_face, cut = (size - 1) * stair.g, stair.p
        rim = (treads - 1) * stair.g + stair.top + stair.p if stair.flush else last_face + stair.p_h
        hold(f"landing {i} framing back", landing["framing_back_mm"], rim - last_face)
        hold(f"landing {i} next cut", landing["next_riser_cut_mm"], cut)
        polygon = landings[i]
        for a, b in zip(box_of(landing["plan"]), polygon.bounds):
            hold(f"landing {i} plan", a, b)
        turned = over["turn"] in ("left", "right")
        codes = [f["code"] for f in report["findings"] if f["place"] == f"landing {i + 1}"]
        if ("landing-turn-short" in codes) != (turned and over["depth"] < stair.width - SAME_MM):
            said.append(f"landing {i}: {codes} at {over}")
        if ("landing-short" in codes) != (over["depth"] < stair.least() - SAME_MM):
            said.append(f"landing {i}: {codes}, least {stair.least()} at {over}")
        # Both flights meet the landing along their whole width and lie beside it.
        for other in (flights[i][0], flights[i + 1][0]):
            if turned and over["depth"] < stair.width:
                continue
            if other.area > 0:
                hold(f"landing {i} overlap", polygon.intersection(other).area, 0, SAME_MM2)
                hold(f"landing {i} front", polygon.intersection(other.buffer(1e-3, join_style="mitre")).area,
                     stair.width * 1e-3, stair.width * 1e-5 + 1e-2)
        along += over["depth"]
    hold("way", whole["way_mm"], along)
    high = any(size * stair.r > stair.most * INCH + SAME_MM for size in stair.sizes)
    if any(f["code"] == "landings-would-do" for f in report["findings"]) != (high and stair.most * INCH >= 2 * stair.r):
        said.append("landings that would do are told otherwise than they are asked")
    return said


def solved(command, seed, folder, kind=Stair):
    stair = kind(seed)
    place = Path(folder) / f"{kind.__name__}{seed}"
    place.mkdir()
    (place / "rules.toml").write_text(stair.rules())
    (place / "job.toml").write_text(stair.toml())
    run = subprocess.run([command, "solve", str(place / "job.toml"), "--json"], capture_output=True, text=True, check=False)
    if not run.stdout.startswith("{"):
        return seed, [f"no report: {run.stderr[:300]}"]
    return seed, {Stair: wrong, Under: wrong_under}[kind](stair, json.loads(run.stdout))


class Under:
    """An invented flight that goes up through a floor."""

    def __init__(self, seed):
        d = random.Random(seed)
        inch = lambda least, most: d.randint(round(least * 16), round(most * 16)) / 16 * INCH
        self.n, self.r = d.randint(3, 18), inch(5, 8.5)
        self.g, self.o, self.p = inch(8, 14), inch(0, 1.5), d.choice([0.0, inch(0.5, 1)])
        self.flush = d.random() < 0.3
        self.top = inch(4, 14)
        self.total = self.n * self.r
        self.depth, self.asked = inch(4, 16) % self.total, inch(50, 90)
        self.length = inch(5, self.n * self.g / INCH + 20)
        self.random = d

    def toml(self):
        typed = lambda mm: f'"{mm / INCH!r} in"'
        return "\n".join([
            'title = "Invented"', 'rules = "rules.toml"', "[rise]", f"total = {typed(self.total)}", f"risers = {self.n}",
            "[tread]", f"cut = {typed(self.g)}", f"overhang = {typed(self.o)}", 'thickness = "1 in"',
            f"riser_board = {typed(self.p)}", "[head]", f'meets = "{"flush" if self.flush else "one-down"}"', 'finish = "1 in"',
            *([f"top_tread = {typed(self.top)}"] if self.flush else []),
            "[board]", f"width = {typed(14 * INCH)}", 'thickness = "1 1/2 in"',
            "[opening]", f"length = {typed(self.length)}", f"depth = {typed(self.depth)}",
        ]) + "\n"

    def rules(self):
        return 'kind = "rules"\nabout = "invented"\naim = "7 in"\n[[limit]]\nmeasure = "headroom"\n' \
            f'at_least = "{self.asked / INCH!r} in"\nseverity = "warning"\nsource = "invented"\n'

    def head(self):
        """Where the framing at the head begins, a riser board before it, from the face of the first riser."""
        return (self.n - 1) * self.g + (self.p + self.top if self.flush else 0.0)

    def clear(self, length):
        """The ceiling over the noses: straight lines from nose to nose, the lower floor before them. A straight line is lowest
        under a level one at an end, so the ends of every piece that lies under the ceiling are looked at."""
        edge = self.head() - length
        noses = [(k * self.g - self.o, (k + 1) * self.r) for k in range(self.n)]
        heights = [0.0]
        heights += [y for x, y in noses if x <= edge]
        for (x, y), (right, top) in zip(noses, noses[1:]):
            if x <= edge < right:
                heights.append(y + (top - y) * (edge - x) / (right - x))
        return self.total - self.depth - max(heights)

    def least(self):
        """The shortest opening that leaves what is asked for, by halving."""
        if self.total - self.depth < self.asked:
            return None
        short, long = 0.0, self.head() + self.o + 1.0
        for _ in range(200):
            middle = (short + long) / 2
            short, long = (short, middle) if self.clear(middle) >= self.asked else (middle, long)
        return long


def wrong_under(of, report):
    said = report["opening"]
    wrong = []
    if not near(said["clear_mm"], of.clear(of.length)):
        wrong.append(f"clear {said['clear_mm']!r}, and not {of.clear(of.length)!r}")
    least = of.least()
    if (said["least_length_mm"] is None) != (least is None) or least is not None and not near(said["least_length_mm"], least):
        wrong.append(f"least length {said['least_length_mm']!r}, and not {least!r}")
    codes = [f["code"] for f in report["findings"]]
    low = of.clear(of.length) < of.asked
    if ("headroom-low" in codes) != low and abs(of.clear(of.length) - of.asked) > SAME_MM:
        wrong.append(f"{codes} at {of.clear(of.length)} of {of.asked}")
    return wrong


def spoilt(command, folder):
    """A report with one figure moved by two millionths of an inch has to be told."""
    stair = Stair(7)
    place = Path(folder) / "spoilt"
    place.mkdir()
    (place / "rules.toml").write_text(stair.rules())
    (place / "job.toml").write_text(stair.toml())
    run = subprocess.run([command, "solve", str(place / "job.toml"), "--json"], capture_output=True, text=True, check=False)
    report = json.loads(run.stdout)
    if wrong(stair, report):
        return False
    report["stairs"][0]["landings"][0]["framing_mm"] += 2 * SAME_MM
    return len(wrong(stair, report)) == 1


def main():
    command, count = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 60
    first = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    passed = failed = 0
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(2) as pool:
        seeds = range(first, first + count)
        for kind, what in ((Stair, "stairs of two to four flights"), (Under, "flights under an opening")):
            bad = 0
            for seed, said in pool.map(lambda seed, kind=kind: solved(command, seed, folder, kind), seeds):
                if said:
                    bad += 1
                    print(f"FAIL {kind.__name__} {seed}: {said[0]} ({len(said)} in all)")
            if bad == 0:
                passed += 1
                print(f"ok   {count} {what} from seed {first}")
            failed += bad
        if spoilt(command, folder):
            passed += 1
            print("ok   self-test: a figure two millionths of an inch off is told")
        else:
            failed += 1
            print("FAIL self-test: a spoilt report is not told by its one figure")
    print(f"{passed} passed, {failed} failed")
    return failed > 0


if __name__ == "__main__":
    sys.exit(main())
