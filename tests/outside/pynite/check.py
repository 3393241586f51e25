"""Works out every beam that the Rust suite wrote with finite elements and compares. See README.md."""

import json
import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parent.parent))

from Pynite import FEModel3D

from shared import Tally

# Share of a figure that two ways of working it out may differ by.
SHARE = 1e-6
# How far from the support the load that gives the greatest shear stands, as a share of the span.
BESIDE = 1e-7
COMBO = "Combo 1"


def model_of(case, nodes, held):
    """A frame along the beam with these nodes, those in `held` on a roller, the first on a pin."""
    breadth, depth, modulus = case["breadth_in"], case["depth_in"], case["modulus_psi"]
    model = FEModel3D()
    model.add_material("wood", modulus, modulus / 16, 0.3, 0.0)
    inertia = breadth * depth**3 / 12
    model.add_section("throat", breadth * depth, depth * breadth**3 / 12, inertia, inertia)
    for number, x in enumerate(nodes):
        model.add_node(f"N{number}", x, 0.0, 0.0)
        if x in held:
            model.def_support(f"N{number}", number == 0, True, True, True, False, False)
    for number in range(len(nodes) - 1):
        model.add_member(f"M{number}", f"N{number}", f"N{number + 1}", "wood", "throat")
    return model


def members(model):
    return [model.members[name] for name in model.members]


def greatest(model, ask):
    return max(abs(value) for member in members(model) for value in ask(member))


def moment(model):
    ends = lambda m: (m.max_moment("Mz", COMBO), m.min_moment("Mz", COMBO), m.moment("Mz", m.L(), COMBO))
    return greatest(model, ends)


def shear(model):
    return greatest(model, lambda m: (m.max_shear("Fy", COMBO), m.min_shear("Fy", COMBO)))


def spread(model, pounds):
    for name in list(model.members):
        model.add_member_dist_load(name, "Fy", -pounds, -pounds)
    model.analyze_linear()
    return model


def under_point(case, at):
    """The beam with its load at one place, a node there."""
    span = case["span_in"]
    model = model_of(case, [0.0, at, span], (0.0, span))
    model.add_node_load("N1", "FY", -case["pounds"])
    model.analyze_linear()
    return model


def worked(case):
    """Moment, shear and deflection of a case by finite elements."""
    span = case["span_in"]
    ends = (0.0, span)
    if case["load"] == "middle":
        model = spread(model_of(case, [0.0, span / 2, span], (0.0, span / 2, span)), case["pounds"])
        return {"shear": shear(model)}
    if case["load"] == "uniform":
        model = spread(model_of(case, [0.0, span / 2, span], ends), case["pounds"])
        beside = model
    else:
        model = under_point(case, span / 2)
        beside = under_point(case, BESIDE * span)
    deflection = -model.nodes["N1"].DY[COMBO]
    return {"moment": moment(model), "shear": shear(beside), "deflection": deflection}


def differences(case, figures):
    for key, figure in figures.items():
        if abs(case[key] - figure) > SHARE * abs(figure):
            yield f"{key} {case[key]} is not {figure}"


def name_of(case):
    return f"{case['load']} over {case['span_in']} in, throat {case['depth_in']} in, E {case['modulus_psi']:.0f}"


def main(file):
    tally = Tally("pynite")
    cases = json.loads(Path(file).read_text())
    found = [(case, worked(case)) for case in cases]
    for case, figures in found:
        tally.check(name_of(case), differences(case, figures))
    kinds = {case["load"] for case in cases}
    tally.check("there are beams of every kind", [] if kinds == {"uniform", "point", "middle"} else [str(kinds)])
    for key in ("moment", "shear", "deflection"):
        case, figures = found[0]
        tally.must_fail(f"{key} off by a hundred-thousandth", differences({**case, key: case[key] * 1.00001}, figures))
    tally.end()


main(sys.argv[1])
