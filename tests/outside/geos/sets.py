"""Sweeps the tool along programs of several pieces, of shifts and of split patterns. See README.md."""

import copy
import re
import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent.parent))

from set_checks import (
    CUTS, MARKS, apart, bored, gouge, left_standing, marks_as_said, marks_inside, off_limits, on_stock, shift_as_said,
)
from shapely.geometry import box as rectangle
from shared import Tally, marks_only, sets
from sheet import Sheet
from split import SPLITS, SplitSheet, doweled, tiles


def sheet_of(jobs, program, text=None):
    """A program of a directory, as it is or spoilt."""
    text = text or (jobs[0].directory / program["file"]).read_text()
    return (SplitSheet if jobs[0].is_split() else Sheet)(jobs, program, text)


def moved_piece(jobs, program, which, x=0.0, y=0.0):
    """The program with one piece told to lie elsewhere."""
    told = copy.deepcopy(program)
    told["placements"][which]["x_mm"] += x
    told["placements"][which]["y_mm"] += y
    return sheet_of(jobs, told)


def off_by(text, line, axis, by):
    rows = text.splitlines()
    rows[line - 1] = re.sub(rf"{axis}(-?[\d.]+)", lambda m: f"{axis}{float(m[1]) + by:.6f}", rows[line - 1], count=1)
    return "\n".join(rows) + "\n"


def spoilt_pieces(tally, name, jobs, program):
    """A piece that lies elsewhere, tabs that are not there, a cut on its wrong side."""
    for axis in "xy":
        bad = moved_piece(jobs, program, -1, **{axis: 0.0508})
        tally.must_fail(f"{name} a piece off by 0.002 in along {axis}: taken or uncut", gouge(bad) + left_standing(bad))
    first, last = (sheet_of(jobs, program).pieces[i].whole.centroid for i in (0, -1))
    # Not to the hair: one just like it would lie where that one was cut.
    onto = moved_piece(jobs, program, -1, first.x - last.x + 5.0, first.y - last.y)
    tally.must_fail(f"{name} a piece moved onto another: apart", apart(onto))
    tally.must_fail(f"{name} a piece moved onto another: taken", gouge(onto))
    beside = moved_piece(jobs, program, 0, x=-10000.0)
    tally.must_fail(f"{name} a piece moved off the stock", on_stock(beside))
    fewer = {**program, "tabs": program["tabs"][1:]}
    if program["tabs"]:
        tally.must_fail(f"{name} a tab left out of the report", left_standing(sheet_of(jobs, fewer)))
    sheet = sheet_of(jobs, program)
    height = float("inf") if sheet.laser else sheet.bottom
    level = [m for m in sheet.cutting() if m.centre is None and m.below(height) == (0.0, 1.0)]
    long = max((m for m in level if abs(m.end[0] - m.start[0]) > 0.3 * m.length()), key=lambda m: m.length())
    text = (jobs[0].directory / program["file"]).read_text()
    unit = 25.4 if "\nG20" in text else 1.0
    for by in (0.0508, -0.0508):
        bad = sheet_of(jobs, program, off_by(text, long.line, "Y", by / unit))
        tally.must_fail(f"{name} a corner off by {by / 25.4:.3f} in: taken or uncut", gouge(bad) + left_standing(bad))


def spoilt_clamps(tally, name, jobs, program):
    """A clamp that lies on a cut, and one that lies on a piece."""
    sheet = sheet_of(jobs, program)
    at = sheet.entry_of(0)
    sheet.clamps = [rectangle(at[0], at[1], at[0] + 30, at[1] + 30)]
    tally.must_fail(f"{name} a clamp on a cut", off_limits(sheet))
    middle = sheet.pieces[0].whole.representative_point()
    sheet.clamps = [rectangle(middle.x, middle.y, middle.x + 5, middle.y + 5)]
    tally.must_fail(f"{name} a clamp on a piece", on_stock(sheet))


def spoilt_shift(tally, name, jobs, program):
    """Words that tell another shift, and a report that does."""
    text = (jobs[0].directory / program["file"]).read_text()
    wrong = re.sub(r"(BY EXACTLY )([\d.]+)", lambda m: f"{m[1]}{float(m[2]) + 0.002:.4f}", text)
    bad = sheet_of(jobs, program, wrong)
    tally.must_fail(f"{name} a shift told 0.002 in too far: taken or uncut", gouge(bad) + left_standing(bad))
    tally.must_fail(f"{name} a shift told 0.002 in too far: not the report's", shift_as_said(bad))
    tally.must_fail(f"{name} set-ups left out of the report", shift_as_said(sheet_of(jobs, {**program, "setups_mm": [[0, 0]]})))


def spoilt_layers(tally, name, jobs, program):
    """A dowel hole elsewhere."""
    told = copy.deepcopy(program)
    told["holes"][0]["x_mm"] += 0.0508
    sheet = sheet_of(jobs, told)
    sheet.holes = told["holes"]
    sheet.pieces = [sheet.piece_of(placement) for placement in told["placements"]]
    tally.must_fail(f"{name} a dowel hole off by 0.002 in: layers differ", bored(sheet))
    tally.must_fail(f"{name} a dowel hole off by 0.002 in: taken or uncut", gouge(sheet) + left_standing(sheet))


def spoilt_marks(tally, name, jobs, program):
    """A piece that lies elsewhere has marks on its edge; a stroke that is not in the report."""
    bad = moved_piece(jobs, program, 0, y=60.0)
    tally.must_fail(f"{name} a marked piece moved: marks at its edge", marks_inside(bad))
    fewer = {**program, "marks": {**program["marks"], "strokes_mm": program["marks"]["strokes_mm"][1:]}}
    tally.must_fail(f"{name} a stroke that the report has not", marks_as_said(sheet_of(jobs, fewer)))


def spoilt_split(tally, name, jobs, program):
    """A half or a strap that does not lie where it is said to."""
    for which, placement in enumerate(program["placements"]):
        bad = moved_piece(jobs, program, which, x=0.2)
        problems = doweled(bad) if placement["part"] == "strap" else tiles(bad)
        tally.must_fail(f"{name} {placement['part']} off by 0.2 mm", problems)


# What is spoilt of which job, in its last program but where marks are spoilt.
SPOILT = {
    "set-tight-sheet-riser": [spoilt_pieces],
    "set-clamped-metric-tread": [spoilt_clamps],
    "set-laser-patterns-pencil": [spoilt_pieces, spoilt_clamps, spoilt_marks],
    "set-shifts-pattern-fillet": [spoilt_shift],
    "set-two-layers-bisector": [spoilt_layers],
    "set-split-metric-fillet": [spoilt_split],
    "order-three-jobs": [spoilt_marks],
}


def self_test(tally, name, jobs):
    for spoil in SPOILT.get(name, []):
        marked = [p for p in jobs[0].programs if p["marks"]] if spoil is spoilt_marks else []
        spoil(tally, name, jobs, marked[0] if marked else jobs[0].programs[-1 if spoil is not spoilt_pieces else 0])


def main(made, samples):
    tally = Tally("geos sets")
    found = [f for f in sets(made, samples) if not f.is_alone() and f.directory.name != "r12"]
    tally.check("there are sets to check", [] if found else [f"none under {made}"])
    for first in (f for f in found if f.is_first):
        jobs = [f for f in found if f.directory == first.directory]
        name = first.directory.parent.name if first.directory.name == "r2000" else first.name
        for program in first.programs:
            sheet = sheet_of(jobs, program)
            for title, check in (MARKS if marks_only(program) else SPLITS if first.is_split() else CUTS).items():
                tally.check(f"{name} {program['file']} {title}", check(sheet))
        self_test(tally, name, jobs)
    tally.end()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
