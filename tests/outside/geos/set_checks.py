"""What every program of several pieces is held against. See README.md."""

import itertools
import math
import tomllib

import shapely
from shapely import Point
from shapely.geometry import box as rectangle

from check import MARKS_INSIDE_MM, TABS_MM, cut_length, line_of, marks_as_said, marks_depth, words
from shared import PROGRAM_MM, length_mm, lifted
from sheet import PROFILES, pins_of
from swept import NOTHING_MM2, SAGITTA_MM, disc, grown, nearest_on, on_ring, parted, spot

# How far dowel holes of layers may differ: rounding of figures in the report.
REPORT_MM = 1e-6
# How far from its piece a cutter's way in may reach, in cutter widths; a beam's lead, in mm. The planner's own room.
ENTRY_WIDTHS, BEAM_LEAD_MM = 1.0, 3.0
# What the printed shift must say as well as the report.
SHIFT_MM = 0.003


def apart(sheet):
    """Pieces do not overlap and keep the spacing."""
    least, problems = sheet.spacing(), []
    for a, b in itertools.combinations(sheet.pieces, 2):
        if a.whole.intersection(b.whole).area > NOTHING_MM2:
            problems.append(f"{a.name} and {b.name} overlap")
        elif a.whole.distance(b.whole) < least - sheet.slack:
            problems.append(f"{a.name} and {b.name} {a.whole.distance(b.whole):.6f} mm apart, wanted {least:.6f}")
    return problems


def on_stock(sheet):
    """Pieces keep the margin and a cutter from the stock's edge, and are off the clamps."""
    room = sheet.stock.buffer(sheet.slack - sheet.margin - 2 * sheet.radius, join_style="mitre")
    out = [f"{p.name} is in the margin" for p in sheet.pieces if not room.covers(p.whole)]
    return out + [f"{p.name} is under a clamp" for p in sheet.pieces for c in sheet.clamps if c.distance(p.whole) <= 0]


def off_limits(sheet):
    """Neither the margin nor a clamp is cut."""
    taken = sheet.swept(sheet.radius)
    _, beside = parted(taken, sheet.stock.buffer(PROGRAM_MM - sheet.margin, join_style="mitre"))
    problems = [f"{beside.area:.6f} mm2 of the margin cut, near {spot(beside)}"] if beside.area > NOTHING_MM2 else []
    for clamp in sheet.clamps:
        hit, _ = parted(taken, clamp)
        problems += [f"{hit.area:.6f} mm2 of a clamp cut, near {spot(hit)}"] if hit.area > NOTHING_MM2 else []
        if sheet.laser:
            ways = [line_of(m) for m in sheet.moves if None not in m.start[:2] + m.end[:2] and m.start[:2] != m.end[:2]]
            problems += [f"a way over a clamp near {spot(w)}" for w in ways if w.distance(clamp) < sheet.radius - 0.1]
    return problems


def gouge(sheet):
    """Nothing of any piece is taken at any depth, but for the reliefs by their formula."""
    taken, problems = sheet.swept(sheet.radius - PROGRAM_MM), []
    for piece in sheet.pieces:
        hit, _ = parted(taken.intersection(rectangle(*piece.whole.bounds)), piece.region)
        for centre in filter(None, piece.reliefs):
            _, hit = parted(hit, disc(centre, sheet.radius))
        if hit.area > NOTHING_MM2:
            problems.append(f"{hit.area:.6f} mm2 of {piece.name} taken, near {spot(hit)}")
    return problems


def uncut(sheet, piece, reached):
    """What of a piece's boundary, holes too, the tool does not reach through the material, fillets apart."""
    rings = [list(ring.coords) for ring in (piece.region.exterior, *piece.region.interiors)]
    edges = [edge for ring in rings for edge in zip(ring, ring[1:]) if not on_ring(*edge, sheet.stock.exterior)]
    _, left = parted(shapely.line_merge(shapely.MultiLineString(edges)), reached)
    if piece.fillet:
        for corner in piece.inside_corners:
            half = (math.pi - abs(corner.turn)) / 2
            _, left = parted(left, disc(corner.at, sheet.radius / math.tan(half) + 2 * SAGITTA_MM))
    return left


def left_standing(sheet):
    """Every piece's boundary is reached but for the tabs declared, and each of these leaves about its length."""
    reached, problems = sheet.through(sheet.radius + PROGRAM_MM), []
    tabs = [(Point(tab["x_mm"], tab["y_mm"]), tab["length_mm"]) for tab in sheet.program["tabs"]]
    held = [0] * len(tabs)
    for piece in sheet.pieces:
        left, wanted = uncut(sheet, piece, reached), 0.0
        for i, (at, length) in enumerate(tabs):
            if piece.whole.exterior.distance(at) > sheet.radius + PROGRAM_MM:
                continue
            held[i] += 1
            foot = nearest_on(piece.whole.exterior, at)
            own, left = parted(left, disc((foot.x, foot.y), length / 2 + PROGRAM_MM))
            short = length - own.length
            # A larger reach takes off at most this at both ends of a tab.
            if not -TABS_MM <= short <= 2 * math.sqrt((sheet.radius + PROGRAM_MM) ** 2 - sheet.radius**2) + TABS_MM:
                problems.append(f"a tab of {length:.3f} mm leaves {own.length:.3f} mm of {piece.name}, near {spot(foot)}")
        if left.length > 1e-6:
            problems.append(f"{left.length:.4f} mm of {piece.name} uncut, near {spot(left)}")
    return problems + [f"a tab at {spot(at)} holds nothing" for (at, _), count in zip(tabs, held) if not count]


def elsewhere(sheet):
    """What is cut is a kerf round the pieces, the ways in beside it, holes, and pin holes where the words say."""
    beside = BEAM_LEAD_MM + 2 * sheet.radius if sheet.laser else (1 + ENTRY_WIDTHS) * 2 * sheet.radius
    touched, _ = parted(sheet.swept(sheet.radius), sheet.stock)
    for piece in sheet.pieces:
        _, touched = parted(touched, grown(piece.whole, beside + PROGRAM_MM))
    for pin in pins_of(sheet):
        _, touched = parted(touched, pin)
    return [f"{touched.area:.6f} mm2 of the rest touched, near {spot(touched)}"] if touched.area > NOTHING_MM2 else []


def bored(sheet):
    """A pattern has one hole to hang it by, a layer two for dowels, a cleated stringer its cleats'; all layers theirs at the same
    places."""
    wanted = lambda name: 1 if name.startswith("pattern") else 2 if name.startswith("layer") else cleats_of(name)
    cleats_of = lambda name: sheet.files.cleat_holes() if name.startswith("stringer") else 0
    problems, layers = [], []
    for piece, placement in zip(sheet.pieces, sheet.program["placements"]):
        least = 0 if sheet.left else wanted(piece.name) if len(sheet.program["placements"]) > 1 else len(piece.holes)
        if len(piece.holes) != least:
            problems.append(f"{piece.name} has {len(piece.holes)} holes, wanted {least}")
        if piece.name.startswith("layer"):
            layers.append(sorted(lifted([(h["x_mm"], h["y_mm"]) for h in piece.holes], placement)))
    far = max((math.dist(p, q) for one in layers for p, q in zip(one, layers[0])), default=0.0)
    return problems + ([f"dowel holes of layers are {far:.6f} mm off"] if far > REPORT_MM else [])


def shift_as_said(sheet):
    """The report's set-ups are what the operator is told, and every section stays within the machine's travel."""
    said = sheet.program.get("setups_mm", [[0.0, 0.0]])
    told = [[0.0, 0.0]]
    for mm, axis in sheet.shifts:
        x, y = told[-1]
        told.append([x - mm, y] if axis == "X" else [x, y - mm])
    problems = [] if len(said) == len(told) else [f"{len(said)} set-ups, the words tell of {len(told)}"]
    problems += [f"set-up at {a}, the words say {b}" for a, b in zip(said, told) if math.dist(a, b) > SHIFT_MM]
    profile = tomllib.loads((PROFILES / "machine" / f"{sheet.program['machine']}.toml").read_text())
    most = [length_mm(profile["travel"][axis]) for axis in "xy"]
    ends = [m.end for m in sheet.machine_moves if None not in m.end[:2]]
    out = [p for p in ends if any(not -PROGRAM_MM <= v <= top + PROGRAM_MM for v, top in zip(p, most))]
    return problems + [f"{len(out)} ends beyond the travel, first {out[0]}" for _ in out[:1]]


def marks_inside(sheet):
    """Every mark lies on one piece, three millimetres and half a stroke from its edge and from its holes."""
    declared, problems = sheet.program["marks"], []
    if declared is None:
        return ["strokes, and the report has no marks"] if sheet.marks() else []
    least = MARKS_INSIDE_MM + declared["width_mm"] / 2
    for move in sheet.marks():
        line = line_of(move)
        own = [p for p in sheet.pieces if p.whole.contains(line)]
        room = line.distance(own[0].region.boundary) if own and own[0].region.contains(line) else 0.0
        if room < least - PROGRAM_MM:
            problems.append(f"line {move.line}: a mark {room:.4f} mm inside, wanted {least:.4f}")
    return problems


CUTS = {
    "words, rapids and tool": words,
    "pieces apart": apart,
    "pieces on the stock, off clamps": on_stock,
    "margin and clamps uncut": off_limits,
    "nothing of a piece taken": gouge,
    "every boundary cut through but for tabs": left_standing,
    "rest of the stock untouched": elsewhere,
    "holes counted": bored,
    "set-ups as told, within travel": shift_as_said,
    "cut length": cut_length,
    "marks well inside": marks_inside,
    "marks are the report's": marks_as_said,
}
MARKS = {
    "words, rapids and tool": words,
    "marks well inside": marks_inside,
    "marks are the report's": marks_as_said,
    "marks' depth": marks_depth,
    "cut length": cut_length,
}
