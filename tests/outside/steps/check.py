"""Treads, riser boards, skirts and rails of random invented stairs, solved by the command and by plane geometry of its own.
See README.md.

usage: check.py SEATCUT [COUNT [SEED]]
"""

import copy
import json
import math
import random
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from shapely import Point, Polygon, box, union_all
from shapely.affinity import scale

INCH = 25.4
# A millionth of an inch.
SAME_MM = 1e-6 * INCH
# Of areas, in square mm: as large as such a line along the longest edge drawn.
SAME_MM2 = SAME_MM * 1e4


class Stair:
    """An invented stair in mm, and the job that says it."""

    def __init__(self, seed):
        d = random.Random(seed)
        inch = lambda least, most: d.randint(round(least * 16), round(most * 16)) / 16 * INCH
        self.flush = d.random() < 0.3
        self.n = d.randint(2, 16)
        self.r, self.g, self.o = inch(5, 8.5), inch(8, 13), inch(0, 1.5)
        self.p, self.t = inch(0.25, 1), inch(0.75, 2)
        self.p_h = inch(0, 1) if d.random() < 0.5 else self.p
        self.finish, self.width = inch(0, 2), inch(24, 60)
        self.come = inch(0, 0.75) if d.random() < 0.4 else 0.0
        self.spacer = inch(0, 1.5) if d.random() < 0.4 else 0.0
        self.top = inch(4, 14)
        self.under, self.past = d.random() < 0.5, inch(0, 2)
        self.sides = [d.choice(["open", "wall", None]), d.choice(["open", "wall"])]
        d.shuffle(self.sides)
        self.skirt, self.mitre, self.above = inch(0.5, 1), d.random() < 0.5, inch(0.5, 3)
        self.board = inch(9, 16)
        self.height, self.post, self.apart = inch(30, 42), inch(1.5, 5.5), inch(20, 96)
        self.baluster, self.gap = (inch(0.5, 2), inch(2.5, 5)) if d.random() < 0.8 else (None, 4 * INCH)

    def toml(self):
        typed = lambda mm: f'"{mm / INCH!r} in"'
        lines = [
            'title = "Invented"', 'rules = "rules.toml"', "[rise]", f"total = {typed(self.r * self.n)}", f"risers = {self.n}",
            f"finish_to_come = {typed(self.come)}", "[tread]", f"cut = {typed(self.g)}", f"overhang = {typed(self.o)}",
            f"thickness = {typed(self.t)}", f"riser_board = {typed(self.p)}", "[head]",
            f'meets = "{"flush" if self.flush else "one-down"}"', f"finish = {typed(self.finish)}",
            f"riser_board = {typed(self.p_h)}", f"spacer = {typed(self.spacer)}",
            *([f"top_tread = {typed(self.top)}"] if self.flush else []),
            "[board]", f"width = {typed(16 * INCH)}", 'thickness = "1 1/2 in"', "[stair]", f"width = {typed(self.width)}",
            "[steps]", f'back = "{"under" if self.under else "butt"}"', f"past_sides = {typed(self.past)}",
            "[skirts]", f"thickness = {typed(self.skirt)}", f"width = {typed(self.board)}", f"above = {typed(self.above)}",
            f'at_risers = "{"mitre" if self.mitre else "butt"}"',
            *[f'{side} = "{kind}"' for side, kind in zip(["left", "right"], self.sides) if kind],
            "[rail]", f"height = {typed(self.height)}", f"post = {typed(self.post)}", f"most_apart = {typed(self.apart)}",
            f"most_gap = {typed(self.gap)}", *([f"baluster = {typed(self.baluster)}"] if self.baluster else []),
        ]
        return "\n".join(lines) + "\n"

    # The stringer stands `come` lower than the finished floor; heights from where it stands.
    def m(self):
        return self.n if self.flush else self.n - 1

    def tread_cut(self, k):
        return self.come + k * self.r - self.t

    def head_x(self):
        return (self.m() - 1) * self.g + (self.top - self.spacer if self.flush else self.g - self.p + self.p_h - self.spacer)


def laid(stair):
    """Every tread and riser board as a rectangle where it stands, from the faces that it stands between."""
    m, rim = stair.m(), stair.head_x() + stair.spacer
    front = lambda k: (k - 1) * stair.g - stair.p
    behind = [front(k + 1) for k in range(1, m)] + [rim if stair.flush else rim - stair.p_h]
    board_behind = [stair.p] * (m - 1) + [0.0 if stair.flush else stair.p_h]
    treads = []
    for k in range(1, m + 1):
        back = behind[k - 1] + (board_behind[k - 1] if stair.under else 0.0)
        treads.append(box(front(k) - stair.o, stair.tread_cut(k), back, stair.tread_cut(k) + stair.t))
    risers = []
    for k in range(1, m + 1):
        foot = stair.come if k == 1 else stair.tread_cut(k - 1) + (stair.t if stair.under else 0.0)
        risers.append(box(front(k), foot, front(k) + stair.p, stair.tread_cut(k)))
    if not stair.flush and stair.p_h:
        foot = stair.tread_cut(m) + (stair.t if stair.under else 0.0)
        risers.append(box(rim - stair.p_h, foot, rim, stair.come + stair.n * stair.r - stair.finish))
    return treads, risers


def compare(what, found, wanted):
    if abs(found - wanted) > SAME_MM:
        return [f"{what}: {found / INCH:.7f} in, and {wanted / INCH:.7f} in by plane geometry"]
    return []


def step_wrongs(stair, report):
    treads, risers = laid(stair)
    for pieces in (treads, risers):
        every = union_all([piece for piece in pieces if piece.area > 0])
        assert abs(every.area - sum(piece.area for piece in pieces)) < SAME_MM2
    wrongs = []
    if union_all(treads).intersection(union_all(risers)).area > SAME_MM2:
        wrongs.append("treads and riser boards lie in each other")
    # Of every reported size as many as stand in the stair, and none left over.
    sizes = lambda pieces, of: sorted(of(piece.bounds) for piece in pieces)
    wanted = {
        "tread": sizes(treads, lambda b: b[2] - b[0]),
        "riser": sizes([piece for piece in risers if piece.area > 0], lambda b: b[3] - b[1]),
    }
    open_sides, walls = stair.sides.count("open"), stair.sides.count("wall")
    lengths = {
        "tread": stair.width + (2 - walls) * stair.past,
        "riser": stair.width + open_sides * stair.skirt,
    }
    for name, all_wanted in wanted.items():
        own = [piece for piece in report["steps"]["pieces"] if piece["what"].endswith(name)]
        found = sorted(piece["width_mm"] for piece in own for _ in range(piece["count"]))
        if len(found) != len(all_wanted):
            wrongs.append(f"{len(found)} of {name}, and {len(all_wanted)} stand in the stair")
        for a, b in zip(found, all_wanted):
            wrongs += compare(f"size of a {name}", a, b)
        for piece in own:
            # On the rim there is no skirt.
            wanted_length = stair.width if piece["what"] == "head-riser" else lengths[name]
            wrongs += compare(f"length of a {name}", piece["length_mm"], wanted_length)
    return wrongs


def skirt_wrongs(stair, report):
    wrongs = []
    stringer = Polygon(report["outline"]["vertices_mm"])
    floor = box(-1e5, stair.come, 1e5, 1e5)
    _, risers = laid(stair)
    slope = stair.r / stair.g
    square = math.hypot(1, slope)
    nosing = stair.tread_cut(1) + stair.t
    first = -stair.p - stair.o
    # The corners where a riser's face meets what is trodden on below it.
    corners = [Point(k * stair.g - stair.p, stair.come + k * stair.r) for k in range(stair.m())]
    told = {skirt["side"]: skirt for skirt in report["steps"].get("skirts", [])}
    narrow = any(finding["code"] == "skirt-narrow" for finding in report["findings"])
    top = lambda x: nosing + slope * (x - first) + stair.above * square
    for side, kind in zip(["left", "right"], stair.sides):
        if kind is None:
            wrongs += ["a skirt where none is asked for"] if side in told else []
            continue
        if kind == "wall":
            deepest = max(top(c.x) - c.y for c in corners) / square
            if stair.board <= deepest:
                wrongs += [] if narrow and side not in told else [f"a wall skirt {stair.board / INCH} in wide is not told"]
                continue
            low = lambda x: top(x) - stair.board * square
            rim = stair.head_x() + stair.spacer
            band = Polygon([(first, low(first)), (rim, low(rim)), (rim, top(rim)), (first, top(first))])
            wanted = band.intersection(floor)
        else:
            wanted = stringer.intersection(floor)
            if stair.mitre:
                m = stair.m()
                cuts = [stair.come] + [stair.tread_cut(k) for k in range(1, m + 1)]
                strips = [box(k * stair.g - stair.p, cuts[k], k * stair.g, cuts[k + 1]) for k in range(m)]
                wanted = union_all([wanted, *strips])
        if side not in told:
            wrongs.append(f"no {kind} skirt on the {side}")
            continue
        found = Polygon(told[side]["vertices_mm"])
        # The face that shows: an open one from outside, a wall skirt from the stair.
        if (side == "left") == (kind == "open"):
            wanted = scale(wanted, xfact=-1, origin=(0, 0))
        if not found.is_valid or found.symmetric_difference(wanted).area > SAME_MM2:
            wrongs.append(f"the {kind} skirt on the {side} is another shape, by {found.symmetric_difference(wanted).area} mm2")
    return wrongs


def rail_wrongs(stair, report):
    rail, m = report["rail"], stair.m()
    middle = lambda k: (k - 1) * stair.g + (stair.head_x() - (m - 1) * stair.g if k == m else stair.g) / 2
    wrongs = compare("rail, square", rail["square_height_mm"], stair.height * stair.g / math.hypot(stair.r, stair.g))
    treads = [post["tread"] for post in rail["posts"]]
    steps = [b - a for a, b in zip(treads, treads[1:])]
    if treads[0] != 1 or treads[-1] != m:
        wrongs.append(f"posts over {treads} of {m} treads")
    # The fewest even spans of whole treads that are short enough, or one tread each.
    fewest = next((s for s in range(1, m) if -(-(m - 1) // s) * stair.g <= stair.apart + SAME_MM), max(m - 1, 0))
    if len(steps) != fewest or (steps and max(steps) > -(-(m - 1) // fewest)):
        wrongs.append(f"posts over {treads}: {fewest} spans of {m - 1} treads would do")
    for post in rail["posts"]:
        k = post["tread"]
        line = stair.r * k + (middle(k) - ((k - 1) * stair.g - stair.p - stair.o)) * stair.r / stair.g
        wrongs += compare("post", post["at_mm"], middle(k) + stair.p)
        wrongs += compare("rail over the tread", post["over_tread_mm"], line + stair.height - stair.r * k)
        edge = [(a, b) for a, b, role in zip(report["outline"]["vertices_mm"], report["outline"]["vertices_mm"][1:] + report["outline"]["vertices_mm"][:1], report["outline"]["roles"]) if role == "lower edge"]
        for a, b in edge:
            low = a[1] + (b[1] - a[1]) * (middle(k) - a[0]) / (b[0] - a[0])
            # Where the stringer stands on the floor its lower edge has ended.
            wrongs += compare("rail over the lower edge", post["over_lower_edge_mm"], line + stair.height - max(low - stair.come, 0.0))
    for bay in rail["bays"]:
        a, b = bay["treads"]
        clear = max(middle(b) - middle(a) - stair.post, 0.0)
        wrongs += compare("between posts", bay["clear_mm"], clear)
        count = 0
        if stair.baluster:
            while (clear - count * stair.baluster) / (count + 1) > stair.gap + SAME_MM:
                count += 1
            wrongs += compare("opening", bay["gap_mm"], (clear - count * stair.baluster) / (count + 1))
        if bay["balusters"] != count:
            wrongs.append(f"{bay['balusters']} balusters, and {count} by trying")
    return wrongs


def wrongs_of(stair, report):
    wrongs = step_wrongs(stair, report) + rail_wrongs(stair, report)
    # Skirts and posts follow a stringer; a flight may have none.
    return wrongs + (skirt_wrongs(stair, report) if report["outline"] else [])


RULES = """kind = "rules"
about = "invented, without a limit"
aim = "7 in"
"""


def solved(program, folder, seed):
    stair = Stair(seed)
    job = folder / f"{seed}.toml"
    job.write_text(stair.toml())
    run = subprocess.run([program, "solve", job, "--json"], capture_output=True, text=True)
    if run.returncode not in (0, 4):
        return stair, None, f"exit {run.returncode}: {run.stderr[:300]}"
    return stair, json.loads(run.stdout), None


def main():
    program, count = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 60
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    passed = failed = 0
    spoilt = None
    kinds = {"wall": 0, "open": 0, "narrow": 0, "no part": 0}
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / "rules.toml").write_text(RULES)
        with ThreadPoolExecutor(2) as pool:
            for i, (stair, report, broke) in enumerate(pool.map(lambda i: solved(program, folder, seed * 100_000 + i), range(count))):
                wrongs = [broke] if broke else wrongs_of(stair, report)
                if wrongs:
                    failed += 1
                    print(f"FAIL steps {seed * 100_000 + i}: {'; '.join(wrongs[:4])}")
                    continue
                passed += 1
                for skirt in report["steps"].get("skirts", []):
                    kinds[skirt["kind"]] += 1
                kinds["narrow"] += any(finding["code"] == "skirt-narrow" for finding in report["findings"])
                kinds["no part"] += report["outline"] is None
                if spoilt is None and report["outline"] and report["steps"].get("skirts") and report["rail"]["bays"]:
                    spoilt = (stair, report)
    print(f"ok   steps: {passed} stairs: {kinds}")
    for name, spoil in {
        "a tread two millionths of an inch too deep": lambda r: r["steps"]["pieces"][0].update(width_mm=r["steps"]["pieces"][0]["width_mm"] + 2 * SAME_MM),
        "a corner of a skirt a hundredth of a millimetre off": lambda r: r["steps"]["skirts"][0]["vertices_mm"][0].__setitem__(1, r["steps"]["skirts"][0]["vertices_mm"][0][1] + 0.01),
        "one baluster less": lambda r: r["rail"]["bays"][0].update(balusters=r["rail"]["bays"][0]["balusters"] - 1),
    }.items():
        if spoilt is None:
            print(f"FAIL self-test: no stair to spoil: {name}")
            failed += 1
            continue
        report = copy.deepcopy(spoilt[1])
        spoil(report)
        if wrongs_of(spoilt[0], report):
            passed += 1
            print(f"ok   self-test: {name} is noticed")
        else:
            failed += 1
            print(f"FAIL self-test: {name} is not noticed")
    print(f"{passed} passed, {failed} failed")
    sys.exit(failed > 0)


if __name__ == "__main__":
    main()
