"""What a tool sweeps, with shapely (GEOS): regions of moves, and overlays whose parts must add up."""

import math

import numpy
import shapely
import shapely.ops
from shapely import Point, Polygon

# How far a flattened arc may lie from the true one: a twenty-fifth of what a program may be off.
SAGITTA_MM = 5e-4
# A region smaller than this is nothing: GEOS's own rounding along a boundary.
NOTHING_MM2 = 1e-6


def circle(centre, radius, first=0.0, sweep=2 * math.pi):
    """Points of an arc, on it, no chord further off than the sagitta."""
    step = 2 * math.acos(max(1 - SAGITTA_MM / max(radius, 2 * SAGITTA_MM), 0.0))
    count = max(2, math.ceil(abs(sweep) / step))
    angles = first + sweep * numpy.arange(count + 1) / count
    return numpy.column_stack((centre[0] + radius * numpy.cos(angles), centre[1] + radius * numpy.sin(angles)))


def disc(centre, radius):
    return Polygon(circle(centre, radius)[:-1])


def capsule(a, b, radius):
    """What a disc sweeps along a straight line. Not GEOS's buffer: that simplifies its input first."""
    if math.dist(a, b) < 1e-9:
        return disc(a, radius)
    angle = math.atan2(b[1] - a[1], b[0] - a[0]) + math.pi / 2
    return Polygon(numpy.vstack((circle(a, radius, angle, math.pi), circle(b, radius, angle + math.pi, math.pi))))


def swept_move(move, stretch, radius):
    """What a disc sweeps along a stretch of a move, as a list of polygons."""
    if move.centre is None:
        return [capsule(move.at(stretch[0]), move.at(stretch[1]), radius)]
    ends = [move.at(share) for share in stretch]
    sweep = move.sweep() * (stretch[1] - stretch[0])
    size = math.dist(ends[0], move.centre)
    first = math.atan2(ends[0][1] - move.centre[1], ends[0][0] - move.centre[0])
    outer = circle(move.centre, size + radius, first, sweep)
    inner = circle(move.centre, max(size - radius, 0.0), first, sweep)[::-1] if size > radius else [move.centre]
    return [Polygon(numpy.vstack((outer, inner))).buffer(0), *(disc(end, radius) for end in ends)]


def parted(a, b):
    """What of `a` lies in `b`, and what does not. The two must add up: GEOS's overlay was seen to lose lines beside a
    polygon thinner than 1e-5 mm, and an overlay that loses something would pass a bad program."""
    within, without = a.intersection(b), a.difference(b)
    measure = (lambda g: g.area) if a.area > 0 else (lambda g: g.length)
    if abs(measure(a) - measure(within) - measure(without)) > NOTHING_MM2 * max(1.0, measure(a) / 1000):
        raise ArithmeticError(f"GEOS overlay lost {measure(a) - measure(within) - measure(without)}")
    return within, without


def sweep(moves, height, radius):
    """The plan of what is taken away at or below a height. A way that several passes go is laid down once."""
    pieces, laid = [], set()
    for move in moves:
        stretch = move.below(height)
        if stretch is None:
            continue
        # Either way along it; two halves of a circle have their ends in common and not their middles.
        way = (*sorted(move.at(share) for share in stretch), move.at(sum(stretch) / 2))
        if way not in laid:
            laid.add(way)
            pieces += swept_move(move, stretch, radius)
    return shapely.union_all(pieces)


def on_ring(a, b, ring):
    """Whether an edge runs along a ring: its ends and its middle lie on it."""
    points = (a, b, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
    return all(Point(point).distance(ring) < 1e-6 for point in points)


def nearest_on(geometry, at):
    return shapely.ops.nearest_points(geometry, at)[0]


def grown(polygon, distance):
    """The polygon grown with round corners: capsules round its edges, not GEOS's simplifying buffer."""
    ring = list(polygon.exterior.coords)
    return shapely.union_all([polygon, *(capsule(a, b, distance) for a, b in zip(ring, ring[1:]))])


def spot(geometry):
    at = geometry.representative_point()
    return f"{at.x:.3f}, {at.y:.3f}"
