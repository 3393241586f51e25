"""Reads every program with pygcode and holds what it understood against gcodeparser. See README.md."""

import contextlib
import io
import math
import re
import sys
from collections import Counter
from pathlib import Path

sys.path.append(str(Path(__file__).parent.parent))

from pygcode import Line, Machine
from pygcode.gcodes import GCodeArcMoveCCW, GCodeArcMoveCW, GCodeLinearMove, GCodeRapidMove, GCodeUseInches

from gcode import motion, without_the_top
from shared import Tally, sets

KINDS = {GCodeRapidMove: 0, GCodeLinearMove: 1, GCodeArcMoveCW: 2, GCodeArcMoveCCW: 3}
# Both read the same digits: what is left is the arithmetic of inches.
SAME_MM = 1e-6


def understood(text):
    """What pygcode makes of a program: motion kinds, their end points and arc centres in mm, where it ends, complaints."""
    machine, moves, problems, unit = Machine(), [], [], None
    heard = io.StringIO()
    with contextlib.redirect_stderr(heard), contextlib.redirect_stdout(heard):
        for number, row in enumerate(without_the_top(text)[0].splitlines(), 1):
            if row.strip() == "%":
                continue
            try:
                line = Line(row)
                machine.process_block(line.block)
            except Exception as error:
                problems.append(f"line {number}: {error}")
                continue
            if line.block.modal_params:
                problems.append(f"line {number}: words without a command: {line.block.modal_params}")
            for code in line.block.gcodes:
                unit = 25.4 if isinstance(code, GCodeUseInches) else unit or 1.0
                if type(code) in KINDS:
                    moves.append((KINDS[type(code)], *(v * unit for v in position(machine)), offsets(code, unit)))
    return moves, problems + [heard.getvalue()] * bool(heard.getvalue())


def position(machine):
    return tuple(machine.pos.values[axis] for axis in "XYZ")


def offsets(code, unit):
    return tuple(code.params[a].value * unit for a in "IJ" if a in code.params)


def same_motion(files, text, against=None):
    """Both parsers find the same motions in the same order, with the same ends, and end at the same place."""
    theirs, problems = understood(text)
    moves, more = motion(against or text, files.program["process"] == "laser")
    kinds = [0 if m.rapid else 1 if m.centre is None else 3 if m.left else 2 for m in moves]
    counts, places = Counter(kind for kind, *_ in theirs), "G90.1" in text
    problems += more
    if counts != Counter(kinds):
        problems.append(f"{dict(counts)} motions, the other parser finds {dict(Counter(kinds))}")
    for ours, kind, (other, x, y, z, centre) in zip(moves, kinds, theirs):
        # pygcode stands at 0, 0, 0 before the first word of an axis.
        end = tuple(v or 0.0 for v in ours.end)
        if kind != other or math.dist(end, (x, y, z)) > SAME_MM:
            return problems + [f"line {ours.line}: G{kind} to {end}, and G{other} to {(x, y, z)}"]
        if not ours.centre or not centre:
            continue
        # Centres as places, or from the start.
        told = centre if places else [a + b for a, b in zip(ours.start[:2], centre)]
        if math.dist(ours.centre, told) > SAME_MM:
            problems.append(f"line {ours.line}: arc centres differ")
    return problems


def main(made, samples):
    tally = Tally("pygcode")
    found = [f for f in sets(made, samples) if f.is_first and f.directory.name != "r12"]
    tally.check("there are sets to check", [] if found else [f"none under {made}"])
    for files in found:
        for files.program in files.programs:
            text = (files.directory / files.program["file"]).read_text()
            tally.check(f"{files.name} {files.program['file']} both parsers agree", same_motion(files, text))
    for files in found:
        if files.name.split("/")[0] in ("porch-edge-fillet", "hall-two-treads-laser-tread"):
            self_test(tally, files)
    tally.end()


def self_test(tally, files):
    text = (files.directory / files.program["file"]).read_text()
    unit = 25.4 if "\nG20" in text else 1.0
    step = 0.002 * 25.4 / unit
    shifted = re.sub(r"^(G1 X)([\d.]+)", lambda m: f"{m[1]}{float(m[2]) + step:.5f}", text, count=1, flags=re.M)
    tally.must_fail(f"{files.name} one coordinate off by 0.002 in", same_motion(files, shifted, text))
    mixed = re.sub(r"^G2 ", "G3 ", text, count=1, flags=re.M)
    tally.must_fail(f"{files.name} one arc turned round", same_motion(files, mixed, text))
    broken = re.sub(r"^G1 X[\d.]+", "G1 Xnowhere", text, count=1, flags=re.M)
    tally.must_fail(f"{files.name} a word without a figure", same_motion(files, broken, text))


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
