"""Random mixed orders of boards, bought by the command and by an exact integer programme (CP-SAT). See README.md.

usage: check.py SEATCUT [COUNT [SEED]]
"""

import copy
import json
import random
import re
import resource
import subprocess
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass
from functools import reduce
from math import gcd
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from ortools.sat.python import cp_model

from shared import INCH, Tally, length_mm

FOOT = 12 * INCH
# Lengths are counted in millionths of a millimetre, the step that the command says it takes them to.
STEP_MM = 1e-6
# Sums of doubles, and lengths read again from a report, in mm or feet.
SAME = 1e-5
# The solver's ways to search, and how long each is given in turn, by its own count of work: about three seconds each.
WAYS = [cp_model.AUTOMATIC_SEARCH, cp_model.PORTFOLIO_WITH_QUICK_RESTART_SEARCH, cp_model.LP_SEARCH]
EFFORTS = [0.3, 3, 30]
# What the command's own time is told against. Only a figure: no clock fails a check.
CPU_S = 0.5

# A rule set without limits, and stock and travel for any stair: what is refused is refused for want of boards.
RULES = 'kind = "rules"\nabout = "invented"\naim = "7 in"\n'
SIZES = {
    "board-2x12": [("length", '"250 in"'), ("width", '"15 in"')],
    "router-table-large": [("travel", '{ x = "260 in", y = "110 in", z = "8 in" }')],
}
CUTTER_MM = 0.375 * INCH
JOB = """# Invented: one of the stairs of an order for boards.
title = "{title}"
rules = "../rules.toml"
[rise]
total = "{rise}"
risers = {risers}
[tread]
cut = "{cut}"
overhang = "1 in"
thickness = "30 mm"
riser_board = "0 in"
[head]
meets = "one-down"
finish = "30 mm"
[board]
width = "285 mm"
thickness = "38 mm"
[cut]
makes = "stringers"
quantity = {quantity}
machine = "../router-table-large.toml"
material = "../board-2x12.toml"
corners = "fillet"
[boards]
lengths = {lengths}
kerf = "{kerf}"
end_trim = "{end_trim}"
"""


@dataclass
class Order:
    """Stairs, [risers, rise, cut, quantity, count], and the boards on offer, [length, count, price]: of a rack where one of
    them has a count or a price, else what the yard sells."""

    name: str
    kerf: str
    end_trim: str
    boards: list
    stairs: list

    def has_rack(self):
        return any(count is not None or price for _, count, price in self.boards)

    def write(self, folder, with_rack):
        here = folder / (self.name if with_rack else f"{self.name}-yard")
        here.mkdir()
        lines = ["# Invented: stairs whose stringers are cut from the same boards."]
        if with_rack and self.has_rack():
            lines.append('stock = "rack.toml"')
            (here / "rack.toml").write_text(self.rack())
        lengths = json.dumps([length for length, _, _ in self.boards])
        facts = {"kerf": self.kerf, "end_trim": self.end_trim, "lengths": lengths}
        for i, (risers, rise, cut, quantity, count) in enumerate(self.stairs, 1):
            text = JOB.format(title=f"Stair {i}", risers=risers, rise=rise, cut=cut, quantity=quantity, **facts)
            (here / f"{i}.toml").write_text(text)
            lines += ["[[job]]", f'file = "{i}.toml"', f"count = {count}"]
        (here / "order.toml").write_text("\n".join(lines) + "\n")
        return here / "order.toml"

    def rack(self):
        lines = ["# Invented: boards at hand, some of them few."]
        for length, count, price in self.boards:
            lines += ["[[board]]", 'material = "board-2x12"', f'length = "{length}"']
            lines += [] if count is None else [f"count = {count}"]
            lines += [f"price = {price}"] if price else []
        return "\n".join(lines) + "\n"

    def steps(self):
        return [round(length_mm(length) / STEP_MM) for length, _, _ in self.boards]

    def saw(self):
        return round(length_mm(self.kerf) / STEP_MM), round(length_mm(self.end_trim) / STEP_MM)

    def wanted(self):
        return {f"Stair {i}": stair[3] * stair[4] for i, stair in enumerate(self.stairs, 1)}

    def costs(self):
        """What each board costs, in whole units: first in cents, then, where that is the same or there are no prices, by length.
        One without a price, where others have theirs, costs more than a priced one for each stringer."""
        cents = [round(float(price or 0) * 100) for _, _, price in self.boards]
        unsaid = max(cents) * (sum(self.wanted().values()) + 1)
        cents = [own if price else unsaid for own, (_, _, price) in zip(cents, self.boards)]
        common = reduce(gcd, self.steps())
        return list(zip(cents, (steps // common for steps in self.steps())))

    def cost(self, bought):
        """Of boards (index -> how many)."""
        costs = self.costs()
        return tuple(sum(costs[i][k] * times for i, times in bought.items()) for k in (0, 1))

    def priced(self):
        return any(cents for cents, _ in self.costs())

    def price(self, bought):
        return sum(float(self.boards[i][2] or 0) * times for i, times in bought.items())

    def feet(self, bought):
        return sum(length_mm(self.boards[i][0]) / FOOT * times for i, times in bought.items())

    def told(self, bought):
        """Boards (index -> how many) in words."""
        price = f"{self.price(bought):.2f} and " if self.priced() else ""
        return f"{price}{self.feet(bought):.4f} ft in {sum(bought.values())} boards"


def invented(seed):
    """An order of one to eight stairs: in feet and in metres by turns, half of them out of a rack."""
    draw = random.Random(f"boards {seed}")
    in_feet, of_rack = seed % 2 == 0, seed % 4 >= 2
    if in_feet:
        sizes = draw.sample([8, 10, 12, 14, 16, 18, 20], draw.randint(1, 7)) + [draw.choice([16, 18, 20])]
        unit, kerf, trim = "ft", draw.choice(["1/8 in", "3/16 in", "3/32 in"]), draw.choice(["0 in", "1/4 in", "1 in"])
    else:
        sizes = [tenths / 10 for tenths in draw.sample(range(24, 61, 3), draw.randint(1, 7)) + [draw.choice([48, 54, 60])]]
        unit, kerf, trim = "m", draw.choice(["3 mm", "3.5 mm", "4 mm"]), draw.choice(["0 mm", "5 mm", "25 mm"])
    boards = [[f"{size} {unit}", None, None] for size in sorted(set(sizes))]
    # Stairs of so many risers that each goes on the longest board.
    most_risers = 5 if length_mm(boards[-1][0]) < 5000 else 12
    stairs = []
    for _ in range(draw.randint(1, 8)):
        risers = draw.randint(2, most_risers)
        if in_feet:
            rise, cut = f"{draw.randint(risers * 24, risers * 31) / 4} in", f"{draw.randint(18, 23) / 2} in"
        else:
            rise, cut = f"{draw.randint(risers * 150, risers * 195)} mm", f"{draw.randint(230, 300)} mm"
        stairs.append([risers, rise, cut, draw.randint(1, 5), draw.randint(1, 4)])
    for board in boards if of_rack else []:
        board[1] = draw.choice([None, draw.randint(0, 9)])
        a_foot = draw.uniform(1.4, 2.2)
        board[2] = f"{length_mm(board[0]) / FOOT * a_foot:.2f}" if draw.random() < 0.9 else None
    if of_rack:
        boards[-1][1] = draw.choice([None, None, draw.randint(5, 40)])
    return Order(f"order {seed}", kerf, trim, boards, stairs)


def kept():
    """Orders that were found hard."""
    return [Order(**order) for order in json.loads((Path(__file__).parent / "kept.json").read_text())]


@dataclass
class Made:
    """What the command made of an order."""

    report: dict | None
    said: str
    cpu_s: float

    def plan(self):
        return self.report["boards"][0]


def profiles(program, folder):
    (folder / "rules.toml").write_text(RULES)
    for name, sizes in SIZES.items():
        text = subprocess.run([program, "profiles", name], capture_output=True, text=True, check=True).stdout
        for key, value in sizes:
            text = re.sub(rf"(?m)^{key} = .*$", f"{key} = {value}", text, count=1)
        (folder / f"{name}.toml").write_text(text)


def made(program, folder, order, with_rack=True):
    file = order.write(folder, with_rack)
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run = subprocess.run([program, "make", file, "-o", file.parent / "made", "--json"], capture_output=True, text=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu_s = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    report = json.loads(run.stdout) if run.returncode == 0 else None
    return Made(report, f"exit {run.returncode}: {run.stderr.strip()}", cpu_s)


def blanks_of(plan):
    """Lengths in steps, each with its count, by the numbers of the plan."""
    return [(round(blank["length_mm"] / STEP_MM), blank["count"]) for blank in plan["blanks"]]


def bought_by(order, plan):
    """How many of each board on offer; `None` stands for one that is not."""
    bought = Counter()
    for board in plan["boards"]:
        near = [i for i, (length, _, _) in enumerate(order.boards) if abs(length_mm(length) - board["length_mm"]) < SAME]
        bought[near[0] if near else None] += board["times"]
    return bought


def patterns(widths, counts, room):
    """Every way to fill a board to which no piece that is wanted can be added: numbers of each width."""
    found = []

    def fill(taken, left):
        kind = len(taken)
        if kind < len(widths):
            for n in range(min(counts[kind], left // widths[kind]) + 1):
                fill([*taken, n], left - n * widths[kind])
        elif any(taken) and all(n == most or width > left for n, most, width in zip(taken, counts, widths)):
            found.append(taken)

    fill([], max(room, 0))
    return found


def searched(model):
    """The solver and how it ended: each way to search for a while, for a rack that takes one of them minutes takes another a second."""
    for effort in EFFORTS:
        for way in WAYS:
            solver = cp_model.CpSolver()
            solver.parameters.num_workers = 1
            solver.parameters.linearization_level = 2
            solver.parameters.search_branching = way
            solver.parameters.max_deterministic_time = effort
            ended = solver.solve(model)
            if ended in (cp_model.OPTIMAL, cp_model.INFEASIBLE):
                return solver, ended
    return solver, ended


def cheapest(order, blanks):
    """The boards of the least cost (index -> how many) with the ways they are sawn, proven by the solver.

    Gives whether that was proven, and the boards with their ways, `None` where those on offer do not suffice.
    """
    wanted = Counter()
    for steps, count in blanks:
        wanted[steps] += count
    kerf, end_trim = order.saw()
    # n pieces take n - 1 kerfs: so all pieces, and the board too, are wider by one.
    widths, counts = [steps + kerf for steps in wanted], list(wanted.values())
    model, ways, cut = cp_model.CpModel(), [], [[] for _ in widths]
    totals = [[], []]
    for i, ((_, held, _), steps, costs) in enumerate(zip(order.boards, order.steps(), order.costs())):
        of_this = []
        for taken in patterns(widths, counts, steps - 2 * end_trim + kerf):
            times = model.new_int_var(0, sum(counts), "")
            of_this.append(times)
            ways.append((i, taken, times))
            for terms, n in zip(cut, taken):
                terms.append(n * times)
            for total, cost in zip(totals, costs):
                total.append(cost * times)
        if held is not None:
            model.add(sum(of_this) <= held)
    for terms, count in zip(cut, counts):
        model.add(sum(terms) >= count)
    # One after the other: a sum of both has figures so large that the solver takes many times as long.
    for total in totals:
        model.minimize(sum(total))
        solver, ended = searched(model)
        if ended == cp_model.INFEASIBLE:
            return True, None
        if ended != cp_model.OPTIMAL:
            return False, None
        model.add(sum(total) == round(solver.objective_value))
    used = [(i, taken, solver.value(times)) for i, taken, times in ways if solver.value(times)]
    return True, [(i, [s for s, n in zip(wanted, taken) for _ in range(n)], times) for i, taken, times in used]


def count_up(sawn):
    bought = Counter()
    for i, _, times in sawn:
        bought[i] += times
    return bought


def unsawable(order, blanks, sawn):
    """What is wrong with boards (index, lengths in steps, times): too full, too many, or too few pieces."""
    kerf, end_trim = order.saw()
    cut = Counter()
    for i, lengths, times in sawn:
        if sum(lengths) + (len(lengths) - 1) * kerf > order.steps()[i] - 2 * end_trim:
            yield f"{len(lengths)} pieces do not go on {order.boards[i][0]}"
        for steps in lengths:
            cut[steps] += times
    for i, times in count_up(sawn).items():
        if order.boards[i][1] is not None and times > order.boards[i][1]:
            yield f"{times} of {order.boards[i][0]} are bought, {order.boards[i][1]} are there"
    for steps, count in blanks:
        cut[steps] -= count
    if any(count < 0 for count in cut.values()):
        yield "pieces are missing"


def unsound(order, report):
    """What of the plan is not as it was asked, or does not go on its boards."""
    plan = report["boards"][0]
    if len(report["boards"]) != 1:
        yield f"{len(report['boards'])} kinds of board"
    if abs(plan["kerf_mm"] - length_mm(order.kerf)) > SAME or abs(plan["end_trim_mm"] - length_mm(order.end_trim)) > SAME:
        yield f"kerf {plan['kerf_mm']}, end trim {plan['end_trim_mm']}"
    pieces = {}
    for blank in plan["blanks"]:
        pieces[blank["job"]] = pieces.get(blank["job"], 0) + blank["count"]
    if {name: pieces.get(name, 0) for name in order.wanted()} != order.wanted():
        yield f"{pieces} blanks, not {order.wanted()}"
    parts = {job["job"]["title"]: job["flight"]["blank_length_mm"] for job in report.get("jobs", [report])}
    for blank in plan["blanks"]:
        if not parts[blank["job"]] + 2 * CUTTER_MM <= blank["length_mm"] <= parts[blank["job"]] + 6 * CUTTER_MM:
            yield f"a blank of {blank['length_mm']} for a part of {parts[blank['job']]}"
    bought = bought_by(order, plan)
    if None in bought:
        yield "a board that is not on offer"
        return
    blanks, kerf_mm = blanks_of(plan), length_mm(order.kerf)
    sawn, cut = [], Counter()
    for board in plan["boards"]:
        i = next(i for i, (length, _, _) in enumerate(order.boards) if abs(length_mm(length) - board["length_mm"]) < SAME)
        sawn.append((i, [blanks[b][0] for b in board["blanks"]], board["times"]))
        for b in board["blanks"]:
            cut[b] += board["times"]
        taken = sum(plan["blanks"][b]["length_mm"] for b in board["blanks"]) + len(board["blanks"]) * kerf_mm
        left = max(board["length_mm"] - 2 * length_mm(order.end_trim) - taken, 0.0)
        if abs(left - board["left_mm"]) > SAME:
            yield f"{board['left_mm']} mm left, not {left}"
    yield from unsawable(order, blanks, sawn)
    if any(cut[b] != count for b, (_, count) in enumerate(blanks)):
        yield f"cut {dict(cut)}"
    if abs(order.feet(bought) - plan["feet"]) > SAME:
        yield f"says {plan['feet']} ft, is {order.feet(bought)}"
    if order.priced() and abs(order.price(bought) - report["cost"]["boards"]) > SAME:
        yield f"says {report['cost']['boards']}, is {order.price(bought)}"


def dearer(order, plan, least):
    """Whether the plan costs what the cheapest does, its bound is one, and it says that it is proven."""
    bought, fewest = bought_by(order, plan), count_up(least)
    if None in bought:
        yield "a board that is not on offer"
        return
    is_least = order.cost(bought) == order.cost(fewest)
    if not is_least:
        yield f"dearer: {order.told(bought)}, {order.told(fewest)} is enough"
    # What a board costs is taken to a millionth of a foot.
    rounded = 1e-6 * sum(fewest.values())
    if plan["bound_feet"] > order.feet(fewest) + rounded:
        yield f"the bound of {plan['bound_feet']} ft is above {order.told(fewest)}"
    if not plan["proven"]:
        yield "not said to be proven"
    elif not is_least:
        yield "said to be proven and is not"


class Figures:
    """What the run comes to, of each sort of order."""

    def __init__(self):
        self.sorts, self.cpu = {}, []

    def add(self, order, made_of, same, proven):
        drawn = f"{'feet' if 'ft' in order.boards[0][0] else 'metres'}, {'a rack' if order.has_rack() else 'a yard'}"
        sort = "kept" if order.name.startswith("kept") else drawn
        counted = self.sorts.setdefault(sort, Counter())
        counted.update(orders=1, same=int(same), proven=int(proven))
        self.cpu.append((made_of.cpu_s, order.name))

    def lines(self):
        for sort, counted in sorted(self.sorts.items()):
            yield f"{sort}: {counted['orders']} orders, {counted['same']} at the least cost, {counted['proven']} proven"
        over = sum(cpu > CPU_S for cpu, _ in self.cpu)
        worst, name = max(self.cpu)
        yield f"worst {worst:.2f} s of CPU ({name}), {over} of {len(self.cpu)} over {CPU_S} s"


def hold(tally, figures, program, folder, order):
    """One order made, solved and compared; gives what was made with the cheapest boards."""
    of_it = made(program, folder, order)
    title = f"{order.name}: {len(order.stairs)} stairs, {sum(order.wanted().values())} stringers"
    yard = of_it
    if of_it.report is None and "stock-short" in of_it.said:
        yard = made(program, folder, order, with_rack=False)
    if yard.report is None:
        tally.check(title, [yard.said])
        return None
    blanks = blanks_of(yard.plan())
    solved, least = cheapest(order, blanks)
    if not solved:
        tally.check(title, ["the solver did not end"])
        return None
    if of_it.report is None:
        wrong = [] if least is None else [f"refused as too few, {order.told(count_up(least))} is enough"]
        tally.check(f"{title}, more than the rack holds", wrong)
        figures.add(order, of_it, not wrong, not wrong)
        return None
    if least is None:
        tally.check(title, ["boards were bought, and there are too few"])
        return None
    tally.check(f"{title}, as sawn", [*unsound(order, of_it.report), *(f"solver: {w}" for w in unsawable(order, blanks, least))])
    wrong = list(dearer(order, of_it.plan(), least))
    tally.check(f"{title}, at the least cost and proven", wrong)
    figures.add(order, of_it, not any(w.startswith("dearer") for w in wrong), of_it.plan()["proven"])
    return None if wrong else (order, of_it.report, least)


def spoilt(tally, order, report, least):
    """Plans with a fault put in."""

    def changed(change):
        copied = copy.deepcopy(report)
        change(copied["boards"][0])
        return copied

    def one_more(plan):
        plan["boards"][-1]["times"] += 1

    def bare_board(plan):
        plan["boards"].append({**plan["boards"][0], "times": 1, "blanks": []})

    def without_last(plan):
        plan["boards"][0]["blanks"] = plan["boards"][0]["blanks"][:-1]

    def overfull(plan):
        plan["boards"][0]["blanks"] = plan["boards"][0]["blanks"] * 9

    cost = lambda plan_of: dearer(order, changed(plan_of)["boards"][0], least)
    tally.must_fail("a board more, sawn like the last: dearer", cost(one_more))
    tally.must_fail("a board more, sawn like the last: pieces", unsound(order, changed(one_more)))
    tally.must_fail("a board more, whole: dearer", cost(bare_board))
    tally.must_fail("a piece left out", unsound(order, changed(without_last)))
    tally.must_fail("a board too full", unsound(order, changed(overfull)))
    tally.must_fail("a bound above the least", cost(lambda plan: plan.update(bound_feet=plan["feet"] + 0.001)))
    tally.must_fail("not proven", cost(lambda plan: plan.update(proven=False)))
    tally.must_fail("a kerf that was not asked", unsound(order, changed(lambda plan: plan.update(kerf_mm=0.0))))
    # The solver's own boards are held against the same rules.
    short = [(i, lengths * 2, times) for i, lengths, times in least]
    tally.must_fail("the solver's boards, each with twice the pieces", unsawable(order, blanks_of(report["boards"][0]), short))
    fewer = [(i, lengths, times - 1) for i, lengths, times in least]
    tally.must_fail("the solver's boards, one fewer of each", unsawable(order, blanks_of(report["boards"][0]), fewer))


def main():
    program, count, seed = sys.argv[1], int((sys.argv + [0, 0])[2] or 40), int((sys.argv + [0, 0, 0])[3] or 0)
    tally, figures, first = Tally("boards_exact"), Figures(), None
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        profiles(program, folder)
        for order in [*kept(), *(invented(seed + i) for i in range(count))]:
            sound = hold(tally, figures, program, folder, order)
            first = first or sound
    if first:
        spoilt(tally, *first)
    tally.check("an order that could be spoilt", [] if first else ["none was sound"])
    for line in figures.lines():
        tally.check(line, [])
    tally.end()


if __name__ == "__main__":
    main()
