"""What a changed program does to the wood that the good one does not: judged by sweeping both, with nothing of the program
under test. Only moves that are in one and not in the other can make a difference, so only those are swept anew."""

import json
import math
import re

import numpy
import shapely

from sweep import SKIN_MM, Unread, below, capsules, joined, parts, read

# Half of how wide a strip must be to count: twice the proof's own tolerance and the last digits of both programs.
STRIP_MM = 0.03
# What is smaller than this is dust or a chip: a disc of 20 mm across.
COIN_MM2 = math.pi * 10**2
# How near the part's edge wood must stand to count as left on it.
EDGE_MM = 0.3


class Good:
    """A program as it was made, with what the report says of it."""

    def __init__(self, folder, file):
        report = json.loads((folder / "report.json").read_text())
        program = next(p for p in report["programs"] if p["file"] == file)
        self.text = (folder / file).read_text()
        stock = program["stock"]
        self.thickness, self.radius = stock["thickness_mm"], program["cutter_mm"] / 2
        self.beam = program["process"] == "laser"
        self.cuts = program["offset_applied"] != "none"
        self.sheet = shapely.box(0, 0, stock["length_mm"], stock["width_mm"])
        self.board = is_of_boards(report, program)
        self.part_mm2 = shapely.Polygon(report["outline"]["vertices_mm"]).area if self.board else None
        self.shifts = shifts_of(program)
        self.top = self.thickness if program["z_zero"] == "bed" else 0.0
        # Of a part that is moved along, the other set-ups' programs: what they do is done whatever this one does.
        self.other_files = [folder / p["file"] for p in together(report, program)]
        self.others = [read((folder / p["file"]).read_text(), shifts_of(p), self.top) for p in together(report, program)]
        sheets = [s for s in report.get("sheets", []) if file in s["programs"]]
        self.clamps = [clamp_of(c) for s in sheets for c in s["clamps"]]
        self.beam_energy = beam_energy(self.text) if self.beam else None
        self.moves = self.read(self.text)
        self.safe = self.moves.xyz[:, 5].max()
        self.floor = self.moves.xyz[:, 5].min()
        self.keys = keys(self.moves)
        self.known = {}
        tabs = [tab["height_mm"] for tab in program["tabs"]]
        self.through = -self.thickness + SKIN_MM
        self.neck = -self.thickness + min(tabs) / 2 if tabs else self.through
        self.pieces = self.pieces_of(program, -self.thickness + max(tabs) + SKIN_MM if tabs else self.through)
        # Nearer than a cut is wide: what lies beyond it is waste of leads.
        self.near_pieces = self.pieces.buffer(min(EDGE_MM, 1.5 * self.radius))
        working = self.working()
        self.levels = level_cuts(working)
        self.most_feed = working.feed.max()
        self.least_speed = working.power.min()
        self.standing = {level: standing(self, self.swept(level)) for level in {self.through, self.neck}}

    def read(self, text):
        moves = joined([read(text, self.shifts, self.top), *self.others])
        return beamed(moves, self) if self.beam else moves

    def working(self):
        """The moves in the wood."""
        xyz = self.moves.xyz
        return self.moves.chosen((numpy.minimum(xyz[:, 2], xyz[:, 5]) < -SKIN_MM) & ~self.moves.rapid)

    def swept(self, level):
        if level not in self.known:
            self.known[level] = shapely.union_all(capsules(below(self.moves, level)[0], self.radius))
        return self.known[level]

    def pieces_of(self, program, level):
        """The pieces: what the cut parts from the rest at a height above the tabs. A marks' program parts nothing."""
        if not self.cuts:
            return self.sheet
        left = parts(self.sheet.difference(self.swept(level)))
        rim = self.sheet.exterior
        inner = [p for p in left if p.distance(rim) > 1e-6]
        if self.board:
            # Its own edges are the board's, and what stays of the board may be larger.
            inner = sorted(left, key=lambda p: abs(p.area - self.part_mm2))
        return shapely.union_all(inner[:len(program["placements"])])


def is_of_boards(report, program):
    """Whether a program cuts a board, whose largest part is what is clamped; it lies on none of the sheets."""
    on_sheet = any(program["file"] in sheet["programs"] for sheet in report.get("sheets", []))
    return bool(report.get("boards")) and not on_sheet


def together(report, program):
    """The other programs that cut the same stock, or mark it, in other set-ups; the table's bores are no set-up."""
    def is_alike(p):
        return p.get("set_up", {}).get("number", 0) > 0 and (p["marks"] is None) == (program["marks"] is None)
    return [p for p in report["programs"] if p["file"] != program["file"] and is_alike(p)] if is_alike(program) else []


def shifts_of(program):
    return [shift_of(s) for s in program.get("setups_mm", [])] or [(0.0, 0.0)]


def shift_of(shift):
    return tuple(shift) if isinstance(shift, list) else (shift["x_mm"], shift["y_mm"])


def clamp_of(c):
    return shapely.box(c["x_mm"], c["y_mm"], c["x_mm"] + c["length_mm"], c["y_mm"] + c["width_mm"])


def level_cuts(working):
    """Every height that is cut at, a little above it and a little below, for marks and pockets have their own."""
    flat = working.xyz[working.xyz[:, 2] == working.xyz[:, 5]]
    heights, counts = numpy.unique(numpy.round(flat[:, 5], 2), return_counts=True)
    often = heights[counts >= max(2, counts.sum() / 100)]
    return sorted({-SKIN_MM, *(float(h) - 0.1 for h in often)}, reverse=True)


def beam_energy(text):
    """Power by feed of the strongest cut: what goes through."""
    moves = read(text)
    lit = moves.on & (moves.power > 0) & ~moves.rapid
    strong = lit & (moves.power >= moves.power[lit].max() * 0.99)
    return float(numpy.min(moves.power[strong] / moves.feed[strong]))


def beamed(moves, good):
    """A beam's moves with the height that its energy reaches in place of the head's; a lit rapid counts as a cut."""
    lit = moves.on & (moves.power > 0)
    with numpy.errstate(divide="ignore", invalid="ignore"):
        share = numpy.where(lit, moves.power / numpy.maximum(moves.feed, 1e-9) / good.beam_energy, 0.0)
    height = numpy.select([share <= 0, share < 0.3, share < 0.85], [5.0, -0.1 * good.thickness, -0.5 * good.thickness], -good.thickness - 0.5)
    low = (moves.xyz[:, 2] != moves.xyz[0, 2]) | (moves.xyz[:, 5] != moves.xyz[0, 5])
    height = numpy.where(low, numpy.minimum(height, moves.xyz[:, 5]), height)
    moves.xyz[:, 2] = moves.xyz[:, 5] = height
    return moves


def keys(moves):
    """Where a move takes wood away, so that equal ones can be told: how quickly it does and in which line is left out."""
    rows = numpy.round(moves.xyz, 6) + 0.0
    return numpy.ascontiguousarray(rows).view("V48").ravel().tolist()


def standing(good, swept):
    """The parts of the stock that stay, without chips."""
    return [p for p in parts(good.sheet.difference(swept)) if p.area > COIN_MM2]


def solid(region):
    """What of a region is wider than a strip that the tolerances explain."""
    return region.buffer(-STRIP_MM) if not region.is_empty else region


def spot(region):
    at = region.representative_point()
    return f"{at.x:.2f}, {at.y:.2f} ({region.area:.3g} mm2)"


def faults(good, text):
    """What is wrong with a program that was taken: (`hard` or `soft`, code, where) each."""
    try:
        moves = good.read(text)
    except Unread as why:
        return [("hard", "unread", str(why))]
    known = keys(moves)
    own, old = set(good.keys), set(known)
    new = moves.chosen(numpy.array([key not in own for key in known], dtype=bool))
    lost = good.moves.chosen(numpy.array([key not in old for key in good.keys], dtype=bool))
    found = settings(good, moves)
    found += [("hard", "clamp", spot(at)) for at in clamped(good, new)]
    found += gouged(good, new)
    found += left(good, moves, lost)
    if good.cuts:
        found += loose(good, moves, new, lost)
    return found


def settings(good, moves):
    """Rapids, depth, a stopped tool, speed and feed."""
    low = numpy.minimum(moves.xyz[:, 2], moves.xyz[:, 5])
    deep, on = low < -SKIN_MM, moves.on
    # Straight up is the one way out of the wood that may be quick.
    away = (moves.xyz[:, :2] == moves.xyz[:, 3:5]).all(axis=1) & (moves.xyz[:, 5] > moves.xyz[:, 2])
    work = deep & ~moves.rapid
    checks = [
        ("hard", "rapid", deep & moves.rapid & ~away),
        ("hard", "stopped", work & ~on),
        ("hard", "floor", low < good.floor - 0.05),
        ("soft", "fast", work & (moves.feed > 1.5 * good.most_feed)),
        ("soft", "slow-tool", work & (moves.power < 0.5 * good.least_speed) & (not good.beam)),
    ]
    found = []
    for severity, code, which in checks:
        which = numpy.flatnonzero(which)
        in_stock = shapely.intersects(capsules(moves.xyz[which][:, [0, 1, 3, 4]], good.radius), good.sheet) if len(which) else []
        if numpy.any(in_stock) or code == "floor" and len(which):
            found.append((severity, code, f"line {int(moves.line[which[0]])}"))
    return found


def clamped(good, new):
    if not good.clamps:
        return []
    rows, _ = below(new, math.inf if good.beam else good.safe - 0.01)
    ways = capsules(rows, good.radius)
    clamps = shapely.union_all(good.clamps)
    return [shapely.intersection(way, clamps) for way in ways[shapely.intersects(ways, clamps.buffer(-0.05))]][:1]


def gouged(good, new):
    """Wood of a piece that the good program leaves, at the skin and below every height that it cuts at."""
    for level in good.levels:
        rows, _ = below(new, level)
        if not len(rows):
            continue
        more = shapely.union_all(capsules(rows, good.radius))
        if not more.intersects(good.pieces):
            continue
        more = solid(more.intersection(good.pieces).difference(good.swept(level)))
        if not more.is_empty:
            return [("hard", "gouge" if good.cuts else "mark-elsewhere", f"{spot(more)} below {level:.2f}")]
    return []


def left(good, moves, lost):
    """Wood at a piece's edge, or in a mark or pocket of it, that the good program takes away."""
    for level in [good.through, *(level + 0.2 for level in good.levels[1:] if good.through < level + 0.2 < -SKIN_MM), -SKIN_MM]:
        rows, _ = below(lost, level)
        if not len(rows):
            continue
        less = shapely.union_all(capsules(rows, good.radius)).intersection(good.near_pieces)
        around, _ = below(moves, level)
        ways = capsules(around, good.radius)
        ways = ways[shapely.intersects(ways, less)] if len(ways) else ways
        less = solid(less.difference(shapely.union_all(ways)))
        if not less.is_empty:
            return [("hard", "left" if level == good.through else "shallow", f"{spot(less)} at {level:.2f}")]
    return []


def loose(good, moves, new, lost):
    """Pieces of wood that hang on less than they did: at full depth, and at half the height of a tab."""
    for level in sorted({good.through, good.neck}):
        more, less = below(new, level)[0], below(lost, level)[0]
        if not len(more) and not len(less):
            continue
        swept = good.swept(level)
        if len(less):
            gone = shapely.union_all(capsules(less, good.radius))
            ways = capsules(below(moves, level)[0], good.radius)
            swept = swept.difference(gone).union(shapely.union_all(ways[shapely.intersects(ways, gone)]))
        swept = swept.union(shapely.union_all(capsules(more, good.radius)))
        now, rim = standing(good, swept), good.sheet.exterior
        for part in now:
            if hangs(good, part, now, rim):
                continue
            if any(part.symmetric_difference(old).area < 0.05 * part.area for old in good.standing[level]):
                continue
            return [("hard", "loose" if level == good.through else "thin-tab", f"{spot(part)} at {level:.2f}")]
    return []


def hangs(good, part, now, rim):
    """A sheet's wood hangs where it reaches the sheet's edge; all of a board hangs on its largest part."""
    return part is now[0] if good.board else part.distance(rim) < 1e-6


def bare(text):
    """The program without the job's fingerprint."""
    return re.sub(r"^.*\bJob: [0-9a-f]{16}.*\n", "", text, flags=re.MULTILINE)
