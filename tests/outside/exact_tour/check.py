"""Solves every task of `tours.jsonl` exactly and holds the tours found, and their lower bounds, against the shortest.

Usage: check.py FOLDER. The model is of nodes, one a way, on a circuit that leaves out all but one way of each stop.
"""

import json
import math
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from ortools.sat.python import cp_model

from shared import Tally

# The solver counts in whole units of this many mm; a tour of 13 links is rounded by at most 13 halves of it.
UNIT_MM = 1e-3
ROUNDED_MM = 14 * UNIT_MM
LIMITS = {"normal": 1.07, "raised": 1.01}


def length(task, visits):
    """Travel of some visits, reckoned here."""
    here, total = task["home"], 0.0
    for stop, way in visits:
        x, y, *leave = task["stops"][stop]["ways"][way]
        total += math.dist(here, (x, y))
        here = leave
    return total + (math.dist(here, task["home"]) if task["end"] == "home" else 0.0)


def out_of_order(task, visits):
    order = [stop for stop, _ in visits]
    stops = task["stops"]
    if sorted(order) != list(range(len(stops))):
        yield "not every stop once"
        return
    place = {stop: index for index, stop in enumerate(order)}
    for stop, what in enumerate(stops):
        for other, whose in enumerate(stops):
            if (other in what["after"] or whose["rank"] < what["rank"]) and place[other] > place[stop]:
                yield f"{stop} before {other}"


def shortest(task):
    """The visits of a shortest tour, proven by the solver."""
    stops, home = task["stops"], task["home"]
    nodes = [(stop, way) for stop, what in enumerate(stops) for way in range(len(what["ways"]))]
    model = cp_model.CpModel()
    place = [model.new_int_var(0, len(stops) - 1, f"place {stop}") for stop in range(len(stops))]
    ranks = sorted({what["rank"] for what in stops})
    arrows = any(what["after"] for what in stops)
    arcs, costs = [], []

    def arc(a, b, mm):
        taken = model.new_bool_var(f"{a} to {b}")
        arcs.append((a, b, taken))
        costs.append(round(mm / UNIT_MM) * taken)
        return taken

    for index, (stop, way) in enumerate(nodes, 1):
        x, y, *leave = stops[stop]["ways"][way]
        rank = stops[stop]["rank"]
        if rank == ranks[0]:
            arc(0, index, math.dist(home, (x, y)))
        if rank == ranks[-1]:
            arc(index, 0, math.dist(leave, home) if task["end"] == "home" else 0.0)
        for other_index, (other, other_way) in enumerate(nodes, 1):
            # No arc leads down a rank or over one: so all of a rank come before the next.
            step = ranks.index(stops[other]["rank"]) - ranks.index(rank)
            if other != stop and step in (0, 1) and other not in stops[stop]["after"]:
                enter = stops[other]["ways"][other_way][:2]
                taken = arc(index, other_index, math.dist(leave, enter))
                if arrows:
                    model.add(place[other] == place[stop] + 1).only_enforce_if(taken)
    left_out = {stop: [] for stop in range(len(stops))}
    for index, (stop, _) in enumerate(nodes, 1):
        skipped = model.new_bool_var(f"not {index}")
        arcs.append((index, index, skipped))
        left_out[stop].append(skipped)
    for skipped in left_out.values():
        model.add(sum(skipped) == len(skipped) - 1)
    for stop, what in enumerate(stops):
        for other in what["after"]:
            model.add(place[other] < place[stop])
    model.add_circuit(arcs)
    model.minimize(sum(costs))
    solver = cp_model.CpSolver()
    # One worker that cuts the circuit hard: it proves ten stops of one rank in seconds, where several searches side by
    # side with the usual cuts share the processors and take many times that.
    solver.parameters.num_workers = 1
    solver.parameters.linearization_level = 2
    solver.parameters.max_time_in_seconds = 60
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    follows = {a: b for a, b, taken in arcs if a != b and solver.value(taken)}
    visits, here = [], follows[0]
    while here:
        visits.append(nodes[here - 1])
        here = follows[here]
    return visits


def problems(task, least, name):
    found = task[name]
    yield from out_of_order(task, found["visits"])
    if abs(length(task, found["visits"]) - found["length_mm"]) > 1e-6:
        yield f"says {found['length_mm']}, is {length(task, found['visits'])}"
    if found["length_mm"] < least - ROUNDED_MM:
        yield f"{found['length_mm']} is below the shortest, {least}"
    if found["bound_mm"] > least + 1e-6:
        yield f"the bound {found['bound_mm']} is above the shortest, {least}"
    if found["length_mm"] > LIMITS[name] * least:
        yield f"{found['length_mm']} is more than {LIMITS[name]} times {least}"


def main():
    tally = Tally("exact_tour")
    worst, loosest = dict.fromkeys(LIMITS, 1.0), 1.0
    tasks = [json.loads(line) for line in (Path(sys.argv[1]) / "tours.jsonl").read_text().splitlines()]
    tally.check("forty tasks", [] if len(tasks) == 40 else [f"{len(tasks)}"])
    for task in tasks:
        title = f"{len(task['stops'])} stops, end {task['end']}, seed {task['seed']}"
        best = shortest(task)
        if best is None:
            tally.check(title, ["not solved in a minute"])
            continue
        least = length(task, best)
        for name in LIMITS:
            tally.check(f"{title}, {name}", problems(task, least, name))
            worst[name] = max(worst[name], task[name]["length_mm"] / least)
        loosest = min(loosest, task["normal"]["bound_mm"] / least)
    spoilt = json.loads(json.dumps(tasks[1]))
    least = length(spoilt, shortest(spoilt))
    spoilt["raised"]["bound_mm"] = 1.0001 * least
    tally.must_fail("a bound above the shortest", problems(spoilt, least, "raised"))
    spoilt = json.loads(json.dumps(tasks[1]))
    spoilt["raised"]["visits"].reverse()
    tally.must_fail("a tour turned round", problems(spoilt, least, "raised"))
    figures = ", ".join(f"{name} {100 * (ratio - 1):.3f} %" for name, ratio in worst.items())
    tally.check(f"worst above the shortest: {figures}; loosest bound {100 * loosest:.1f} % of it", [])
    tally.end()


if __name__ == "__main__":
    main()
