"""Reads every drawing with ezdxf and holds it against the report's outline and closed formulas. See README.md."""

import logging
import math
import re
import sys
import tempfile
from pathlib import Path

sys.path.append(str(Path(__file__).parent.parent))

import ezdxf
from shared import (
    DRAWING_MM, INCH, Tally, area, box, corners, perimeter, relief_centre, sets,
)

LAYERS = {"CUT", "MARK", "STOCK", "REF"}
# Only where a part has holes: circles, points where the tool goes straight down.
HOLES = {"DRILL"}
# A millionth of a square inch: nine decimals round a flight's area by less.
AREA_MM2 = 1e-6 * INCH**2
UNITS = {"in": (1, 0, INCH), "mm": (4, 1, 1.0)}


def read(path):
    """The drawing, its audit, and what the reader itself complained of."""
    complaints = Complaints()
    logging.getLogger("ezdxf").addHandler(complaints)
    try:
        drawing = ezdxf.readfile(path)
        return drawing, drawing.audit(), complaints.found
    finally:
        logging.getLogger("ezdxf").removeHandler(complaints)


class Complaints(logging.Handler):
    def __init__(self):
        super().__init__(logging.WARNING)
        self.found = []

    def emit(self, record):
        self.found.append(record.getMessage())


def polyline(entity):
    """Closedness, layers and (x, y, bulge) of either kind of polyline, in the drawing's unit."""
    if entity.dxftype() == "LWPOLYLINE":
        return entity.closed, {entity.dxf.layer}, [(x, y, b) for x, y, b in entity.get_points("xyb")]
    layers = {entity.dxf.layer} | {v.dxf.layer for v in entity.vertices}
    points = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
    return entity.is_closed, layers, points


def scaled(vertices, unit):
    return [(x * unit, y * unit, bulge) for x, y, bulge in vertices]


def segments(vertices):
    return list(zip(vertices, vertices[1:] + vertices[:1]))


def bulged_area(vertices):
    """Shoelace over the chords plus the circular segment of each bulge b = tan(sweep / 4)."""
    total = area([(x, y) for x, y, _ in vertices])
    for (x1, y1, bulge), (x2, y2, _) in segments(vertices):
        if bulge:
            sweep = 4 * math.atan(bulge)
            radius = math.dist((x1, y1), (x2, y2)) / (2 * math.sin(sweep / 2))
            total += radius**2 * (sweep - math.sin(sweep)) / 2
    return total


def cut_line(drawing, unit):
    """The one closed polyline on CUT in mm, or what is wrong."""
    found = [e for e in drawing.modelspace() if e.dxf.layer == "CUT"]
    if len(found) != 1 or found[0].dxftype() not in ("LWPOLYLINE", "POLYLINE"):
        return None, [f"CUT holds {[e.dxftype() for e in found]}, not one polyline"]
    closed, _, vertices = polyline(found[0])
    return scaled(vertices, unit), [] if closed else ["the polyline on CUT is open"]


def well_formed(path, unit_name):
    """Nothing for the auditor to find, the right unit, and layers as promised."""
    drawing, audit, complaints = read(path)
    problems = [f"audit error: {e.message}" for e in audit.errors] + [f"audit fix: {e.message}" for e in audit.fixes]
    problems += [f"reader: {c}" for c in complaints]
    insunits, measurement, _ = UNITS[unit_name]
    # Both words came with R2000: an older file says its unit in a comment.
    words = (("$INSUNITS", insunits), ("$MEASUREMENT", measurement)) if drawing.dxfversion > "AC1009" else ()
    for name, wanted in words:
        if drawing.header.get(name) != wanted:
            problems.append(f"{name} is {drawing.header.get(name)}, not {wanted}")
    if not words:
        text = Path(path).read_text()
        unknown = [name for name in ("$INSUNITS", "$MEASUREMENT") if name in text]
        problems += [f"{name} in an R12 file" for name in unknown]
        said = "inches" if unit_name == "in" else "millimetres"
        if f"Coordinates in {said}, 1:1" not in text.split("SECTION")[0]:
            problems.append("no comment says the unit")
    for entity in drawing.modelspace():
        used = polyline(entity)[1] if "POLYLINE" in entity.dxftype() else {entity.dxf.layer}
        if not used <= LAYERS | HOLES:
            problems.append(f"{entity.dxftype()} on layer {sorted(used - LAYERS - HOLES)}")
        if used & HOLES and entity.dxftype() not in ("CIRCLE", "POINT"):
            problems.append(f"{entity.dxftype()} among the holes")
        if "TEXT" in entity.dxftype() and "CUT" in used:
            problems.append("text on CUT")
    problems += [f"layer {layer} is not in the table" for layer in LAYERS if not drawing.layers.has_entry(layer)]
    hidden = [block.name for block in drawing.blocks if block.name not in ("*Model_Space", "*Paper_Space") and len(block)]
    return problems + [f"block {name} holds entities" for name in hidden]


def nominal(path, unit, outline):
    """The finished outline: same vertices, area and box, nothing doubled, no arcs."""
    drawing, _, _ = read(path)
    vertices, problems = cut_line(drawing, unit)
    if vertices is None:
        return problems
    points = [(x, y) for x, y, _ in vertices]
    problems += near("area", bulged_area(vertices), area(outline), AREA_MM2)
    for name, ours, theirs in zip(("left", "bottom", "right", "top"), box(points), box(outline)):
        problems += near(name, ours, theirs, DRAWING_MM)
    problems += near("left", box(points)[0], 0.0, DRAWING_MM) + near("bottom", box(points)[1], 0.0, DRAWING_MM)
    if len(points) != len(outline):
        problems.append(f"{len(points)} vertices, the outline has {len(outline)}")
    else:
        start = min(range(len(points)), key=lambda i: math.dist(points[i], outline[0]))
        far = max(math.dist(p, q) for p, q in zip(points[start:] + points[:start], outline))
        problems += near("farthest vertex", far, 0.0, DRAWING_MM)
    return problems + [f"{n} segments of no length" for n in [short(vertices)] if n] + [
        f"{len(d)} doubled segments" for d in [doubled(vertices)] if d]


def short(vertices):
    return sum(math.dist(a[:2], b[:2]) < 1e-6 for a, b in segments(vertices))


def doubled(vertices):
    """Pairs of segments over the same two points, whichever way."""
    seen, twice = {}, []
    for a, b in segments(vertices):
        key = frozenset((round(p[0], 5), round(p[1], 5)) for p in (a, b))
        if key in seen:
            twice.append((seen[key], (a, b)))
        seen[key] = (a, b)
    return twice


def compensated(path, unit, files):
    """Steiner's formula for the area of a polygon grown by a radius, corners rounded, and the reliefs by formula."""
    drawing, _, _ = read(path)
    vertices, problems = cut_line(drawing, unit)
    if vertices is None:
        return problems
    piece, radius = files.piece(), files.radius
    grown = area(piece) + perimeter(piece) * radius
    for corner in corners(piece):
        half = abs(corner.turn) / 2
        grown += -math.tan(half) * radius**2 if corner.inside() else half * radius**2
    problems += near("area", bulged_area(vertices), grown, AREA_MM2)
    if short(vertices):
        problems.append(f"{short(vertices)} segments of no length")
    return problems + arcs(vertices, piece, radius) + spurs(vertices, piece, files)


def arcs(vertices, piece, radius):
    """One arc round each outside corner of the piece, of the tool's radius, and no other."""
    outside = [c.at for c in corners(piece) if not c.inside()]
    found = [arc(a, b) for a, b in segments(vertices) if a[2]]
    problems = [] if len(found) == len(outside) else [f"{len(found)} arcs round {len(outside)} outside corners"]
    for at in outside:
        centre, size = min(found, key=lambda f: math.dist(f[0], at), default=((math.inf, math.inf), math.inf))
        problems += near(f"arc centre at {at[0]:.1f}, {at[1]:.1f}: off by", math.dist(centre, at), 0.0, DRAWING_MM)
        problems += near(f"arc radius at {at[0]:.1f}, {at[1]:.1f}", size, radius, DRAWING_MM)
    return problems


def arc(start, end):
    """Centre and radius of a bulged segment: the centre lies (1 - b^2) / 4b chords to the left of the chord's middle."""
    (x1, y1, bulge), (x2, y2, _) = start, end
    lift = (1 - bulge**2) / (4 * bulge)
    centre = ((x1 + x2) / 2 - lift * (y2 - y1), (y1 + y2) / 2 + lift * (x2 - x1))
    return centre, math.dist(centre, (x1, y1))


def spurs(vertices, piece, files):
    """Each inside corner is walked into once, out and back, to the formula's centre; nothing else is doubled."""
    wanted = [
        relief_centre(c, files.corner_choice, files.radius, files.pitch)
        for c in corners(piece) if c.inside()
    ]
    wanted = [w for w in wanted if w]
    twice = doubled(vertices)
    if len(twice) != len(wanted):
        return [f"{len(twice)} doubled segments for {len(wanted)} reliefs"]
    tips = [out[1][:2] for out, _ in twice]
    far = [min((math.dist(tip, w) for tip in tips), default=math.inf) for w in wanted]
    return [f"a relief ends {d:.6f} mm from its formula" for d in far if d > DRAWING_MM]


def near(name, ours, wanted, tolerance):
    return [] if abs(ours - wanted) <= tolerance else [f"{name} {ours:.7f}, wanted {wanted:.7f}"]


def same_geometry(one, other):
    """Two versions of a drawing hold the same entities in the same order."""
    first, second = (list(read(path)[0].modelspace()) for path in (one, other))
    problems = [] if len(first) == len(second) else [f"{len(first)} and {len(second)} entities"]
    for a, b in zip(first, second):
        if a.dxf.layer != b.dxf.layer:
            problems.append(f"layers {a.dxf.layer} and {b.dxf.layer}")
        elif "POLYLINE" in a.dxftype() and "POLYLINE" in b.dxftype():
            (closed_a, _, va), (closed_b, _, vb) = polyline(a), polyline(b)
            far = max((abs(x - y) for p, q in zip(va, vb) for x, y in zip(p, q)), default=0.0)
            if closed_a != closed_b or len(va) != len(vb) or far > 1e-9:
                problems.append(f"polylines on {a.dxf.layer} differ by {far}")
        elif a.dxftype() == "CIRCLE" and b.dxftype() == "CIRCLE":
            if a.dxf.center.distance(b.dxf.center) > 1e-9 or abs(a.dxf.radius - b.dxf.radius) > 1e-9:
                problems.append(f"circles on {a.dxf.layer} differ")
        elif a.dxftype() == "POINT" and b.dxftype() == "POINT":
            if a.dxf.location.distance(b.dxf.location) > 1e-9:
                problems.append(f"points on {a.dxf.layer} differ")
        elif a.dxftype() != b.dxftype() or (a.dxf.text, a.dxf.height) != (b.dxf.text, b.dxf.height):
            problems.append(f"{a.dxftype()} and {b.dxftype()} differ")
        elif a.dxf.insert.distance(b.dxf.insert) > 1e-9:
            problems.append("a text lies elsewhere")
    return problems


def unit_of(files):
    """The unit that the program on the machine speaks is the drawings' too."""
    words = {line.strip() for line in (files.directory / files.program["file"]).read_text().splitlines()}
    return "in" if any(re.fullmatch(r"(?:N\d+ )?G20", line) for line in words) else "mm"


def check(tally, files):
    unit_name = unit_of(files)
    unit = UNITS[unit_name][2]
    for path in drawings(files):
        tally.check(f"{files.name} {path.name} audit, unit, layers", well_formed(path, unit_name))
    plain, *path = drawings(files)
    tally.check(f"{files.name} {plain.name} is the outline", nominal(plain, unit, files.board))
    if path:
        name = f"{files.name} {path[0].name} has Steiner's area and its reliefs"
        tally.check(name, compensated(path[0], unit, files))


def drawings(files):
    """The finished outline and the tool's path; of a pattern in two pieces there is no path drawn."""
    names = ["nominal.dxf"] if files.is_split() else ["nominal.dxf", "compensated.dxf"]
    return [files.directory / f"{files.prefix}{name}" for name in names]


# ---- spoilt copies

def spoilt(source, change):
    """A copy of a drawing with its (code, value) pairs changed."""
    lines = Path(source).read_text().splitlines()
    pairs = [[lines[i].strip(), lines[i + 1].strip()] for i in range(0, len(lines) - 1, 2)]
    change(pairs)
    target = Path(tempfile.mkdtemp()) / "spoilt.dxf"
    target.write_text("".join(f"{code}\n{value}\n" for code, value in pairs))
    return target


def on_cut(pairs):
    """Where the coordinates of the line on CUT begin: past the head of its (LW)POLYLINE."""
    start = 0
    for i, (code, value) in enumerate(pairs):
        if code == "0":
            start = i
        if (code, value) == ("8", "CUT") and pairs[start][1] in ("LWPOLYLINE", "VERTEX"):
            return i
    raise ValueError("no line on CUT")


def shift_vertex(code, which, by):
    def change(pairs):
        hits = [i for i in range(on_cut(pairs), len(pairs)) if pairs[i][0] == code]
        pairs[hits[which]][1] = str(float(pairs[hits[which]][1]) + by)
    return change


def set_header(name, value):
    def change(pairs):
        at = next(i for i, pair in enumerate(pairs) if pair == ["9", name])
        pairs[at + 1][1] = value
    return change


def relabel(kind, layer):
    def change(pairs):
        at = next(i for i, pair in enumerate(pairs) if pair == ["0", kind])
        at = next(i for i in range(at, len(pairs)) if pairs[i][0] == "8")
        pairs[at][1] = layer
    return change


def drop_handle(pairs):
    """Gives two entities the same handle."""
    texts = [i for i, pair in enumerate(pairs) if pair == ["0", "TEXT"]]
    handles = [next(i for i in range(t, len(pairs)) if pairs[i][0] == "5") for t in texts[:2]]
    pairs[handles[1]][1] = pairs[handles[0]][1]


def strange_linetype(pairs):
    """Gives a text a line type that no table knows."""
    at = next(i for i, pair in enumerate(pairs) if pair == ["0", "TEXT"])
    at = next(i for i in range(at, len(pairs)) if pairs[i][0] == "8")
    pairs.insert(at + 1, ["6", "NOWHERE"])


def self_test(tally, files):
    unit_name = unit_of(files)
    unit = UNITS[unit_name][2]
    by = 0.002 * INCH / unit
    plain, path = files.directory / "nominal.dxf", files.directory / "compensated.dxf"
    label = files.name
    for code, axis in (("10", "x"), ("20", "y")):
        tally.must_fail(
            f"{label} nominal, a vertex off by 0.002 in along {axis}",
            nominal(spoilt(plain, shift_vertex(code, 2, by)), unit, files.board))
        tally.must_fail(
            f"{label} compensated, a vertex off by 0.002 in along {axis}",
            compensated(spoilt(path, shift_vertex(code, 2, by)), unit, files))
        tally.must_fail(
            f"{label} two versions, a vertex off by 0.002 in along {axis}",
            same_geometry(plain, spoilt(plain, shift_vertex(code, 1, by))))
    tally.must_fail(
        f"{label} compensated, a bulge off by 0.002",
        compensated(spoilt(path, shift_vertex("42", 0, 0.002)), unit, files))
    wrong = "4" if unit_name == "in" else "1"
    if "$INSUNITS" in plain.read_text():
        tally.must_fail(f"{label} wrong unit", well_formed(spoilt(plain, set_header("$INSUNITS", wrong)), unit_name))
    tally.must_fail(f"{label} text on CUT", well_formed(spoilt(plain, relabel("TEXT", "CUT")), unit_name))
    tally.must_fail(f"{label} text on layer 0", well_formed(spoilt(plain, relabel("TEXT", "0")), unit_name))
    if label.endswith("r2000"):
        tally.must_fail(f"{label} a handle used twice", well_formed(spoilt(plain, drop_handle), unit_name))
    tally.must_fail(f"{label} an unknown line type", well_formed(spoilt(plain, strange_linetype), unit_name))


def main(made, samples):
    tally = Tally("ezdxf")
    found = sets(made, samples)
    tally.check("there are sets to check", [] if found else [f"none under {made}"])
    for files in found:
        check(tally, files)
    by_name = {files.name: files for files in found}
    for name, files in by_name.items():
        other = by_name.get(name.replace("/r2000", "/r12"))
        if "/r2000" in name and other:
            for one, two in zip(drawings(files), drawings(other)):
                tally.check(f"{name} and r12 {one.name} hold the same", same_geometry(one, two))
    for files in found:
        if files.name.startswith("porch") or files.name.startswith("hall"):
            self_test(tally, files)
    tally.end()


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
