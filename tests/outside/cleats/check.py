"""Random invented stairs on cleats, solved by the command and by plane geometry of GEOS. See README.md.

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

from shapely import LineString, Point, Polygon, box

INCH = 25.4
# A millionth of an inch.
SAME_MM = 1e-6 * INCH
# Farther than any stair reaches.
FAR = 1e5
# What is nearer to a limit than this is not held against the command there.
NEAR_MM = 1e-3

RULES = """kind = "rules"
about = "invented, without a limit"
aim = "7 in"
"""


class Stair:
    """An invented stair in mm, and the job that says it."""

    def __init__(self, seed):
        d = random.Random(seed)
        inch = lambda least, most: d.randint(round(least * 16), round(most * 16)) / 16 * INCH
        self.flush = d.random() < 0.35
        self.n = d.randint(1 if self.flush else 2, 16)
        self.r, self.g, self.o, self.t = inch(5, 8.5), inch(8, 13), inch(0, 1.5), inch(0.75, 2.5)
        self.p = inch(0.25, 1) if d.random() < 0.4 else 0.0
        self.p_h = inch(0, 1) if d.random() < 0.4 else self.p
        self.finish = inch(0, 2)
        self.come = inch(0, 0.75) if d.random() < 0.4 else 0.0
        self.on = inch(0.5, 2.5) if d.random() < 0.3 else 0.0
        self.spacer = inch(0, 1.5) if d.random() < 0.3 else 0.0
        self.top = inch(4, 14)
        self.board = inch(8, 16)
        self.above = inch(0, 2) if d.random() < 0.5 else 0.0
        self.right = d.random() < 0.5
        self.angle = d.random() < 0.4
        self.steel = inch(0.125, 0.25) if self.angle else 0.0
        self.height = inch(1, 3.5)
        self.length = inch(3, 13) if d.random() < 0.4 else None
        self.back = inch(0, 3) if d.random() < 0.6 else None
        self.hole = inch(0.1875, 0.5)
        self.count = d.randint(1, 5)
        self.end, self.edge = inch(0.5, 2), inch(0.25, 0.75)

    def set_back(self):
        if self.back is not None:
            return self.back
        return self.o + self.p if self.p else 0.5 * INCH

    def toml(self):
        typed = lambda mm: f'"{mm / INCH!r} in"'
        kind = [f'with = "angle"', f"leg = {typed(1.5 * INCH)}", f"thickness = {typed(self.steel)}"]
        lines = [
            'title = "Invented"', 'rules = "rules.toml"', "[rise]", f"total = {typed(self.r * self.n)}", f"risers = {self.n}",
            f"finish_to_come = {typed(self.come)}", "[tread]", f"cut = {typed(self.g)}", f"overhang = {typed(self.o)}",
            f"thickness = {typed(self.t)}", f"riser_board = {typed(self.p)}", "[head]",
            f'meets = "{"flush" if self.flush else "one-down"}"', f"finish = {typed(self.finish)}",
            f"riser_board = {typed(self.p_h)}", f"spacer = {typed(self.spacer)}",
            *([f"top_tread = {typed(self.top)}"] if self.flush else []),
            *(["[foot]", f'stands_on = {{ what = "plate", height = {typed(self.on)} }}'] if self.on else []),
            "[board]", f"width = {typed(self.board)}", 'thickness = "1 1/2 in"',
            "[cleat]", *(kind if self.angle else [f"thickness = {typed(1.5 * INCH)}"]), f"height = {typed(self.height)}",
            f"edge_above = {typed(self.above)}", f'hand = "{"right" if self.right else "left"}"', f"hole = {typed(self.hole)}",
            f"count = {self.count}", f"end = {typed(self.end)}", f"edge = {typed(self.edge)}",
            *([f"length = {typed(self.length)}"] if self.length is not None else []),
            *([f"set_back = {typed(self.back)}"] if self.back is not None else []),
        ]
        return "\n".join(lines) + "\n"

    # Heights from what the stringer stands on; the first riser board's back is x = 0.
    def m(self):
        return self.n if self.flush else self.n - 1

    def surface(self, k):
        """What is walked on: 0 the lower floor as finished, k a tread or the upper floor."""
        return self.come - self.on + k * self.r

    def head_x(self):
        last = self.top - self.spacer if self.flush else self.g - self.p + self.p_h - self.spacer
        return (self.m() - 1) * self.g + last

    def front(self, k):
        return (k - 1) * self.g - self.p - self.o

    def tread(self, k):
        """Tread k from its nosing to the riser behind it, the floor framing, or the end of the stringer."""
        behind = self.head_x() if self.flush and k == self.m() else k * self.g - self.p
        return box(self.front(k), self.surface(k) - self.t, min(behind, self.head_x()), self.surface(k))

    def solid(self):
        """The board: a strip along the nosings, between the floor and what the upper finish lies on, the first nosing and the head."""
        along = (math.cos(self.pitch()), math.sin(self.pitch()))
        square = (-along[1], along[0])
        corner = lambda a, s: (
            self.front(1) + a * along[0] + s * square[0], self.surface(1) + a * along[1] + s * square[1],
        )
        strip = Polygon([corner(a, s) for a, s in ((-FAR, self.above - self.board), (FAR, self.above - self.board), (FAR, self.above), (-FAR, self.above))])
        under = self.surface(self.n) - (0.0 if self.flush else self.finish)
        return strip.intersection(box(self.front(1), 0, self.head_x(), under))

    def pitch(self):
        return math.atan2(self.r, self.g)

    def cleat(self, k):
        """Under tread k, its top on the tread's underside."""
        tread = self.tread(k).bounds
        front = tread[0] + self.set_back()
        back = front + self.length if self.length is not None else tread[2]
        return box(front, tread[1] - self.height, back, tread[1]) if back > front else Polygon()

    def holes(self, k):
        """In a row, the first and the last `end` from the ends, halfway up what is free of the leg under the tread."""
        left, low, right, high = self.cleat(k).bounds
        row = LineString([(left + self.end, 0), (right - self.end, 0)]) if self.count > 1 else None
        xs = [(left + right) / 2] if row is None else [row.interpolate(i / (self.count - 1), normalized=True).x for i in range(self.count)]
        return [(x, (low + high - self.steel) / 2) for x in xs]

    def takes(self):
        """What the holes take of a cleat's length."""
        return 2 * self.end + 3 * self.hole * (self.count - 1)


def turned(stair, points):
    """As the report has a right-hand one: it runs toward the lower floor."""
    return [(-x, y) if stair.right else (x, y) for x, y in points]


def same_places(what, found, wanted):
    if len(found) != len(wanted):
        return [f"{what}: {len(found)}, and {len(wanted)} by plane geometry"]
    off = max((math.dist(p, q) for p, q in zip(found, wanted)), default=0.0)
    return [f"{what}: {off / INCH:.7f} in off"] if off > SAME_MM else []


def wrongs_of(stair, report):
    board = stair.solid()
    outline = report["outline"]
    if outline is None:
        # A part only where the board stands on the floor under the first nosing, below the framing at the head.
        return no_part(stair, board)
    if board.geom_type != "Polygon" or board.is_empty:
        return [f"a part, and by plane geometry {board.geom_type}"]
    wrongs = []
    theirs = turned(stair, [tuple(v) for v in outline["vertices_mm"]])
    ours = [tuple(p) for p in board.simplify(0).exterior.coords[:-1]]
    off = max(min(math.dist(p, q) for q in ours) for p in theirs)
    if len(ours) == len(theirs) and off > SAME_MM or board.symmetric_difference(Polygon(theirs)).area > SAME_MM * 1e4:
        wrongs.append(f"outline: {off / INCH:.7f} in off")
    cleats = outline["cleated"]["cleats"]
    if len(cleats) != stair.m():
        return [*wrongs, f"{len(cleats)} cleats under {stair.m()} treads"]
    edge = LineString([corner for corner in upper_edge(stair)])
    told = {}
    for finding in report["findings"]:
        told.setdefault(finding["code"], []).append(finding)
    for k, cleat in enumerate(cleats, 1):
        shape = stair.cleat(k)
        if shape.is_empty:
            if "cleat-no-length" not in told:
                wrongs.append(f"cleat {k} has no length, and that is not said")
            continue
        left, low, right, high = shape.bounds
        corners = [(left, low), (right, low), (right, high), (left, high)]
        wrongs += same_places(f"cleat {k}", turned(stair, [tuple(c) for c in cleat["corners_mm"]]), corners)
        fits = right - left >= stair.takes()
        if abs(right - left - stair.takes()) > NEAR_MM:
            wanted = stair.holes(k) if fits else []
            wrongs += same_places(f"holes of cleat {k}", turned(stair, [tuple(h) for h in cleat["holes_mm"]]), wanted)
        # Where the line of its top meets the upper edge, and how far that is along the board.
        level = LineString([(-FAR, high), (FAR, high)]).intersection(edge)
        toe = along(stair, (stair.front(1), 0))
        wrongs += same_places(f"mark of cleat {k}", [(cleat["along_mm"], cleat["front_mm"])],
                              [(along(stair, level.coords[0]) - toe, left - level.x)])
    return wrongs + room_wrongs(stair, board, told)


def upper_edge(stair):
    a = (math.cos(stair.pitch()), math.sin(stair.pitch()))
    at = (stair.front(1) - a[1] * stair.above, stair.surface(1) + a[0] * stair.above)
    return [(at[0] - FAR * a[0], at[1] - FAR * a[1]), (at[0] + FAR * a[0], at[1] + FAR * a[1])]


def along(stair, point):
    return point[0] * math.cos(stair.pitch()) + point[1] * math.sin(stair.pitch())


def no_part(stair, board):
    if board.is_empty or stair.surface(1) - stair.t <= NEAR_MM or (stair.flush and stair.top - stair.spacer <= NEAR_MM):
        return []
    if stair.head_x() - (stair.m() - 1) * stair.g <= NEAR_MM:
        return []
    toe = Point(stair.front(1), 0)
    head = board.intersection(LineString([(stair.head_x(), -FAR), (stair.head_x(), FAR)]))
    stands = board.buffer(NEAR_MM).contains(toe) and board.distance(toe) == 0 and head.length > NEAR_MM
    return ["no part, and by plane geometry there is one"] if stands else []


def room_wrongs(stair, board, told):
    """What finds no room, by what lies over what."""
    wrongs = []

    def hold(code, is_so, gap):
        if abs(gap) > NEAR_MM and (code in told) != is_so:
            wrongs.append(f"{code} is {'not ' if is_so else ''}said, {gap / INCH:.5f} in")

    cleats = [stair.cleat(k) for k in range(1, stair.m() + 1)]
    cleats = [cleat for cleat in cleats if not cleat.is_empty]
    if len(cleats) < stair.m():
        return wrongs
    # How far one lies past the board, by its farthest corner.
    past = max(board.distance(Point(corner)) for cleat in cleats for corner in cleat.exterior.coords)
    outside = any(code in told for code in ("cleat-off", "cleat-narrow"))
    if past > NEAR_MM and not outside or past == 0.0 and outside and inside_by(board, cleats) > NEAR_MM:
        wrongs.append(f"a cleat past the board by {past / INCH:.5f} in: said {outside}")
    tall = [stair.height - (stair.surface(1) - stair.t)] + [stair.height - (stair.r - stair.t)] * (stair.m() > 1)
    if all(abs(gap) > NEAR_MM for gap in tall):
        hold("cleat-tall", max(tall) > 0, max(tall))
    treads = [stair.tread(k) for k in range(1, stair.m() + 1)]
    longer = [cleat.bounds[2] - tread.bounds[2] for cleat, tread in zip(cleats, treads)]
    if all(abs(gap) > NEAR_MM or abs(gap) < 1e-9 for gap in longer):
        hold("cleat-long", max(longer) > NEAR_MM, max(longer) or 1.0)
    overlap = max((a.intersection(b).area for a, b in zip(cleats, cleats[1:])), default=0.0)
    if overlap > NEAR_MM and "cleats-meet" not in told and "cleat-tall" not in told:
        wrongs.append("two cleats lie in each other, and that is not said")
    if stair.p:
        hold("cleat-at-riser", stair.set_back() < stair.o + stair.p, stair.set_back() - stair.o - stair.p or 1.0)
    short = [cleat.bounds[2] - cleat.bounds[0] - stair.takes() for cleat in cleats]
    if all(abs(gap) > NEAR_MM for gap in short):
        hold("cleat-short", min(short) < 0, min(short))
    hold("cleat-low", stair.height - stair.steel < 2 * stair.edge, stair.height - stair.steel - 2 * stair.edge)
    # Holes by how far they are from the board's own edge.
    holes = [Point(hole) for k in range(1, stair.m() + 1) if short[k - 1] > NEAR_MM for hole in stair.holes(k)]
    if holes and all(abs(gap) > NEAR_MM for gap in short):
        room = min(board.exterior.distance(hole) * (1 if board.contains(hole) else -1) for hole in holes) - stair.edge
        hold("cleat-hole-at-edge", room < 0, room)
    return wrongs


def inside_by(board, cleats):
    return min(board.exterior.distance(cleat) if board.contains(cleat) else 0.0 for cleat in cleats)


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
    seen = {"parts": 0, "no part": 0, "right hand": 0, "angles": 0, "flush": 0}
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        (folder / "rules.toml").write_text(RULES)
        with ThreadPoolExecutor(2) as pool:
            for i, (stair, report, broke) in enumerate(pool.map(lambda i: solved(program, folder, seed * 100_000 + i), range(count))):
                wrongs = [broke] if broke else wrongs_of(stair, report)
                if wrongs:
                    failed += 1
                    print(f"FAIL cleats {seed * 100_000 + i}: {'; '.join(wrongs[:4])}")
                    continue
                passed += 1
                part = report["outline"] is not None
                for name, is_so in {"parts": part, "no part": not part, "right hand": stair.right, "angles": stair.angle, "flush": stair.flush}.items():
                    seen[name] += is_so
                if spoilt is None and part and stair.m() > 2 and report["outline"]["cleated"]["cleats"][1]["holes_mm"]:
                    spoilt = (stair, report)
    print(f"ok   cleats: {passed} stairs: {seen}")
    cleat = lambda r, k: r["outline"]["cleated"]["cleats"][k]
    more = lambda of, by: of.__setitem__(1, of[1] + by)
    for name, spoil in {
        "a cleat two millionths of an inch too high": lambda r: more(cleat(r, 1)["corners_mm"][2], 2 * SAME_MM),
        "a hole two millionths of an inch off": lambda r: more(cleat(r, 1)["holes_mm"][0], 2 * SAME_MM),
        "a corner of the board a tenth of a millimetre off": lambda r: more(r["outline"]["vertices_mm"][2], 0.1),
        "a mark along the edge two millionths off": lambda r: cleat(r, 0).update(along_mm=cleat(r, 0)["along_mm"] + 2 * SAME_MM),
    }.items():
        report = copy.deepcopy(spoilt[1]) if spoilt else None
        noticed = False
        if report:
            spoil(report)
            noticed = bool(wrongs_of(spoilt[0], report))
        passed, failed = passed + noticed, failed + (not noticed)
        print(f"{'ok  ' if noticed else 'FAIL'} self-test: {name} is {'' if noticed else 'not '}noticed")
    print(f"{passed} passed, {failed} failed")
    sys.exit(failed > 0)


if __name__ == "__main__":
    main()
