"""A program of several pieces or of several set-ups: its pieces, moves in the stock's frame, margin, clamps, pin holes."""

import re
import sys
import tomllib
from pathlib import Path

sys.path.append(str(Path(__file__).parent.parent))

import shapely
from shapely import Point, Polygon
from shapely.geometry import box as rectangle

from check import Cut
from gcode import motion
from shared import PROGRAM_MM, corners, left_by, length_mm, placed, relief_centre
from swept import disc, grown

PROFILES = Path(__file__).parents[3] / "profiles"
# What an operator reads at a stop, and does.
MOVE_BY = re.compile(r"MOVE IT BY EXACTLY ([\d.]+) (IN|MM) TOWARD -([XY])")


class Piece:
    """One piece on the sheet, its own holes in it."""

    def __init__(self, job, placement, holes, radius, left=0.0):
        self.name = placement["part"]
        self.whole = Polygon(placed(job.outline_of(self.name), placement))
        # The mitre inset is GEOS's own; what a roughing program leaves is as far off corners as off edges.
        corner_choice = "fillet" if left else job.facts[1]
        self.whole = self.whole.buffer(-job.inset, join_style="mitre", mitre_limit=100) if job.inset else self.whole
        self.whole = grown(self.whole, left) if left else self.whole
        self.holes = [h for h in holes if self.whole.contains(Point(h["x_mm"], h["y_mm"]))]
        bored = [disc((h["x_mm"], h["y_mm"]), h["diameter_mm"] / 2) for h in self.holes]
        self.region = self.whole.difference(shapely.union_all(bored)) if bored else self.whole
        ring = list(self.whole.normalize().exterior.coords)[:-1]
        ring = ring if Polygon(ring).exterior.is_ccw else ring[::-1]
        self.fillet = corner_choice == "fillet"
        self.inside_corners = [c for c in corners(ring) if c.inside()]
        turn = job.pitch - placement["turn_deg"]
        self.reliefs = [relief_centre(c, corner_choice, radius, turn) for c in self.inside_corners]


class Sheet(Cut):
    """A program of several pieces, or of several set-ups."""

    # Rounding of figures in the report.
    slack = 1e-6

    def __init__(self, jobs, program, text):
        first = next(job for job in jobs if any(map(job.is_own, program["placements"])))
        self.files, self.program, self.jobs = first, program, jobs
        first.program = program
        self.laser, self.radius = program["process"] == "laser", program["cutter_mm"] / 2
        self.moves, self.problems = motion(text, self.laser)
        self.known = {}
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
        self.left = left_by(program)
        # Roughing bores none.
        self.holes = [] if self.left else [hole for p in together for hole in p["holes"]]
        self.pieces = [self.piece_of(placement) for placement in program["placements"]]

    def piece_of(self, placement):
        job = next(job for job in self.jobs if job.is_own(placement))
        return Piece(job, placement, self.holes, self.radius, self.left)

    def swept(self, radius):
        """As of any program, but worked out once for each radius: several checks ask."""
        if radius not in self.known:
            self.known[radius] = super().swept(radius)
        return self.known[radius]

    def entry_of(self, which):
        """Where the first cut at a piece's outline begins."""
        whole = self.pieces[which].whole
        starts = [m.start[:2] for m in self.cutting() if not whole.contains(Point(m.start[:2]))]
        return min(starts, key=lambda at: whole.distance(Point(at)))

    def spacing(self):
        """Asked for between pieces; programs of one piece have no neighbours."""
        nests, material = self.files.whole.get("nests", []), material_of(self.files.job_file)
        asked = next((nest["spacing_mm"] for nest in nests if nest["material"] == material), 0.0)
        return max(asked - 2 * self.left, 0.0)


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
            # A hole is wider than its pin by 0.002 in where the profile does not say it.
            found.append(disc(at, (float(size) * unit + 0.002 * 25.4) / 2 + PROGRAM_MM))
    return found
