"""Solves made-up shim schedules again with SciPy's linprog and milp (HiGHS) and holds the program's answers against them.

check.py FOLDER: the folder with schedules.jsonl that mod.rs wrote. Inches throughout.
"""

import copy
import json
import sys
from pathlib import Path

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
from shared import Tally

TOLERANCE = 1e-6
FLIGHTS = 250
# A limit may be missed by this on the tape, in steps: the rounding of heights that were added up.
ON_THE_LINE = 1e-5


def riser_rows(case):
    """Each riser as a row over the heights of the treads and a constant: riser = row @ heights + constant."""
    count = len(case["heights"])
    rows, constants = np.zeros((count + 1, count)), np.zeros(count + 1)
    for k in range(count):
        rows[k, k] += 1
        rows[k + 1, k] -= 1
    constants[count] = case["upper"]
    return rows, constants


def pairs(rows, constants, neighbours_only):
    """Every difference of two risers, both ways round."""
    for i in range(len(rows)):
        for j in range(len(rows)):
            if i != j and (not neighbours_only or abs(i - j) == 1):
                yield rows[i] - rows[j], constants[i] - constants[j]


def heights_room(case):
    return [(h - t, h + s) for h, s, t in zip(case["heights"], case["shim"], case["trim"])]


def least_total(case):
    """The least sum of moves, or None. Variables: the heights, then one bound on each move's size."""
    count = len(case["heights"])
    rows, constants = riser_rows(case)
    upper, most = [], []

    def at_most(row, extra, limit):
        upper.append(np.concatenate([row, extra]))
        most.append(limit)

    none = np.zeros(count)
    for row, constant in zip(rows, constants):
        at_most(row, none, case["most"] - constant)
        at_most(-row, none, constant - case["least"])
    for row, constant in pairs(rows, constants, False):
        at_most(row, none, case["spread"] - constant)
    if case["step"] is not None:
        for row, constant in pairs(rows, constants, True):
            at_most(row, none, case["step"] - constant)
    for k, height in enumerate(case["heights"]):
        one = np.eye(count)[k]
        at_most(one, -one, height)
        at_most(-one, -one, -height)
    answer = solve(np.concatenate([none, np.ones(count)]), upper, most, heights_room(case) + [(0, None)] * count)
    return None if answer is None else answer.fun


def solve(cost, upper, most, bounds):
    tight = {"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10}
    answer = linprog(cost, A_ub=np.array(upper), b_ub=np.array(most), bounds=bounds, method="highs", options=tight)
    if answer.status == 2:
        return None
    assert answer.status == 0, answer.message
    return answer


def least_of(case, differences):
    """The least z that is at least every given row @ heights + constant."""
    upper = [np.append(row, -1.0) for row, _ in differences]
    most = [-constant for _, constant in differences]
    cost = np.append(np.zeros(len(case["heights"])), 1.0)
    return solve(cost, upper, most, heights_room(case) + [(None, None)]).fun


def out_of_reach(case):
    rows, constants = riser_rows(case)
    each = list(zip(rows, constants))
    return {
        "spread": least_of(case, list(pairs(rows, constants, False))),
        "step": least_of(case, list(pairs(rows, constants, True))),
        "largest": least_of(case, each),
        "smallest": -least_of(case, [(-row, -constant) for row, constant in each]),
    }


def least_on_tape(case, parts):
    """The least sum of moves in whole steps of 1/parts in, in steps, or None where no such moves keep every limit.

    Variables: steps up and steps down of every tread, all integers.
    """
    count = len(case["heights"])
    rows, constants = riser_rows(case)
    as_built = rows @ np.array(case["heights"]) + constants
    upper, most = [], []

    def at_most(row, limit):
        upper.append(np.concatenate([row, -row]))
        most.append(limit * parts + ON_THE_LINE)

    for row, riser in zip(rows, as_built):
        at_most(row, case["most"] - riser)
        at_most(-row, riser - case["least"])
    for i in range(len(rows)):
        for j in range(len(rows)):
            if i != j:
                limit = case["spread"]
                if abs(i - j) == 1 and case["step"] is not None:
                    limit = min(limit, case["step"])
                at_most(rows[i] - rows[j], limit - as_built[i] + as_built[j])
    room = np.floor(np.array(case["shim"] + case["trim"]) * parts + 1e-6)
    answer = milp(
        np.ones(2 * count),
        constraints=LinearConstraint(np.array(upper), -np.inf, np.array(most)),
        bounds=Bounds(np.zeros(2 * count), room),
        integrality=np.ones(2 * count),
        options={"mip_rel_gap": 0.0},
    )
    if answer.status == 2:
        return None
    assert answer.status == 0, answer.message
    return round(answer.fun)


def off_the_least(case):
    """What a schedule on the tape has over the least that there is, or that there is one it does not have."""
    found = case["found"]
    for parts in (16, 32):
        least = least_on_tape(case, parts)
        if least is None:
            if found["parts"] == parts:
                yield f"none keeps the limits in 1/{parts} in, and one is given"
            continue
        if found["parts"] != parts:
            yield f"one in 1/{parts} in keeps the limits, and one in 1/{found['parts']} in is given"
        elif abs(sum(map(abs, found["rounded"])) * parts - least) > 1e-6:
            yield f"on the tape {sum(map(abs, found['rounded']))} in, and the least is {least}/{parts} in"
        return
    if found["parts"] is not None:
        yield "none on the tape keeps the limits, and one is given"


def broken(case, moves):
    """What a schedule breaks, in words."""
    surfaces = [0.0] + [h + m for h, m in zip(case["heights"], moves)] + [case["upper"]]
    risers = [b - a for a, b in zip(surfaces, surfaces[1:])]
    steps = [abs(b - a) for a, b in zip(risers, risers[1:])]
    if max(risers) > case["most"] + TOLERANCE:
        yield f"a riser of {max(risers)}"
    if min(risers) < case["least"] - TOLERANCE:
        yield f"a riser of {min(risers)}"
    if max(risers) - min(risers) > case["spread"] + TOLERANCE:
        yield f"a spread of {max(risers) - min(risers)}"
    if case["step"] is not None and max(steps) > case["step"] + TOLERANCE:
        yield f"a step of {max(steps)}"
    for k, (move, shim, trim) in enumerate(zip(moves, case["shim"], case["trim"])):
        if not -trim - TOLERANCE <= move <= shim + TOLERANCE:
            yield f"tread {k + 1} moved by {move}"


def problems(case):
    found, least = case["found"], least_total(case)
    if ("total" in found) != (least is not None):
        yield f"feasible here: {least is not None}, there: {'total' in found}"
    elif least is None:
        for name, figure in out_of_reach(case).items():
            if abs(figure - found[name]) > TOLERANCE:
                yield f"{name}: {found[name]}, here {figure}"
    else:
        if abs(found["total"] - least) > TOLERANCE:
            yield f"total {found['total']}, here {least}"
        if abs(sum(map(abs, found["moves"])) - found["total"]) > TOLERANCE:
            yield "the total is not that of the moves"
        yield from broken(case, found["moves"])
        yield from off_the_least(case)
        if found["rounded"] is not None:
            yield from (f"rounded: {what}" for what in broken(case, found["rounded"]))
            if any(abs(move * 32 - round(move * 32)) > 1e-6 for move in found["rounded"]):
                yield "rounded: a move off the grid"


def main():
    tally = Tally("scipy")
    cases = [json.loads(line) for line in Path(sys.argv[1], "schedules.jsonl").read_text().splitlines()]
    feasible = [case for case in cases if "total" in case["found"]]
    mixed = len(cases) == FLIGHTS and FLIGHTS / 4 <= len(feasible) <= FLIGHTS * 5 / 6
    sixteenths = sum(case["found"]["parts"] == 16 for case in feasible)
    drawn = f"{len(cases)} flights, {len(feasible)} of them with a schedule, {sixteenths} of those in sixteenths"
    tally.check(drawn, [] if mixed else ["a lopsided draw"])
    for k, case in enumerate(cases):
        what = "the least total" if "total" in case["found"] else "none does"
        tally.check(f"flight {k + 1}, {len(case['heights'])} treads: {what}", problems(case))
    spoil(tally, next(case for case in feasible if case["found"]["total"] > 0.1 and case["found"]["parts"] == 16))
    tally.end()


def spoil(tally, case):
    total = copy.deepcopy(case)
    total["found"]["total"] += 1e-5
    tally.must_fail("a total a little off", problems(total))
    moved = copy.deepcopy(case)
    moved["found"]["moves"][0] += 1e-5
    tally.must_fail("a tread moved a little further", problems(moved))
    longer = copy.deepcopy(case)
    longer["found"]["rounded"][0] += 1 / 16
    tally.must_fail("a tread moved a sixteenth further on the tape", problems(longer))
    finer = copy.deepcopy(case)
    finer["found"]["parts"] = 32
    tally.must_fail("thirty-seconds where sixteenths do", problems(finer))
    turned = copy.deepcopy(case)
    turned["found"] = {"spread": 1.0, "step": 1.0, "largest": 8.0, "smallest": 6.0}
    tally.must_fail("a schedule denied", problems(turned))


if __name__ == "__main__":
    main()
