"""Cut stringers as they are, head and foot cut in, as plane stress in finite elements. See README.md.

check.py FILE: the stringers that mod.rs wrote, with the figures of the beam check. Inches, pounds and psi throughout.
"""

import json
import math
import sys
from pathlib import Path

import numpy as np
from scipy.sparse.linalg import splu
from scipy.spatial import Delaunay
from shapely import contains_xy
from shapely.geometry import Polygon
from skfem import Basis, ElementTriP2, ElementVector, FacetBasis, LinearForm, MeshTri, enforce
from skfem.models.elasticity import linear_elasticity

sys.path.append(str(Path(__file__).parent.parent))

from shared import Tally

# Side of an element.
SIDE = 0.3
# A place this near a line lies on it.
NEAR = 1e-6
POISSON = 0.3
# What the solution may miss the balance of forces by, as a share of the load.
BALANCE = 1e-6


class Stringer:
    """A stringer by its own construction: noses on one line, square notches, a level seat, a plumb head."""

    def __init__(self, case):
        self.case = case
        self.slope = case["rise"] / case["run"]
        self.cos = 1 / math.hypot(1, self.slope)
        self.plumb_depth = case["board"] / self.cos
        self.heel = (self.plumb_depth - case["first"]) / self.slope
        self.top = case["first"] + (case["treads"] - 1) * case["rise"]

    def lower(self, x):
        return max(0.0, self.case["first"] + x * self.slope - self.plumb_depth)

    def corners(self):
        case, plate, ledger = self.case, self.case["plate"], self.case["ledger"]
        points = []
        if plate is None:
            points += [(0.0, 0.0)]
        else:
            back, end = plate["set_back"], plate["set_back"] + plate["width"]
            if back > 0:
                points += [(0.0, 0.0), (back, 0.0)]
            points += [(back, plate["height"]), (end, plate["height"]), (end, 0.0)]
        points += [(self.heel, 0.0)]
        head, low = case["head_x"], self.lower(case["head_x"])
        if ledger is None:
            points += [(head, low)]
        else:
            inner = head - ledger["width"]
            points += [(inner, self.lower(inner)), (inner, low + ledger["height"]), (head, low + ledger["height"])]
        points += [(head, self.top)]
        for k in reversed(range(case["treads"])):
            y = case["first"] + k * case["rise"]
            points += [(k * case["run"], y)]
            if k > 0:
                points += [(k * case["run"], y - case["rise"])]
        return points

    def mesh(self):
        """Points along the edges and inside, joined by Delaunay; triangles whose middle lies outside are left out."""
        corners = self.corners()
        part = Polygon(corners)
        assert part.is_valid
        points = []
        for a, b in zip(corners, corners[1:] + corners[:1]):
            count = max(1, math.ceil(math.dist(a, b) / SIDE))
            points += [np.array(a) + (np.array(b) - np.array(a)) * i / count for i in range(count)]
        x0, y0, x1, y1 = part.bounds
        inner = part.buffer(-0.6 * SIDE)
        for j, y in enumerate(np.arange(y0, y1, SIDE * math.sqrt(3) / 2)):
            xs = np.arange(x0 + (j % 2) * SIDE / 2, x1, SIDE)
            points += [np.array((x, y)) for x in xs[contains_xy(inner, xs, np.full_like(xs, y))]]
        points = np.array(points)
        found = Delaunay(points).simplices
        middles = points[found].mean(axis=1)
        kept = found[contains_xy(part, middles[:, 0], middles[:, 1])]
        a, b, c = (points[kept[:, i]] for i in range(3))
        areas = ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2
        kept, areas = kept[abs(areas) > 1e-9], abs(areas[abs(areas) > 1e-9])
        assert abs(areas.sum() - part.area) < 1e-6 * part.area, "the mesh is not the part"
        return MeshTri(np.ascontiguousarray(points.T), np.ascontiguousarray(kept.T))

    def on_treads(self, x):
        on = np.zeros(x.shape[1], dtype=bool)
        for k in range(self.case["treads"]):
            on |= abs(x[1] - (self.case["first"] + k * self.case["rise"])) < NEAR
        return on

    def on_seat(self, x):
        return (abs(x[1]) < NEAR) & (x[0] < self.heel + NEAR)

    def on_head(self, x):
        """What holds the head up: the top of the ledger, or the plumb cut down to the lowest point that is held."""
        case = self.case
        if case["ledger"] is not None:
            level = self.lower(case["head_x"]) + case["ledger"]["height"]
            return (abs(x[1] - level) < NEAR) & (x[0] > case["head_x"] - case["ledger"]["width"] - NEAR)
        return (abs(x[0] - case["head_x"]) < NEAR) & (x[1] > self.top - case["held"] - NEAR)


def solved(stringer, pounds_an_inch):
    """Displacements under a load spread level, and what every held place bears; only pressed places bear."""
    case = stringer.case
    mesh = stringer.mesh()
    basis = Basis(mesh, ElementVector(ElementTriP2()))
    modulus, thickness = case["modulus"], case["thickness"]
    shear = modulus / 2 / (1 + POISSON)
    # Plane stress.
    bulk = modulus * POISSON / (1 - POISSON**2)
    stiff = linear_elasticity(bulk, shear).assemble(basis) * thickness
    treads = mesh.facets_satisfying(stringer.on_treads, boundaries_only=True)
    press = LinearForm(lambda v, w: -pounds_an_inch * v[1])
    load = press.assemble(FacetBasis(mesh, basis.elem, facets=treads))
    places, upright = basis.doflocs, np.arange(basis.N)
    # Of every point the second number is the upright one.
    is_upright = np.zeros(basis.N, dtype=bool)
    is_upright[basis.nodal_dofs[1]] = True
    is_upright[basis.facet_dofs[1]] = True
    level_here = stringer.on_seat(places) & ~is_upright
    fixed_level = upright[level_here][np.argmax(places[0][level_here])]
    seat = upright[stringer.on_seat(places) & is_upright]
    head = upright[stringer.on_head(places) & is_upright]
    pulls = case["ledger"] is None
    held = {dof: True for dof in [*seat, *head]}
    for _ in range(60):
        down = np.array([dof for dof, is_held in held.items() if is_held] + [fixed_level])
        matrix, right = enforce(stiff, load, D=down)
        moved = splu(matrix.tocsc()).solve(right)
        bears = stiff @ moved - load
        # A seat cannot pull, and wood cannot sink into it; a fastened head may do both.
        one_way = [*seat] if pulls else [*seat, *head]
        changed = False
        for dof in one_way:
            if held[dof] and bears[dof] < -1e-6:
                held[dof], changed = False, True
            elif not held[dof] and moved[dof] < -1e-12:
                held[dof], changed = True, True
        if not changed:
            return basis, moved, bears, seat, head
    raise AssertionError("contact does not settle")


def stress_along_lower_edge(stringer, basis, moved):
    """Greatest pull along the lower edge, away from both ends by a plumb depth."""
    mesh, case = basis.mesh, stringer.case
    start, stop = stringer.heel + stringer.plumb_depth / 2, case["head_x"] - stringer.plumb_depth / 2

    def on_edge(x):
        line = case["first"] + x[0] * stringer.slope - stringer.plumb_depth
        return (abs(x[1] - line) < NEAR) & (x[0] > start) & (x[0] < stop)

    facets = mesh.facets_satisfying(on_edge, boundaries_only=True)
    edge = FacetBasis(mesh, basis.elem, facets=facets)
    grad = edge.interpolate(moved).grad
    strain = [[grad[0][0], (grad[0][1] + grad[1][0]) / 2], [(grad[0][1] + grad[1][0]) / 2, grad[1][1]]]
    factor = case["modulus"] / (1 - POISSON**2)
    xx = factor * (strain[0][0] + POISSON * strain[1][1])
    yy = factor * (strain[1][1] + POISSON * strain[0][0])
    xy = case["modulus"] / (1 + POISSON) * strain[0][1]
    cos, sin = stringer.cos, stringer.cos * stringer.slope
    return float((xx * cos**2 + yy * sin**2 + 2 * xy * sin * cos).max())


def worked(case):
    stringer = Stringer(case)
    basis, moved, bears, seat, head = solved(stringer, case["pounds_an_inch"])
    places = basis.doflocs
    plate = case["plate"]
    front = 0.0
    if plate is not None:
        before = seat[places[0][seat] < plate["set_back"] + NEAR]
        front = float(bears[before].sum())
    level = np.zeros(basis.N, dtype=bool)
    level[basis.nodal_dofs[0]] = level[basis.facet_dofs[0]] = True
    on_line = abs(places[1] - (case["first"] + places[0] * stringer.slope - stringer.plumb_depth)) < NEAR
    lower = np.flatnonzero(on_line & ~level)
    across = [moved[dof] * stringer.cos - moved[dof - 1] * stringer.cos * stringer.slope for dof in lower]
    return {
        "foot": float(bears[seat].sum()),
        "head": float(bears[head].sum()),
        "front": front,
        "pull": stress_along_lower_edge(stringer, basis, moved),
        "across": -min(across),
    }


def differences(case, found):
    whole = case["pounds_an_inch"] * case["head_x"]
    if abs(found["foot"] + found["head"] - whole) > BALANCE * whole:
        yield f"foot and head bear {found['foot'] + found['head']:.2f} of {whole:.2f} lb"
    # The check takes the span from the first riser cut: the foot bears further in, so the head bears less.
    if not 0.6 * case["end"] < found["head"] <= case["end"] * (1 + 1e-6):
        yield f"the head bears {found['head']:.1f} lb, figured {case['end']:.1f} lb"
    if not 0.3 * case["bending"] < found["pull"] <= case["bending"]:
        yield f"the lower edge is pulled by {found['pull']:.0f} psi, figured {case['bending']:.0f} psi"
    if not 0.1 * case["across"] < found["across"] <= case["across"]:
        yield f"it bends by {found['across']:.4f} in, figured {case['across']:.4f} in"
    plate = case["plate"]
    if plate is None:
        return
    # What crosses the notch: the load before its end, less what the wood before it bears.
    before = case["pounds_an_inch"] * (plate["set_back"] + plate["width"])
    crosses = abs(found["front"] - before)
    if case["notch_shear"] is None:
        if found["front"] > 1e-6 or crosses > 0.25 * case["end"]:
            yield f"{crosses:.1f} lb cross a notch at the toe, and none is figured"
    elif crosses > case["notch_shear"]:
        yield f"{crosses:.1f} lb cross the notch at the foot, figured {case['notch_shear']:.1f} lb"


def main(file):
    tally = Tally("scikit_fem")
    cases = json.loads(Path(file).read_text())
    first = None
    for case in cases:
        found = worked(case)
        first = first or found
        shares = f"pull {found['pull'] / case['bending']:.2f}, bend {found['across'] / case['across']:.2f}"
        if case["plate"] is not None and case["plate"]["set_back"] > 0:
            shares += f", {abs(found['front']) / found['foot']:.2f} of the foot before the notch"
        tally.check(f"{case['name']}: {shares} of what is figured", differences(case, found))
    for key in ("bending", "across", "end"):
        spoilt = {**cases[0], key: cases[0][key] * 0.2}
        tally.must_fail(f"{key} figured at a fifth", list(differences(spoilt, first)))
    tally.end()


main(sys.argv[1])
