"""A controller and a cutter of this folder's own: reads a program as a plain machine would, and sweeps the tool along it.

Nothing is shared with the program under test, nor with `tests/outside`: words, arcs and depths are read here, regions are
GEOS's. All lengths come out in mm, heights from the stock's top face, down negative.
"""

import functools
import math
import re

import numpy
import shapely

# Points along half a circle: the regular polygon lies inside the circle by R (1 - cos(pi / 2 n)), 0.004 mm for 3 mm.
HALF = 32
# How far a chord may lie from the arc it stands for.
SAGITTA_MM = 0.002
# A cut less deep than this is the last digit of a height, not a cut.
SKIN_MM = 0.02
WORD = re.compile(r"([A-Z])\s*([-+]?(?:\d+\.?\d*|\.\d+))")
# What a program may say besides motion and not change where the tool goes.
PASSED = {"G17", "G40", "G49", "G54", "G80", "G90", "G94", "G91.1", "M7", "M8", "M9"}


class Unread(Exception):
    """A program that a plain controller would not run to its end."""


class Moves:
    """Straight moves of a program: arcs in chords. One row each of `xyz` (from, to), `rapid`, `on`, `power`, `feed`, `line`."""

    def __init__(self, rows):
        table = numpy.array(rows, dtype=float).reshape(-1, 11)
        self.xyz = table[:, :6]
        self.rapid, self.on = table[:, 6] > 0, table[:, 7] > 0
        self.power, self.feed, self.line = table[:, 8], table[:, 9], table[:, 10]

    def chosen(self, which):
        other = Moves.__new__(Moves)
        for name, values in vars(self).items():
            setattr(other, name, values[which])
        return other


def joined(several):
    """The moves of several programs as if one were run after the other."""
    whole = Moves.__new__(Moves)
    for name in vars(several[0]):
        setattr(whole, name, numpy.concatenate([getattr(moves, name) for moves in several]))
    return whole


@functools.lru_cache(maxsize=100_000)
def words_of(line):
    """The words of a line, comments left out."""
    code = re.sub(r"\([^()]*\)", "", line).split(";")[0].strip().upper()
    found = WORD.findall(code)
    if WORD.sub("", code).strip():
        raise Unread(f"not a word: {line.strip()}")
    return [(letter, float(number)) for letter, number in found]


def read(text, shifts=((0.0, 0.0),), top_mm=0.0):
    """The moves of a program in the stock's frame. `shifts`: from the stock to the machine for each section between
    stops; `top_mm`: the height of the stock's top in the program's own figures."""
    state = Controller(shifts, top_mm)
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip() == "%" or state.ended:
            continue
        state.obey(words_of(line), number)
    return Moves(state.rows)


class Controller:
    def __init__(self, shifts, top_mm):
        self.shifts, self.top = list(shifts), top_mm
        self.unit, self.motion, self.on, self.power, self.feed = None, None, False, 0.0, None
        self.at, self.section, self.ended, self.rows = [None, None, None], 0, False, []

    def obey(self, words, number):
        """One line: settings first, then its move, then stops, as the standard's order of execution has it."""
        axes, stop = {}, False
        for letter, value in words:
            name = f"{letter}{value:g}"
            if letter in "XYZIJ":
                axes[letter] = value
            elif letter == "F":
                self.feed = value * (self.unit or 1.0)
            elif letter == "S":
                self.power = value
            elif letter in "PN" or name in PASSED or name == "G4":
                pass
            elif letter == "G" and value in (0, 1, 2, 3):
                self.motion = int(value)
            elif name in ("G20", "G21"):
                self.unit = 25.4 if value == 20 else 1.0
            elif name in ("M3", "M4", "M5"):
                self.on = value != 5
            elif name == "M0":
                stop = True
            elif name in ("M2", "M30"):
                self.ended = True
            else:
                raise Unread(f"line {number}: {name}")
        if axes:
            self.move(axes, number)
        self.section += stop

    def move(self, axes, number):
        if self.unit is None or self.motion is None:
            raise Unread(f"line {number}: a move before its unit or its kind")
        to = [axes[a] * self.unit if a in axes else old for a, old in zip("XYZ", self.at)]
        at = [new if old is None else old for old, new in zip(self.at, to)]
        if self.motion >= 2:
            centre = [v + axes.get(a, 0.0) * self.unit for v, a in zip(at, "IJ")]
            way = arc(at, to, centre, self.motion == 3)
        else:
            way = [to]
        shift = (*self.shifts[min(self.section, len(self.shifts) - 1)], self.top)
        for end in way:
            # An axis that no word has named yet counts as lying on its zero, which only a move before it could tell.
            known = [(0.0 if v is None else v) - by for v, by in zip((*at, *end), shift + shift)]
            self.rows.append((*known, self.motion == 0, self.on, self.power, self.feed or 0.0, number))
            at = end
        self.at = list(to)


def arc(at, to, centre, left):
    """Points of an arc round the centre that the line gives, with the radius it starts with."""
    radius = math.dist(at[:2], centre)
    if radius < 1e-9:
        raise Unread("an arc without a radius")
    if abs(radius - math.dist(to[:2], centre)) > 0.02:
        raise Unread("an arc whose radii differ")
    first = math.atan2(at[1] - centre[1], at[0] - centre[0])
    turn = (math.atan2(to[1] - centre[1], to[0] - centre[0]) - first) % (2 * math.pi)
    turn = turn if left else turn - 2 * math.pi
    turn = (2 * math.pi if left else -2 * math.pi) if abs(turn) < 1e-9 else turn
    step = 2 * math.acos(max(1 - SAGITTA_MM / radius, -1.0))
    count = max(1, math.ceil(abs(turn) / step))
    climb = lambda share: None if to[2] is None else at[2] + share * (to[2] - at[2])
    points = []
    for i in range(1, count):
        angle = first + turn * i / count
        points.append((centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle), climb(i / count)))
    return [*points, tuple(to)]


def below(moves, height):
    """The stretches of moves at or below a height, as rows x0 y0 x1 y1, and which move each is of."""
    z0, z1 = moves.xyz[:, 2], moves.xyz[:, 5]
    which = numpy.flatnonzero(numpy.minimum(z0, z1) <= height)
    z0, z1 = z0[which], z1[which]
    fall = numpy.where(z0 == z1, 1.0, z1 - z0)
    share = numpy.clip((height - z0) / fall, 0.0, 1.0)
    start = numpy.where(z0 > height, share, 0.0)[:, None]
    stop = numpy.where(z1 > height, share, 1.0)[:, None]
    a, b = moves.xyz[which, 0:2], moves.xyz[which, 3:5]
    return numpy.hstack((a + start * (b - a), a + stop * (b - a))), which


def capsules(rows, radius):
    """What a disc sweeps along each straight stretch."""
    if not len(rows):
        return numpy.array([], dtype=object)
    along = rows[:, 2:] - rows[:, :2]
    angle = numpy.arctan2(along[:, 1], along[:, 0])[:, None] + math.pi / 2
    half = math.pi * numpy.arange(HALF + 1) / HALF
    ring = lambda centre, turn: centre[:, None, :] + radius * numpy.stack((numpy.cos(turn), numpy.sin(turn)), axis=-1)
    return shapely.polygons(numpy.concatenate((ring(rows[:, :2], angle + half), ring(rows[:, 2:], angle + math.pi + half)), axis=1))


def swept(moves, height, radius):
    """The plan of what is taken away at or below a height, as one geometry."""
    return shapely.union_all(capsules(below(moves, height)[0], radius))


def parts(geometry):
    """The polygons of a geometry, largest first."""
    polygons = [g for g in shapely.get_parts(geometry) if g.geom_type == "Polygon"]
    return sorted(polygons, key=lambda g: -g.area)
