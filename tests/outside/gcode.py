"""Motion of a program, read with `gcodeparser`; the modal state is kept here. All lengths come out in mm."""

import math
import re
from dataclasses import dataclass

from gcodeparser import parse_gcode_lines

# `gcodeparser` knows comments after a semicolon only; those in parentheses are taken out before.
PARENTHESES = re.compile(r"\([^()]*\)")
# Words that a line without a G or M word would hold: the parser passes over such a line in silence.
AXIS_WORD = re.compile(r"[XYZIJ][-+.\d]")
# What the programs promise to keep to.
KNOWN = {
    "G": {0, 1, 2, 3, 4, 17, 20, 21, 40, 43, 49, 53, 54, 55, 56, 57, 58, 59, 61, 64, 80, 90, 94},
    "M": {0, 2, 3, 4, 5, 6, 7, 8, 9, 30},
    "T": set(range(1, 1000)),
    "N": set(range(100000)),
}
# The way up to the top of the machine's own Z: in other coordinates than everything else, and the last motion.
TO_THE_TOP = re.compile(r"^(?:N\d+ )?G53 G0 Z0$")


@dataclass
class Move:
    """One motion; `centre` and `left` for an arc, `on` whether the tool runs or the beam is lit, `power` its S word,
    `feed` its F word in mm a minute, `joined` whether nothing but motion stands between it and the one before."""

    rapid: bool
    start: tuple
    end: tuple
    on: bool
    centre: tuple = None
    left: bool = False
    line: int = 0
    power: float = 0.0
    feed: float = None
    joined: bool = False

    def sweep(self):
        """Signed angle of an arc, positive to the left."""
        first = math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        last = math.atan2(self.end[1] - self.centre[1], self.end[0] - self.centre[0])
        turn = (last - first) % (2 * math.pi)
        return turn if self.left else turn - 2 * math.pi

    def radius(self):
        return math.dist(self.start[:2], self.centre)

    def length(self):
        flat = math.dist(self.start[:2], self.end[:2]) if self.centre is None else abs(self.sweep()) * self.radius()
        return math.hypot(flat, self.end[2] - self.start[2]) if self.end[2] is not None else flat

    def at(self, share):
        """The point in the plane at a share of the way."""
        if self.centre is None:
            return tuple(a + share * (b - a) for a, b in zip(self.start[:2], self.end[:2]))
        angle = math.atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0]) + share * self.sweep()
        size = self.radius() + share * (math.dist(self.end[:2], self.centre) - self.radius())
        return (self.centre[0] + size * math.cos(angle), self.centre[1] + size * math.sin(angle))

    def below(self, height):
        """The stretch of the move at or below a height, as shares of the way; `None` if there is none.

        All of it where the program has no heights.
        """
        first, last = self.start[2], self.end[2]
        if last is None:
            return (0.0, 1.0)
        if first <= height and last <= height:
            return (0.0, 1.0)
        if first > height and last > height:
            return None
        share = (height - first) / (last - first)
        return (0.0, share) if first <= height else (share, 1.0)


def without_the_top(text):
    """The text with the way to the machine's top left out, and what is wrong with where it stands."""
    rows = text.splitlines()
    found = [i for i, row in enumerate(rows) if "G53" in row]
    problems = [f"line {i + 1}: {rows[i]}" for i in found if not TO_THE_TOP.match(rows[i])]
    if found and any(AXIS_WORD.search(row) for row in rows[found[0] + 1:]):
        problems.append(f"line {found[0] + 1}: a motion after the way to the top")
    return "\n".join("" if i in found else row for i, row in enumerate(rows)) + "\n", problems


def by_radius(start, end, radius, left):
    """The centre of an arc of less than half a turn."""
    x, y = end[0] - start[0], end[1] - start[1]
    chord = math.hypot(x, y)
    height = math.sqrt(max(0.0, radius**2 - (chord / 2) ** 2)) * (1 if left else -1)
    return (start[0] + x / 2 - y / chord * height, start[1] + y / 2 + x / chord * height)


def motion(text, laser):
    """Every motion of a program in order, and what is wrong with the words."""
    moves, problems = [], []
    # Where the tool stands before the first word of an axis is not known: a move begins there where it ends.
    unit, at, on, power, feed, joined = None, (None, None, None), False, 0.0, None, False
    plain, more = without_the_top(PARENTHESES.sub("", text))
    problems += more
    # The parser knows no tenths of a code: which way centres are told is read from the text.
    places = re.search(r"^(?:N\d+ )?G90\.1$", plain, re.M) is not None
    lines = list(parse_gcode_lines(plain))
    commanded = {line.line_index for line in lines}
    for number, row in enumerate(plain.splitlines()):
        if number not in commanded and AXIS_WORD.search(row.split(";")[0]):
            problems.append(f"line {number + 1}: motion words without a G word")
    for line in lines:
        letter, code = line.command
        power = float(line.params.get("S", power))
        if code not in KNOWN.get(letter, ()):
            problems.append(f"line {line.line_index + 1}: {letter}{code}")
        elif letter == "G" and code in (20, 21):
            unit = 25.4 if code == 20 else 1.0
        elif letter == "M" and code in (3, 4, 5):
            on = code != 5
        elif letter == "G" and code <= 3:
            if unit is None:
                return moves, problems + [f"line {line.line_index + 1}: motion before a unit"]
            axes = ("X", "Y", "Z")
            end = tuple(float(line.params[a]) * unit if a in line.params else v for a, v in zip(axes, at))
            at = tuple(new if old is None else old for old, new in zip(at, end))
            centre = None
            if code in (2, 3) and "R" in line.params:
                centre = by_radius(at, end, float(line.params["R"]) * unit, code == 3)
            elif code in (2, 3) and places:
                centre = tuple(float(line.params[a]) * unit for a in ("I", "J"))
            elif code in (2, 3):
                centre = tuple(v + float(line.params[a]) * unit for a, v in zip(("I", "J"), at))
            lit = on and (power > 0 or not laser)
            feed = float(line.params["F"]) * unit if "F" in line.params else feed
            moves.append(Move(code == 0, at, end, lit, centre, code == 3, line.line_index + 1, power, feed, joined))
            at, joined = tuple(end), True
        if letter != "G" or code > 3:
            joined = False
    return moves, problems
