"""Sheets of invented orders, held against an unrelated packer of polygons into a strip (spyrrow). See README.md.

usage: check.py SEATCUT [SECONDS]
"""

import json
import math
import re
import subprocess
import sys
import tempfile
import tomllib
from collections import Counter
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

import ezdxf
import spyrrow
from shapely import Polygon, affinity
from shapely.ops import nearest_points

from shared import INCH, Tally, left_by, length_mm, marks_only

# The command's places and outlines are told to nine decimals of an inch or better.
SAME_MM = 1e-4
# The other packer counts in floats of seven digits: its pieces may be this much nearer, and its strip this much longer.
LENIENT_MM = 0.01
# Rounds of the grown outlines, each in so many chords.
CHORDS = 4
SEED = 1
# What the other packer is given for one piece more than the command lays.
SECONDS = 3

JOB = """# Invented: one of the stairs that share a sheet.
title = "{title}"
rules = "us-osha"
[rise]
total = "{rise}"
risers = {risers}
[tread]
cut = "{cut}"
overhang = "1 in"
thickness = "3/4 in"
riser_board = "1/2 in"
[head]
meets = "one-down"
finish = "3/4 in"
rim_depth = "14 in"
[board]
width = "{width}"
thickness = "18 mm"
[cut]
makes = "{makes}"
machine = "{machine}"
material = "{material}"
corners = "fillet"
{more}
"""
PLAIN = {"width": "11 1/4 in", "makes": "stringers", "machine": "router-table-large", "material": "plywood-18", "more": ""}
STAIRS = {
    "three treads": {"risers": 4, "rise": "28 in", "cut": "10 in"},
    "four treads": {"risers": 5, "rise": "36 in", "cut": "10 1/4 in"},
    "six treads": {"risers": 7, "rise": "50 in", "cut": "9 3/4 in"},
    "two treads, near": {"risers": 3, "rise": "22 in", "cut": "10 1/2 in", "more": 'spacing = "7/16 in"'},
    "five treads, near": {"risers": 6, "rise": "42 in", "cut": "10 in", "more": 'spacing = "7/16 in"'},
    "four steep treads": {"risers": 5, "rise": "40 in", "cut": "9 3/4 in", "width": "13 in"},
    "patterns of five treads": {
        "risers": 6, "rise": "43 in", "cut": "10 in", "makes": "pattern", "machine": "router-table", "material": "hardboard-6",
        "more": 'marks = "none"',
    },
}
# Each order grows by one piece at a time, its stairs by turns, until one sheet no longer holds it.
# Orders of which the other packer is known to lay more on a sheet than the command does at the normal effort, and how many.
MISSED = {"three treads": 9}
ORDERS = [
    ["three treads"],
    ["four treads"],
    ["six treads"],
    ["patterns of five treads"],
    ["five treads, near", "two treads, near"],
    ["six treads", "four steep treads", "three treads"],
]


@dataclass
class Piece:
    """A piece on a sheet: its job's title, its outline there, its turn in degrees."""

    title: str
    outline: Polygon
    turn: float


@dataclass
class Sheet:
    """What is asked of a layout: room for outlines, what two keep from each other, the turns they may have."""

    length: float
    width: float
    edge: float
    spacing: float
    turns: list | None

    def room(self):
        return self.length - 2 * self.edge, self.width - 2 * self.edge


def facts(program, kinds):
    """The sheet of some stairs from the profiles and their jobs, with nothing of the report."""
    profile = lambda name: tomllib.loads(subprocess.run([program, "profiles", name], capture_output=True, text=True, check=True).stdout)
    stair = {**PLAIN, **STAIRS[kinds[0]]}
    machine, material = profile(stair["machine"]), profile(stair["material"])
    cutter = length_mm(machine["router"]["cutter"])
    asked = re.search(r'spacing = "(.*?)"', stair["more"])
    return Sheet(
        length=min(length_mm(material["length"]), length_mm(machine["travel"]["x"])),
        width=min(length_mm(material["width"]), length_mm(machine["travel"]["y"])),
        # The cut keeps off the margin, so the piece keeps a cutter more.
        edge=length_mm(material["margin"]) + cutter,
        spacing=length_mm(asked[1]) if asked else 2 * cutter + 0.375 * INCH,
        turns=None if material["grain"] == "none" else [0.0, 180.0],
    )


class Order:
    """An order in a folder of its own."""

    def __init__(self, program, folder, kinds):
        self.program, self.kinds, self.name = program, kinds, " + ".join(kinds)
        self.here = folder / re.sub("[^a-z]+", "-", self.name)
        self.here.mkdir()
        for kind in kinds:
            (self.here / f"{kind}.toml").write_text(JOB.format(title=kind, **{**PLAIN, **STAIRS[kind]}))
        self.sheet = facts(program, kinds)

    def counts(self, pieces):
        """So many pieces, the stairs by turns."""
        share, over = divmod(pieces, len(self.kinds))
        return {kind: share + (i < over) for i, kind in enumerate(self.kinds) if share + (i < over)}

    def made(self, pieces, effort=1):
        """The report and the folder of so many pieces."""
        lines = ["# Invented."]
        for kind, count in self.counts(pieces).items():
            lines += ["[[job]]", f'file = "{kind}.toml"', f"count = {count}"]
        (self.here / "order.toml").write_text("\n".join(lines) + "\n")
        into = self.here / f"{pieces}-{effort}"
        command = [self.program, "make", self.here / "order.toml", "-o", into, "--json", "--effort", str(effort)]
        run = subprocess.run(command, capture_output=True, text=True)
        if run.returncode:
            raise RuntimeError(f"{pieces} pieces: exit {run.returncode}: {run.stderr.strip()}")
        return json.loads(run.stdout), into

    def most(self):
        """The most pieces that the command lays on one sheet, with their report and folder."""
        report, into = self.made(len(self.kinds))
        mean = sum(outline_of(into, kind, report).area for kind in self.kinds) / len(self.kinds)
        # A share of the sheet from where it is not far to go.
        pieces = max(len(self.kinds), int(0.4 * self.sheet.length * self.sheet.width / mean))
        best = None
        while True:
            report, into = self.made(pieces)
            if report["nests"][0]["sheets"] == 1:
                best = (pieces, report, into)
                pieces += 1
            elif best:
                return best
            else:
                pieces -= 1


def outline_of(into, title, report):
    """The finished outline of a job from its DXF file, in mm."""
    files = [*into.glob(f"{re.sub('[^a-z0-9]+', '-', title)}/nominal.dxf"), *into.glob("nominal.dxf")]
    drawing = ezdxf.readfile(files[0])
    unit = {1: INCH, 4: 1.0}[drawing.header["$INSUNITS"]]
    rings = [entity for entity in drawing.modelspace() if entity.dxf.layer == "CUT"]
    assert len(rings) == 1 and rings[0].closed
    return Polygon([(float(x) * unit, float(y) * unit) for x, y, *_ in rings[0].get_points()])


def layouts(report, into):
    """The pieces of every layout of a sheet, as the programs' places and the drawings have them, with how often it is cut."""
    titles = [job["job"]["title"] for job in report.get("jobs", [report])]
    outlines = {title: outline_of(into, title, report) for title in titles}
    found = []
    for program in report["programs"]:
        # A sheet that is roughed first has two programs that cut.
        if marks_only(program) or left_by(program):
            continue
        pieces = []
        for place in program["placements"]:
            title = titles[0] if len(titles) == 1 else place["part"].split(" of ", 1)[1]
            lies = affinity.rotate(outlines[title], place["turn_deg"], origin=(0, 0))
            pieces.append(Piece(title, affinity.translate(lies, place["x_mm"], place["y_mm"]), place["turn_deg"]))
        found.append((program["times"], pieces))
    return found


def faults(sheet, pieces, lenient=SAME_MM):
    """Pieces nearer than the spacing, beyond the sheet's room, or turned across the grain."""
    for (i, a), (j, b) in combinations(enumerate(pieces, 1), 2):
        apart = a.outline.distance(b.outline)
        if apart < sheet.spacing - lenient:
            yield f"pieces {i} and {j} are {apart:.4f} mm apart, not {sheet.spacing:.4f}"
    for i, piece in enumerate(pieces, 1):
        x0, y0, x1, y1 = piece.outline.bounds
        out = max(sheet.edge - x0, sheet.edge - y0, x1 - sheet.length + sheet.edge, y1 - sheet.width + sheet.edge)
        if out > lenient:
            yield f"piece {i} is {out:.4f} mm beyond the margin"
        if sheet.turns is not None and min(abs(math.remainder(piece.turn - turn, 360)) for turn in sheet.turns) > 1e-6:
            yield f"piece {i} is turned by {piece.turn}"


def unsound(order, pieces, report, laid):
    """What is wrong with the command's layouts of an order."""
    sheet = order.sheet
    if abs(report["nests"][0]["spacing_mm"] - sheet.spacing) > SAME_MM:
        yield f"a spacing of {report['nests'][0]['spacing_mm']}"
    if sum(times for times, _ in laid) != report["nests"][0]["sheets"]:
        yield f"{report['nests'][0]['sheets']} sheets said"
    counted = Counter()
    for times, placed in laid:
        for piece in placed:
            counted[piece.title] += times
        yield from faults(sheet, placed)
    if dict(counted) != order.counts(pieces):
        yield f"{dict(counted)} laid out, {order.counts(pieces)} asked"


def grown(outline, by):
    """An outline that holds every point within `by` of it: sides moved out, corners cut to a few chords outside the round."""
    mitre = outline.buffer(by, join_style="mitre", mitre_limit=100)
    rounds = outline.buffer(by / math.cos(math.pi / 4 / CHORDS) * (1 + 1e-9), quad_segs=CHORDS)
    return [(float(x), float(y)) for x, y in mitre.intersection(rounds).exterior.coords[:-1]]


def packed(sheet, outlines, counts, seconds):
    """The pieces as the other packer lays them into a strip as wide as the sheet, moved to the sheet's near corner."""
    half = sheet.spacing / 2
    items = [spyrrow.Item(title, grown(outlines[title], half), count, sheet.turns) for title, count in counts.items()]
    strip = spyrrow.StripPackingInstance("strip", sheet.room()[1] + sheet.spacing, items)
    limit = spyrrow.StripPackingConfig(total_computation_time=seconds, num_workers=1, seed=SEED)
    lies = strip.solve(limit).placed_items
    turned = [(item, affinity.rotate(outlines[item.id], item.rotation, origin=(0, 0))) for item in lies]
    pieces = [Piece(item.id, affinity.translate(at, *item.translation), item.rotation) for item, at in turned]
    low = [min(piece.outline.bounds[axis] for piece in pieces) for axis in (0, 1)]
    for piece in pieces:
        piece.outline = affinity.translate(piece.outline, sheet.edge - low[0], sheet.edge - low[1])
    return pieces


def length_of(sheet, pieces):
    """How long a strip the pieces take."""
    return max(piece.outline.bounds[2] for piece in pieces) - sheet.edge


def fits(sheet, pieces, counts):
    """Whether all pieces lie on one sheet by the rules that the command's are held to."""
    laid = Counter(piece.title for piece in pieces)
    return laid == Counter(counts) and not list(faults(sheet, pieces, LENIENT_MM))


def worse(ours, theirs, told):
    """The comparison: fails where the other packer lays more pieces on a sheet."""
    if theirs > ours:
        yield told


def hold(tally, order, seconds):
    """One order: the command's layouts, and what the other packer makes of it; gives the layouts and both counts."""
    sheet, room = order.sheet, f"{order.sheet.room()[0]:.1f} mm"
    ours, report, into = order.most()
    laid = layouts(report, into)
    tally.check(f"{order.name}: {ours} on a sheet, {sheet.spacing:.3f} mm apart, within the margin", unsound(order, ours, report, laid))
    outlines = {kind: outline_of(into, kind, report) for kind in order.kinds}

    def strip(pieces, limit):
        """How long the strip of so many is, and whether it is a layout of the sheet."""
        theirs = packed(sheet, outlines, order.counts(pieces), limit)
        return length_of(sheet, theirs), fits(sheet, theirs, order.counts(pieces))

    # As many in half of the time shows whether the other packer is a match.
    length, matched = strip(ours, max(1, seconds // 2))
    said = [f"{length:.1f} mm for {ours}"]
    theirs = ours if matched else 0
    more = True
    while more:
        length, more = strip(max(ours, theirs) + 1, seconds)
        said.append(f"{length:.1f} mm for {max(ours, theirs) + 1}")
        theirs = max(ours, theirs) + 1 if more else theirs
    said = f"strips of {', '.join(said)}, of {room}"
    told = f"the other packer lays {theirs}"
    if theirs > ours:
        raised, bound = order.made(theirs, 2)[0]["nests"][0], order.made(theirs)[0]["nests"][0]["bound_sheets"]
        told += f"; at --effort 2 the command takes {raised['sheets']} sheets for {theirs}, its bound is {bound}"
    # It searches for so many seconds: on a busy machine it may not find what it is known to find, and that is no news.
    wrong, best = list(worse(ours, theirs, told)), MISSED.get(order.name)
    if best and not wrong:
        wrong = worse(ours, best, f"the other packer is known to lay {best}, and found {theirs} this time")
    (tally.known if best else tally.check)(f"{order.name}: {ours} on a sheet; {said}", wrong)
    return laid, outlines, ours, theirs


def spoilt(tally, order, laid, outlines):
    """Layouts with a fault put in, of both packers."""
    sheet, pieces = order.sheet, laid[0][1]
    first, second = min(combinations(pieces, 2), key=lambda two: two[0].outline.distance(two[1].outline))
    here, there = nearest_points(first.outline, second.outline)
    share = 1 - (sheet.spacing - 0.01) / here.distance(there)

    def instead(old, outline, turn=None):
        new = Piece(old.title, outline, old.turn if turn is None else turn)
        return [new if piece is old else piece for piece in pieces]

    onto = instead(second, first.outline)
    tally.must_fail("a piece moved onto another", faults(sheet, onto))
    near = affinity.translate(second.outline, share * (here.x - there.x), share * (here.y - there.y))
    tally.must_fail("a piece 0.01 mm too near to another", faults(sheet, instead(second, near)))
    over = affinity.translate(first.outline, sheet.edge - first.outline.bounds[0] - 0.01, 0)
    tally.must_fail("a piece 0.01 mm over the margin", faults(sheet, instead(first, over)))
    tally.must_fail("a piece across the grain", faults(sheet, instead(first, first.outline, 90.0)))
    said = lambda spacing: {"nests": [{"spacing_mm": spacing, "sheets": 1}]}
    tally.must_fail("a piece left out", unsound(order, len(pieces), said(sheet.spacing), [(1, pieces[1:])]))
    tally.must_fail("a spacing that was not asked", unsound(order, len(pieces), said(1.0), laid))
    counts = order.counts(len(pieces))
    taken = lambda layout: [] if fits(sheet, layout, counts) else ["no layout"]
    tally.check("the command's layout, held to what the other packer's are held to", taken(pieces))
    tally.must_fail("the other packer's layout, a piece moved onto another", taken(onto))
    tally.must_fail("the other packer's layout, a piece left out", taken(pieces[1:]))
    # The comparison itself, with two pieces that the other packer lays with ease where the command is said to lay one.
    two = order.counts(2)
    easy = packed(sheet, outlines, two, 1)
    tally.must_fail("one piece on a sheet where two go", worse(1, 2 if fits(sheet, easy, two) else 0, "two go"))


def main():
    program, seconds = sys.argv[1], int((sys.argv + [0, 0])[2] or SECONDS)
    tally, begun = Tally("packer"), None
    matched = 0
    with tempfile.TemporaryDirectory() as name:
        for kinds in ORDERS:
            order = Order(program, Path(name), kinds)
            laid, outlines, ours, theirs = hold(tally, order, seconds)
            matched += theirs >= ours
            begun = begun or (order, laid, outlines)
        spoilt(tally, *begun)
    # A packer that lays far less than the command would be none to be held against.
    few = [] if 2 * matched >= len(ORDERS) else ["too few for a comparison"]
    tally.check(f"the other packer lays as many or more in {matched} of {len(ORDERS)} orders", few)
    tally.end()


if __name__ == "__main__":
    main()
