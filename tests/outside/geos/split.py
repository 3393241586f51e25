"""A pattern in two pieces: what its program leaves of the sheet, laid back into the whole outline of the report."""

import math

import shapely
from shapely import Polygon

from set_checks import CUTS, apart, left_standing, off_limits, on_stock, shift_as_said
from shared import PROGRAM_MM, lifted, marks_only, placed
from sheet import Piece, Sheet
from swept import NOTHING_MM2, SAGITTA_MM, disc, parted, spot

# Clearance of the joint: README.md of the project, and the report's finding `split-wander`.
GAP_MM = 0.004 * 25.4
# A stepped joint has so many inside corners; the relief of each takes a segment off both edges.
JOINT_CORNERS = 4


class Left:
    """A piece as the program leaves it on the sheet; no corner of it is known before."""

    def __init__(self, name, polygon, placement):
        self.name, self.placement = name, placement
        self.whole, self.region = Polygon(polygon.exterior), polygon
        self.holes = [list(ring.centroid.coords)[0] for ring in map(Polygon, polygon.interiors)]
        self.fillet, self.inside_corners, self.reliefs = False, [], []

    def back(self):
        """In the board frame of the whole."""
        return Polygon(lifted(list(self.whole.exterior.coords), self.placement)).buffer(0)

    def holes_back(self):
        return lifted(self.holes, self.placement)


class SplitSheet(Sheet):
    """A sheet whose pieces are found in what its cutting program leaves: where they lie is known as well as its digits."""

    slack = 2 * PROGRAM_MM

    def __init__(self, jobs, program, text):
        super().__init__(jobs, program, text)
        cut, source = self, next(p for p in self.files.programs if not marks_only(p))
        if program is not source:
            cut = Sheet(jobs, source, (self.files.directory / source["file"]).read_text())
            self.files.program = program
        left = cut.stock.difference(cut.swept(cut.radius))
        pieces = [g for g in left.geoms if g.area > math.pi * cut.radius**2 and not touches_edge(g, cut.stock)]
        self.pieces = [assigned(placement, pieces, self.files) for placement in program["placements"]]


def touches_edge(polygon, stock):
    return polygon.distance(stock.exterior) < PROGRAM_MM


def assigned(placement, pieces, files):
    """The region that belongs to a placement: the one that lies over most of the placed whole, the strap the smallest."""
    if placement["part"] == "strap":
        return Left("strap", min(pieces, key=lambda g: g.area), placement)
    whole = Polygon(placed(files.board, placement)).buffer(1.0)
    halves = sorted(pieces, key=lambda g: g.area)[1:]
    return Left(placement["part"], min(halves, key=lambda g: g.difference(whole).area), placement)


def tiles(sheet):
    """Foot and head, laid together, are the whole but for the joint's gap, reliefs and fillets."""
    foot, head, _ = by_name(sheet)
    if len(sheet.pieces) != 3 or foot.region is head.region:
        return [f"{len(sheet.pieces)} pieces, or one taken for two"]
    one, two = foot.back(), head.back()
    whole = Piece(sheet.files, {"part": "whole", "x_mm": 0.0, "y_mm": 0.0, "turn_deg": 0.0}, [], sheet.radius)
    both = one.intersection(two)
    problems = [f"foot and head overlap by {both.area:.4f} mm2"] if both.area > NOTHING_MM2 else []
    _, missing = parted(parted(whole.whole, one)[1], two)
    _, beyond = parted(one.union(two), whole.whole.buffer(2 * PROGRAM_MM, join_style="mitre"))
    for corner, relief in zip(whole.inside_corners, whole.reliefs):
        if relief:
            _, missing = parted(missing, disc(relief, sheet.radius + 2 * PROGRAM_MM))
        half = (math.pi - abs(corner.turn)) / 2
        if whole.fillet:
            _, beyond = parted(beyond, disc(corner.at, sheet.radius / math.tan(half) + 2 * PROGRAM_MM))
    if beyond.area > NOTHING_MM2:
        problems.append(f"{beyond.area:.4f} mm2 beyond the whole, near {spot(beyond)}")
    # Wider than the gap are only the segments that a disc through a square corner's point, centred on its bisector, takes
    # off either edge: R^2 (pi / 2 - 1) / 2 each.
    wide = missing.buffer(-(GAP_MM / 2 + 2 * PROGRAM_MM))
    spots = [g for g in shapely.get_parts(wide) if g.area > 0]
    large = [g for g in spots if g.area > sheet.radius**2 * (math.pi / 2 - 1) / 2]
    if len(spots) > 2 * JOINT_CORNERS or large:
        problems.append(f"{sum(g.area for g in spots):.4f} mm2 missing in {len(spots)} places, near {spot(wide)}")
    return problems


def doweled(sheet):
    """Each hole of the strap lies over one of the foot or the head, two over each."""
    foot, head, strap = by_name(sheet)
    over = lambda half: [h for h in strap.holes_back() if any(math.dist(h, own) <= 2 * PROGRAM_MM for own in half.holes_back())]
    counts = (len(strap.holes), len(over(foot)), len(over(head)))
    return [] if counts == (4, 2, 2) else [f"{counts} holes in the strap, over the foot's, over the head's; wanted 4, 2, 2"]


def by_name(sheet):
    wanted = ("pattern a (foot)", "pattern b (head)", "strap")
    return [next(piece for piece in sheet.pieces if piece.name == name) for name in wanted]


def holes_as_said(sheet):
    """The holes that the program leaves are the report's: their places and their widths."""
    said = [((h["x_mm"], h["y_mm"]), h["diameter_mm"]) for h in sheet.program["holes"]]
    found = [ring for piece in sheet.pieces for ring in map(Polygon, piece.region.interiors)]
    problems = [] if len(said) == len(found) else [f"{len(found)} holes, the report has {len(said)}"]
    for at, width in said:
        ring = min(found, key=lambda ring: math.dist(ring.centroid.coords[0], at))
        off = math.dist(ring.centroid.coords[0], at)
        wide = 2 * math.sqrt(ring.area / math.pi)
        if off > PROGRAM_MM or abs(wide - width) > 2 * PROGRAM_MM + 2 * SAGITTA_MM:
            problems.append(f"a hole {off:.4f} mm off, {wide:.4f} mm wide, wanted {width:.4f}")
    return problems


SPLITS = {
    **{name: check for name, check in CUTS.items() if check in (apart, on_stock, off_limits, left_standing, shift_as_said)},
    "words, rapids and tool": CUTS["words, rapids and tool"],
    "cut length": CUTS["cut length"],
    "rest of the stock untouched": CUTS["rest of the stock untouched"],
    "foot and head are the whole": tiles,
    "the strap's holes are theirs": doweled,
    "holes are the report's": holes_as_said,
}
