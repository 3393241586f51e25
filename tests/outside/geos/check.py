"""Sweeps the tool along every program with shapely (GEOS) and holds what is left against the piece. See README.md."""

import math
import re
import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent.parent))

import shapely
from shapely import Point, Polygon
from shapely.geometry import box as rectangle

from gcode import motion
from shared import PROGRAM_MM, Tally, corners, left_by, marks_only, relief_centre, sets
from swept import NOTHING_MM2, SAGITTA_MM, disc, grown, nearest_on, on_ring, parted, spot, sweep

# Uncut boundary against the tabs that the report declares.
TABS_MM = 0.1
# 0.00005 in of Z over the tangent of 3 degrees.
RAMP_END_MM = 0.025
# Length of all cuts against the report's figure; printed digits were seen to make two millionths of a difference.
LENGTH_SHARE = 1e-4
# The rest of these is the planner's own room: longest ramp and overlap, lead of a beam.
LEAD_ALONG_MM = 75.0
BEAM_LEAD_MM = 3.0
# What marks keep from the edge and from the hole at least, their own width apart.
MARKS_INSIDE_MM = 3.0
# A beam that marks has less than this share of the power that cuts.
MARK_POWER = 0.5


class Cut:
    """A program, its piece on the stock, and where the material begins and ends."""

    def __init__(self, files, text):
        self.files, self.radius = files, files.radius
        self.laser = files.program["process"] == "laser"
        self.moves, self.problems = motion(text, self.laser)
        stock = files.program["stock"]
        bed = files.program["z_zero"] == "bed"
        self.top = stock["thickness_mm"] if bed else 0.0
        self.bottom = self.top - stock["thickness_mm"]
        self.stock = rectangle(0, 0, stock["length_mm"], stock["width_mm"])
        self.part = Polygon(files.placed(files.board))
        # The mitre inset is GEOS's own here, the drawings' check has its own arithmetic.
        self.piece = self.part.buffer(-files.inset, join_style="mitre", mitre_limit=100) if files.inset else self.part
        # As far off its corners as off its edges, where something is left beside it.
        self.piece = grown(self.piece, files.left) if files.left else self.piece
        self.outer = self.piece
        self.holes = [((h["x_mm"], h["y_mm"]), h["diameter_mm"] / 2) for h in files.program["holes"]]
        for hole in self.holes:
            self.piece = self.piece.difference(disc(*hole))
        self.full_power = max((m.power for m in self.moves), default=0.0)
        turn = files.program["placements"][0]["turn_deg"]
        ring = list(self.outer.normalize().exterior.coords)[:-1]
        ring = ring if Polygon(ring).exterior.is_ccw else ring[::-1]
        self.inside_corners = [c for c in corners(ring) if c.inside()]
        self.reliefs = [
            relief_centre(c, files.corner_choice, self.radius, files.pitch - turn) for c in self.inside_corners
        ]

    def cutting(self):
        """The moves that take material away: a beam that only scores is not among them."""
        if self.laser:
            return [m for m in self.moves if m.on and not m.rapid and not self.scores(m)]
        return [m for m in self.moves if min(m.start[2], m.end[2]) < self.top - 1e-6]

    def scores(self, move):
        return self.laser and move.on and move.power < self.full_power * MARK_POWER

    def marks(self):
        """The moves that make marks: scored by a beam, or all feed moves of a program that only marks."""
        if marks_only(self.files.program):
            return [m for m in self.cutting() if not m.rapid]
        return [m for m in self.moves if self.scores(m) and not m.rapid]

    def entry(self):
        """The first move of the outline: holes are cut before it, inside."""
        whole = Polygon(self.outer.exterior)
        return next(m for m in self.cutting() if not whole.contains(Point(m.start[:2])))

    def swept(self, radius):
        height = math.inf if self.laser else self.top - 1e-6
        return sweep(self.cutting(), height, radius)

    def through(self, radius):
        height = math.inf if self.laser else self.bottom
        return sweep(self.cutting(), height, radius)


def words(cut):
    """Nothing but the promised words, no rapid in material or with the beam lit, the tool running whenever it cuts."""
    problems = list(cut.problems)
    for move in cut.moves:
        if cut.laser:
            if move.rapid and move.on:
                problems.append(f"line {move.line}: a rapid with the beam lit")
        elif min(move.start[2], move.end[2]) < cut.top - 1e-6:
            if move.rapid and not (move.start[:2] == move.end[:2] and move.end[2] > move.start[2]):
                problems.append(f"line {move.line}: a rapid in material that is not straight up")
            if not move.on:
                problems.append(f"line {move.line}: cutting with the tool standing")
    return problems


def gouge(cut):
    """(a) Nothing of the piece is taken at any depth, but for the reliefs by their formula."""
    taken, _ = parted(cut.swept(cut.radius - PROGRAM_MM), cut.piece)
    for centre in cut.reliefs:
        if centre:
            _, taken = parted(taken, disc(centre, cut.radius))
    if taken.area > NOTHING_MM2:
        return [f"{taken.area:.6f} mm2 of the piece taken, near {spot(taken)}"]
    return []


def uncut(cut):
    """The piece's boundary that the tool does not reach, fillets and the stock's own edges apart."""
    rings = [list(ring.coords) for ring in (cut.piece.exterior, *cut.piece.interiors)]
    edges = [edge for ring in rings for edge in zip(ring, ring[1:]) if not on_ring(*edge, cut.stock.exterior)]
    line = shapely.line_merge(shapely.MultiLineString(edges))
    reach = cut.radius + PROGRAM_MM
    _, left = parted(line, cut.through(reach))
    if cut.files.corner_choice == "fillet":
        for corner in cut.inside_corners:
            half = (math.pi - abs(corner.turn)) / 2
            _, left = parted(left, disc(corner.at, cut.radius / math.tan(half) + 2 * SAGITTA_MM))
    return left


def tabs_of(cut):
    """For each declared tab: its middle on the boundary, its length, and how much of it a reach of R + tolerance leaves.

    The tool stops short of the tab's end at the material's bottom. The larger reach still covers
    sqrt((R + tolerance)^2 - d^2) beyond that point, d being its printed distance from the boundary.
    """
    ends = bottom_crossings(cut)
    found = []
    for tab in cut.files.program["tabs"]:
        at = (tab["x_mm"], tab["y_mm"])
        own = sorted(ends, key=lambda end: math.dist(end, at))[:2]
        distances = [Point(end).distance(cut.piece.exterior) for end in own]
        beyond = sum(math.sqrt(max((cut.radius + PROGRAM_MM) ** 2 - d**2, 0.0)) for d in distances)
        found.append((nearest_on(cut.piece.exterior, Point(at)), tab["length_mm"], tab["length_mm"] - beyond))
    return found


def bottom_crossings(cut):
    """Where slopes of the path pass through the material's bottom."""
    stretches = [(move, move.below(cut.bottom)) for move in cut.cutting() if move.start[:2] != move.end[:2]]
    return [move.at(share) for move, stretch in stretches if stretch for share in stretch if 0 < share < 1]


def left_standing(cut):
    """(b) Every point of the boundary is reached through the material, but for tabs, fillets and the stock's own edges."""
    left = uncut(cut)
    for foot, length, _ in tabs_of(cut):
        _, left = parted(left, disc((foot.x, foot.y), length / 2 + PROGRAM_MM))
    return [f"{left.length:.4f} mm of the boundary uncut, near {spot(left)}"] if left.length > 1e-6 else []


def tab_length(cut):
    """(d) The boundary left uncut is as long as the tabs together."""
    wanted = sum(length for _, _, length in tabs_of(cut))
    found = uncut(cut).length
    # Behind a tab the cutter goes down on a ramp: half a digit of Z moves its end by so much.
    most = TABS_MM + RAMP_END_MM * len(tabs_of(cut))
    return [] if abs(found - wanted) <= most else [f"{found:.4f} mm uncut, the tabs leave {wanted:.4f}"]


def elsewhere(cut):
    """(c) The rest of the stock is untouched: only a kerf round the piece, and the way in beside it."""
    entry = cut.entry().start[:2]
    lead = Point(entry).distance(cut.piece)
    most = BEAM_LEAD_MM + cut.radius if cut.laser else 2 * cut.radius
    problems = []
    if cut.stock.contains(Point(entry)) and lead > most + PROGRAM_MM:
        problems.append(f"the way in begins {lead:.4f} mm from the piece, wanted {most:.4f} at most")
    kerf = grown(cut.piece, 2 * cut.radius + PROGRAM_MM)
    way_in, _ = parted(grown(cut.piece, lead + cut.radius + PROGRAM_MM), disc(entry, LEAD_ALONG_MM))
    touched, _ = parted(cut.swept(cut.radius), cut.stock)
    in_hole = [disc(middle, radius + PROGRAM_MM) for middle, radius in cut.holes]
    for allowed in (kerf, way_in, *in_hole):
        _, touched = parted(touched, allowed)
    if touched.area > NOTHING_MM2:
        problems.append(f"{touched.area:.6f} mm2 of the rest touched, near {spot(touched)}")
    return problems


def inside_stock(cut):
    """The part lies on the stock."""
    _, beside = parted(cut.part, cut.stock.buffer(PROGRAM_MM, join_style="mitre"))
    out = beside.area
    return [f"{out:.4f} mm2 of the part lie beside the stock"] if out > NOTHING_MM2 else []


def line_of(move):
    """A straight move in the plane, a point for one straight down."""
    a, b = move.at(0.0), move.at(1.0)
    return Point(a) if math.dist(a, b) < 1e-9 else shapely.LineString((a, b))


def marks_inside(cut):
    """Every mark lies on the piece, three millimetres and half a stroke from its edge and from its holes."""
    declared, problems = cut.files.program["marks"], []
    if declared is None:
        return ["strokes, and the report has no marks"] if cut.marks() else []
    least = MARKS_INSIDE_MM + declared["width_mm"] / 2
    holes = [(Point(h["x_mm"], h["y_mm"]), h["diameter_mm"] / 2) for p in cut.files.report["programs"] for h in p["holes"]]
    whole = Polygon(cut.outer.exterior)
    for move in cut.marks():
        line = line_of(move)
        room = line.distance(whole.exterior) if whole.contains(line) else 0.0
        room = min([room, *(line.distance(middle) - radius for middle, radius in holes)])
        if move.centre is not None or room < least - PROGRAM_MM:
            problems.append(f"line {move.line}: a mark {room:.4f} mm inside, wanted {least:.4f}")
    return problems


def marks_as_said(cut):
    """The strokes are the report's, all of them and no other."""
    declared = cut.files.program["marks"]
    wanted = [shapely.LineString(stroke) for stroke in declared["strokes_mm"]] if declared else []
    found = [line_of(m) for m in cut.marks() if math.dist(m.at(0.0), m.at(1.0)) >= 1e-9]
    if not wanted and not found:
        return []
    problems = []
    for name, ours, theirs in (("more", found, wanted), ("less", wanted, found)):
        _, without = parted(shapely.union_all(ours), shapely.union_all(theirs).buffer(PROGRAM_MM))
        if without.length > 1e-6:
            problems.append(f"{without.length:.4f} mm of marks {name} than the report says, near {spot(without)}")
    return problems


def marks_depth(cut):
    """Every move sideways is made at the declared depth, and nothing goes deeper."""
    depth = cut.files.program["marks"]["depth_mm"]
    moves = cut.marks()
    sideways = [m for m in moves if m.start[:2] != m.end[:2]]
    heights = [(m, z) for m in sideways for z in (m.start[2], m.end[2])] + [(m, m.end[2]) for m in moves]
    return [
        f"line {m.line}: {cut.top - z:.4f} mm deep, the report says {depth:.4f}"
        for m, z in heights if abs(cut.top - z - depth) > PROGRAM_MM
    ]


def cut_length(cut):
    """All feed moves together are as long as the report says."""
    found = sum(m.length() for m in cut.moves if not m.rapid)
    said = cut.files.program["cut_length_mm"]
    return [] if abs(found - said) <= said * LENGTH_SHARE else [f"{found:.3f} mm cut, the report says {said:.3f}"]


CHECKS = {
    "words, rapids and tool": words,
    "part on the stock": inside_stock,
    "nothing of the piece taken": gouge,
    "boundary cut through but for tabs": left_standing,
    "uncut length is the tabs'": tab_length,
    "rest of the stock untouched": elsewhere,
    "cut length": cut_length,
    "marks well inside": marks_inside,
    "marks are the report's": marks_as_said,
}
MARK_CHECKS = {
    "words, rapids and tool": words,
    "part on the stock": inside_stock,
    "cut length": cut_length,
    "marks well inside": marks_inside,
    "marks are the report's": marks_as_said,
    "marks' depth": marks_depth,
}


def both(files):
    """After a roughing program the one on the line: what the tabs leave of both cuts holds the piece by its neck."""
    programs = files.report["programs"]
    found = {}
    for rough, line in zip(programs, programs[1:]):
        if not left_by(rough):
            continue
        swept = []
        for program in (rough, line):
            files.take(program)
            swept.append((cut := Cut(files, program_text(files))).through(cut.radius))
        _, left = parted(cut.stock, shapely.union_all(swept))
        own = [part for part in getattr(left, "geoms", [left]) if part.contains(cut.outer.representative_point())]
        rim = [] if own and own[0].distance(cut.stock.exterior) < 1e-6 else ["the piece hangs on nothing once both have run"]
        found[f"{line['file']} after {rough['file']}: the piece hangs"] = rim
    return found


def program_text(files):
    return (files.directory / files.program["file"]).read_text()


# ---- spoilt copies

MOTION = re.compile(r"^G0*([0123]) .*", re.ASCII)


def spoil(text, chosen, axis, by):
    """The program with one word of one line changed by a figure in its own unit."""
    rows = text.splitlines()
    rows[chosen] = re.sub(rf"{axis}(-?[\d.]+)", lambda m: f"{axis}{float(m[1]) + by:.6f}", rows[chosen], count=1)
    return "\n".join(rows) + "\n"


def oblique_cut(cut):
    """The longest straight move through the material along neither axis: an end moved along X or Y leaves its line."""
    height = math.inf if cut.laser else cut.bottom
    straight = [m for m in cut.cutting() if m.centre is None and m.below(height) == (0.0, 1.0)]
    oblique = [m for m in straight if min(abs(a - b) for a, b in zip(m.start[:2], m.end[:2])) > 0.3 * m.length()]
    return max(oblique, key=lambda m: m.length())


def stray_start(cut, text, unit):
    """The program with its first cut begun 3 mm further from the piece."""
    first = cut.entry()
    rapid = [m for m in cut.moves if m.rapid and m.line < first.line][-1]
    nearest = nearest_on(cut.piece.exterior, Point(first.start[:2]))
    for axis, at, to in zip("XY", rapid.end, (nearest.x, nearest.y)):
        text = spoil(text, rapid.line - 1, axis, math.copysign(3.0, at - to) / unit)
    return text


def self_test(tally, files):
    text = program_text(files)
    unit = 25.4 if "\nG20" in text else 1.0
    by = 0.002 * 25.4 / unit
    cut = Cut(files, text)
    label = files.name
    line = oblique_cut(cut).line - 1
    for sign in (1, -1):
        for axis in "XY":
            bad = Cut(files, spoil(text, line, axis, sign * by))
            tally.must_fail(f"{label} line {line + 1} {axis} off by {sign * 0.002} in", gouge(bad) + left_standing(bad))
    towards, away = sides(cut, files, text, by)
    tally.must_fail(f"{label} the whole path off by 0.002 in: taken", gouge(towards))
    tally.must_fail(f"{label} the whole path off by 0.002 in: uncut", left_standing(away))
    tally.must_fail(f"{label} the whole path off by 0.002 in: uncut length", tab_length(away))
    tally.must_fail(f"{label} a stray start: rest touched", elsewhere(Cut(files, stray_start(cut, text, unit))))
    rows = text.splitlines()
    last = max(m.line for m in cut.cutting() if not m.rapid)
    again = rows[:last] + [f"G1 X{files.placed([(0, 0)])[0][0] / unit:.4f}"] + rows[last:]
    tally.must_fail(f"{label} a stray cut: length", cut_length(Cut(files, "\n".join(again))))
    tally.must_fail(f"{label} a stray cut: taken or rest touched", elsewhere(Cut(files, "\n".join(again)))
                    + gouge(Cut(files, "\n".join(again))))
    rapid = rows[:line] + [re.sub(r"^G1", "G0", rows[line])] + rows[line + 1:]
    tally.must_fail(f"{label} a rapid in the material", words(Cut(files, "\n".join(rapid))))
    modal = rows[:line] + [re.sub(r"^G1 ", "", rows[line])] + rows[line + 1:]
    tally.must_fail(f"{label} a line that the parser passes over", words(Cut(files, "\n".join(modal))))


def self_test_marks(tally, files):
    """Marks moved, left out, too near the edge and too deep; and a hole that is not where the report says."""
    cutting = files.program
    files.program = next(p for p in files.report["programs"] if p["marks"])
    text = program_text(files)
    unit = 25.4 if "\nG20" in text else 1.0
    cut, rows, label = Cut(files, text), text.splitlines(), files.name
    longest = max(cut.marks(), key=lambda m: m.length()).line - 1
    for axis in "XY":
        bad = Cut(files, spoil(text, longest, axis, 0.002 * 25.4 / unit))
        along = marks_as_said(Cut(files, spoil(text, longest, axis, 0.05 * 25.4 / unit)))
        tally.must_fail(f"{label} a mark off by 0.002 in or 0.05 in along {axis}", marks_as_said(bad) + along)
    without = rows[:longest] + rows[longest + 1:]
    tally.must_fail(f"{label} a mark left out", marks_as_said(Cut(files, "\n".join(without))))
    tally.must_fail(f"{label} a mark near the edge", marks_inside(Cut(files, spoil(text, longest, "Y", 300 / unit))))
    if marks_only(files.program):
        deep = re.sub(r"^G1 Z(-?[\d.]+)", lambda m: f"G1 Z{float(m[1]) - 0.1 / unit:.4f}", text, count=1, flags=re.M)
        tally.must_fail(f"{label} a mark too deep", marks_depth(Cut(files, deep)))
    files.program = cutting
    text = program_text(files)
    hole, *others = map(dict, cutting["holes"])
    for name, change in (("wide", {"diameter_mm": hole["diameter_mm"] - 0.1}), ("off", {"x_mm": hole["x_mm"] + 0.0508})):
        files.program = {**cutting, "holes": [{**hole, **change}, *others]}
        tally.must_fail(f"{label} a hole too {name}: taken", gouge(Cut(files, text)))
    files.program = {**cutting, "holes": [{**hole, "diameter_mm": hole["diameter_mm"] + 0.1}, *others]}
    tally.must_fail(f"{label} a hole too small: uncut", left_standing(Cut(files, text)))
    files.program = cutting


def sides(cut, files, text, by):
    """Two programs with the whole path moved by 0.002 in along X: each takes on one side and leaves on the other."""
    def all_moved(step):
        rows = text.splitlines()
        for i, row in enumerate(rows):
            if MOTION.match(row):
                rows[i] = re.sub(r"X(-?[\d.]+)", lambda m: f"X{float(m[1]) + step:.6f}", row)
        return Cut(files, "\n".join(rows) + "\n")
    return all_moved(by), all_moved(-by)


def main(made, samples):
    tally = Tally("geos")
    found = [f for f in sets(made, samples) if f.is_alone() and f.directory.name != "r12"]
    tally.check("there are sets to check", [] if found else [f"none under {made}"])
    for files in found:
        for number, program in enumerate(files.report["programs"]):
            files.take(program)
            cut = Cut(files, program_text(files))
            for name, check in (MARK_CHECKS if marks_only(program) else CHECKS).items():
                tally.check(f"{files.name} {program['file']} {name}", check(cut))
        for name, problems in both(files).items():
            tally.check(f"{files.name} {name}", problems)
    for files in found:
        files.take(files.report["programs"][-1])
        if files.name.split("/")[0] in ("porch-edge-fillet", "attic-metric-pencil-tread", "hall-two-treads-laser-tread"):
            self_test(tally, files)
            self_test_marks(tally, files)
    tally.end()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
