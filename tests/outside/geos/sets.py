"""Sweeps the tool along programs of several pieces, of shifts and of split patterns. See README.md."""

import itertools
import math
import re
import sys
import tomllib
from pathlib import Path

sys.path.append(str(Path(__file__).parent.parent))

import shapely
from shapely import Point, Polygon
from shapely.geometry import box as rectangle

from check import MARKS_INSIDE_MM, TABS_MM, Cut, cut_length, line_of, marks_as_said, marks_depth, words
from gcode import motion
from shared import PROGRAM_MM, Tally, corners, length_mm, lifted, marks_only, placed, relief_centre, sets
from swept import NOTHING_MM2, SAGITTA_MM, disc, grown, nearest_on, on_ring, parted, spot, sweep

# Rounding of figures in the report.
REPORT_MM = 1e-6
# How far from its piece a cutter's way in may reach, in cutter widths; a beam's lead, in mm. The planner's own room.
ENTRY_WIDTHS, BEAM_LEAD_MM = 1.0, 3.0
# What the printed shift must say as well as the report.
SHIFT_MM = 0.003
PROFILES = Path(__file__).parents[3] / "profiles"
# What an operator reads at a stop, and does.
MOVE_BY = re.compile(r"MOVE IT BY EXACTLY ([\d.]+) (IN|MM) TOWARD -([XY])")


class Piece:
    """One piece on the sheet, its own holes in it."""

    def __init__(self, job, placement, holes, radius):
        self.name = placement["part"]
        self.whole = Polygon(placed(job.board, placement))
        # The mitre inset is GEOS's own.
        self.whole = self.whole.buffer(-job.inset, join_style="mitre", mitre_limit=100) if job.inset else self.whole
        self.holes = [h for h in holes if self.whole.contains(Point(h["x_mm"], h["y_mm"]))]
        bored = [disc((h["x_mm"], h["y_mm"]), h["diameter_mm"] / 2) for h in self.holes]
        self.region = self.whole.difference(shapely.union_all(bored)) if bored else self.whole
        ring = list(self.whole.normalize().exterior.coords)[:-1]
        ring = ring if Polygon(ring).exterior.is_ccw else ring[::-1]
        self.fillet = job.corner_choice == "fillet"
        self.inside_corners = [c for c in corners(ring) if c.inside()]
        turn = job.pitch - placement["turn_deg"]
        self.reliefs = [relief_centre(c, job.corner_choice, radius, turn) for c in self.inside_corners]


class Sheet(Cut):
    """A program of several pieces, or of several set-ups."""

    def __init__(self, jobs, program, text):
        first = next(job for job in jobs if any(map(job.is_own, program["placements"])))
        self.files, self.program, self.jobs = first, program, jobs
        first.program = program
        self.laser, self.radius = program["process"] == "laser", program["cutter_mm"] / 2
        self.moves, self.problems = motion(text, self.laser)
        self.machine_moves = list(self.moves)
        self.shifts = shifts_of(text)
        self.moves = shifted(self.moves, text, self.shifts)
        stock, bed = program["stock"], program["z_zero"] == "bed"
        self.top = stock["thickness_mm"] if bed else 0.0
        self.bottom = self.top - stock["thickness_mm"]
        self.stock = rectangle(0, 0, stock["length_mm"], stock["width_mm"])
        self.full_power = max((m.power for m in self.moves), default=0.0)
        self.margin = margin_of(first.job_file)
        run = [s for s in first.whole.get("sheets", []) if program["file"] in s["programs"]]
        self.clamps = [
            rectangle(c["x_mm"], c["y_mm"], c["x_mm"] + c["length_mm"], c["y_mm"] + c["width_mm"])
            for s in run for c in s["clamps"]
        ]
        # A marks' program has no holes of its own: the ones of its sheet's cut are kept clear of.
        together = [p for p in first.programs if run and p["file"] in run[0]["programs"]] or [program]
        self.holes = [hole for p in together for hole in p["holes"]]
        self.pieces = [self.piece_of(placement) for placement in program["placements"]]

    def piece_of(self, placement):
        job = next(job for job in self.jobs if job.is_own(placement))
        return Piece(job, placement, self.holes, self.radius)

    def spacing(self):
        """Asked for between pieces; programs of one piece have no neighbours."""
        nests, material = self.files.whole.get("nests", []), material_of(self.files.job_file)
        return next((nest["spacing_mm"] for nest in nests if nest["material"] == material), 0.0)


def material_of(job_file):
    return tomllib.loads(Path(job_file).read_text())["cut"]["material"]


def margin_of(job_file):
    """The margin of the material's profile."""
    return length_mm(tomllib.loads((PROFILES / "material" / f"{material_of(job_file)}.toml").read_text())["margin"])


def shifts_of(text):
    """What the words at each stop tell the operator: along which axis and by how much the stock is moved, in mm."""
    plain = re.sub(r"\)\s*\(", " ", " ".join(text.splitlines()))
    return [(float(by) * (25.4 if unit == "IN" else 1.0), axis) for by, unit, axis in MOVE_BY.findall(plain)]


def shifted(moves, text, shifts):
    """The moves in the stock's frame: a move after the k-th stop is made on stock that lies k shifts further back."""
    stops = [number for number, row in enumerate(text.splitlines(), 1) if row.strip() == "M0"]
    if not stops:
        return moves
    if len(stops) != len(shifts):
        raise ValueError(f"{len(stops)} stops, {len(shifts)} shifts told")
    found = []
    for move in moves:
        done = shifts[:sum(stop < move.line for stop in stops)]
        by = [sum(mm for mm, axis in done if axis == name) for name in "XY"]
        move_by = lambda p: p and (p[0] + by[0], p[1] + by[1], *p[2:])
        if None in move.start[:2] + move.end[:2]:
            found.append(move)
            continue
        found.append(type(move)(**{**vars(move), "start": move_by(move.start), "end": move_by(move.end), "centre": move_by(move.centre)}))
    return found


def apart(sheet):
    """Pieces do not overlap and keep the spacing."""
    least, problems = sheet.spacing(), []
    for a, b in itertools.combinations(sheet.pieces, 2):
        if a.whole.intersection(b.whole).area > NOTHING_MM2:
            problems.append(f"{a.name} and {b.name} overlap")
        elif a.whole.distance(b.whole) < least - REPORT_MM:
            problems.append(f"{a.name} and {b.name} {a.whole.distance(b.whole):.6f} mm apart, wanted {least:.6f}")
    return problems


def on_stock(sheet):
    """Pieces keep the margin and a cutter from the stock's edge, and are off the clamps."""
    room = sheet.stock.buffer(REPORT_MM - sheet.margin - 2 * sheet.radius, join_style="mitre")
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


def pins_of(sheet):
    """Pin holes in the stock: where the words put table pins, on stock that has been moved."""
    text = (sheet.files.directory / sheet.program["file"]).read_text()
    plain = re.sub(r"\)\s*\(", " ", " ".join(text.splitlines()))
    found, unit = [], 25.4 if "\nG20" in text else 1.0
    told = re.findall(r"PUT PINS OF ([\d.]+) (?:IN|MM) INTO THE TABLE AT X([\d.]+) Y([\d.]+) AND X([\d.]+) Y([\d.]+)", plain)
    for k, (size, *places) in enumerate(told, 1):
        by = [sum(mm for mm, axis in sheet.shifts[:k] if axis == name) for name in "XY"]
        for x, y in (places[:2], places[2:]):
            at = (float(x) * unit + by[0], float(y) * unit + by[1])
            # A hole is wider than its pin by 0.002 in.
            found.append(disc(at, (float(size) * unit + 0.002 * 25.4) / 2 + PROGRAM_MM))
    return found


def bored(sheet):
    """A pattern has one hole to hang it by, a layer two for dowels; all layers theirs at the same places."""
    wanted = lambda name: 1 if name.startswith("pattern") else 2 if name.startswith("layer") else 0
    problems = []
    layers = []
    for piece, placement in zip(sheet.pieces, sheet.program["placements"]):
        least = wanted(piece.name) if len(sheet.program["placements"]) > 1 else len(piece.holes)
        if len(piece.holes) != least:
            problems.append(f"{piece.name} has {len(piece.holes)} holes, wanted {least}")
        if piece.name.startswith("layer"):
            layers.append(sorted(lifted([(h["x_mm"], h["y_mm"]) for h in piece.holes], placement)))
    far = [math.dist(p, q) for one in layers for p, q in zip(one, layers[0])]
    return problems + [f"dowel holes of layers are {max(far):.6f} mm off"] * (max(far, default=0.0) > REPORT_MM)


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


def main(made, samples):
    from selftest import spoilt_sets
    from split import SPLITS

    tally = Tally("geos sets")
    found = [f for f in sets(made, samples) if not f.is_alone() and f.directory.name != "r12"]
    tally.check("there are sets to check", [] if found else [f"none under {made}"])
    for first in (f for f in found if f.is_first):
        jobs = [f for f in found if f.directory == first.directory]
        for program in first.programs:
            sheet = Sheet(jobs, program, (first.directory / program["file"]).read_text())
            checks = MARKS if marks_only(program) else CUTS
            if first.is_split():
                checks = {} if marks_only(program) else SPLITS
            for name, check in checks.items():
                tally.check(f"{first.directory.parent.name} {program['file']} {name}", check(sheet))
    spoilt_sets(tally, found)
    tally.end()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
