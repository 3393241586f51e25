"""What the checks of this folder share: the facts of a set of files, plain polygon arithmetic, and the tally.

Nothing of it comes from the program under test: lengths of the job file are read again here, and corner and offset
formulas are written from the project's published geometry (square notch corners, mitre inset, round offset).
"""

import json
import math
import re
import sys
import tomllib
from dataclasses import dataclass
from pathlib import Path

INCH = 25.4
# A millionth of an inch: the promise for drawings.
DRAWING_MM = 1e-6 * INCH
# Five ten-thousandths of an inch: the promise for programs.
PROGRAM_MM = 0.0005 * INCH


def length_mm(value, unit=None):
    """A length of a job file in mm: `26 3/4 in`, `3.5 mm`, `2 ft 3 in`, or a bare number in the job's unit."""
    if isinstance(value, (int, float)):
        return value * {"in": INCH, "mm": 1.0}[unit]
    number = r"(?:(\d+)[ -])?(\d+)/(\d+)|(\d+(?:\.\d+)?)"
    total, rest = 0.0, value.strip()
    while rest:
        found = re.match(rf"(?:{number})\s*(in|mm|cm|ft|m)\s*", rest)
        if not found:
            raise ValueError(f"length not read: {value!r}")
        whole, above, below, plain, name = found.groups()
        figure = float(plain) if plain else int(whole or 0) + int(above) / int(below)
        total += figure * {"in": INCH, "mm": 1.0, "cm": 10.0, "ft": 12 * INCH, "m": 1000.0}[name]
        rest = rest[found.end():]
    return total


@dataclass
class Corner:
    """A corner of a counter-clockwise polygon, unit normals out of the solid, turn in radians (negative: inside)."""

    at: tuple
    turn: float
    before: tuple
    after: tuple

    def inside(self):
        return self.turn < -1e-9

    def along_bisector(self, distance):
        """The point at `distance` from both edges' lines, on the outside for a positive distance."""
        x, y = self.before[0] + self.after[0], self.before[1] + self.after[1]
        size = math.hypot(x, y)
        far = distance / math.cos(self.turn / 2) / size
        return (self.at[0] + x * far, self.at[1] + y * far)


def corners(polygon):
    found = []
    for before, at, after in zip(polygon[-1:] + polygon[:-1], polygon, polygon[1:] + polygon[:1]):
        first = unit(before, at)
        second = unit(at, after)
        turn = math.atan2(first[0] * second[1] - first[1] * second[0], first[0] * second[0] + first[1] * second[1])
        found.append(Corner(at, turn, (first[1], -first[0]), (second[1], -second[0])))
    return found


def unit(a, b):
    size = math.dist(a, b)
    return ((b[0] - a[0]) / size, (b[1] - a[1]) / size)


def area(polygon):
    pairs = zip(polygon, polygon[1:] + polygon[:1])
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2


def perimeter(polygon):
    return sum(math.dist(a, b) for a, b in zip(polygon, polygon[1:] + polygon[:1]))


def box(points):
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys), max(xs), max(ys))


def mitre_inset(polygon, distance):
    """The polygon with every edge moved inwards and every corner kept sharp."""
    return [corner.along_bisector(-distance) for corner in corners(polygon)]


def turned(points, degrees):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return [(x * c - y * s, x * s + y * c) for x, y in points]


def moved(points, x, y):
    return [(a + x, b + y) for a, b in points]


def relief_centre(corner, choice, radius, pitch_deg):
    """Where the tool's centre goes to clear an inside corner; `None` for a fillet. `corner` is in the board frame.

    Corner V, bisector b into the waste, n normal of an edge into the waste: bisector V + R b; riser: into the riser
    face, so V + R n of the level edge; tread: into the tread face, so V + R n of the upright edge. Which edge is level
    is told in the elevation frame, so normals are turned back by the pitch.
    """
    if choice == "fillet":
        return None
    if choice == "bisector":
        x, y = corner.before[0] + corner.after[0], corner.before[1] + corner.after[1]
        normal = (x / math.hypot(x, y), y / math.hypot(x, y))
    else:
        normals = (corner.before, corner.after)
        level, upright = sorted(normals, key=lambda n: abs(turned([n], pitch_deg)[0][0]))
        normal = level if choice == "riser" else upright
    return (corner.at[0] + radius * normal[0], corner.at[1] + radius * normal[1])


# What is placed on a sheet is called so, by its name in the report.
STEP_NAMES = {
    "tread": "tread",
    "tread-board": "tread board",
    "top-tread": "top tread",
    "uppermost-tread": "uppermost tread",
    "lowest-riser": "lowest riser board",
    "riser": "riser board",
    "head-riser": "riser board at the head",
}


class Set:
    """One job of a directory that `make` wrote, with the job file where that is at hand.

    `programs` are those of the whole directory: several jobs may share one, and one may hold several pieces.
    """

    def __init__(self, directory, name, job_file=None, member=None):
        self.directory, self.name = Path(directory), name
        whole = json.loads((self.directory / "report.json").read_text())
        self.programs, self.whole = run_together(directory, whole["programs"]), whole
        self.report = whole if member is None else whole["jobs"][member]
        self.title = self.report["job"]["title"]
        # The folder of one of several jobs.
        self.prefix = "" if member is None else re.sub("[^a-z0-9]+", "-", self.title.lower()).strip("-") + "/"
        self.is_first = not member
        self.part = [tuple(v) for v in self.report["outline"]["vertices_mm"]]
        self.pitch = self.report["flight"]["pitch_deg"]
        board = turned(self.part, -self.pitch)
        low = box(board)
        self.board = moved(board, -low[0], -low[1])
        # The program that cuts to the line: after a pointed cutter's marks and a roughing cutter.
        on_line = [p for p in self.programs if not marks_only(p) and not left_by(p)]
        self.program = next(p for p in on_line if any(map(self.is_own, p["placements"])))
        self.radius = self.program["cutter_mm"] / 2
        self.job_file = job_file
        self.inset, self.corner_choice = facts_of(job_file) if job_file else facts_of_ledger(self.program["ledger"])
        self.left, self.facts = 0.0, (self.radius, self.corner_choice)

    def take(self, program):
        """What is looked at: a roughing program stays off the pieces by what it leaves, with a cutter of its own, and leaves their
        inside corners round."""
        self.program, self.left, (self.radius, self.corner_choice) = program, left_by(program), self.facts
        if self.left:
            self.radius, self.corner_choice = program["cutter_mm"] / 2, "fillet"

    def is_own(self, placement):
        """Whether a placed piece is this job's: with several jobs its name ends with the job's title."""
        return not self.prefix or placement["part"].endswith(f" of {self.title}")

    def is_alone(self):
        """Whether every program holds one piece, in one set-up, that is the outline."""
        alone = all(len(p["placements"]) == 1 and "setups_mm" not in p for p in self.programs)
        return alone and not self.prefix and not self.is_split()

    def cleat_holes(self):
        """How many holes the cleats of a stringer have, where they are drilled."""
        cleated = self.report["outline"].get("cleated", {})
        drilled = cleated.get("holes") == "drilled"
        return sum(len(cleat["holes_mm"]) for cleat in cleated["cleats"]) if drilled else 0

    def is_split(self):
        return any("pattern a" in placement["part"] for p in self.programs for placement in p["placements"])

    def outline_of(self, part):
        """The finished outline of a placed piece, board frame: the part, or a piece of the steps by its name."""
        name = part.removesuffix(f" of {self.title}")
        steps = self.report.get("steps", {})
        for piece in steps.get("pieces", []):
            if name == STEP_NAMES[piece["what"]]:
                length, width = piece["length_mm"], piece["width_mm"]
                return [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
        for skirt in steps.get("skirts", []):
            if name == f"{skirt['kind']} skirt {skirt['side']} side":
                # An open one is seen from outside, a wall skirt from the stair: it rises to one side or the other.
                rises_left = (skirt["side"] == "left") == (skirt["kind"] == "open")
                board = turned([tuple(v) for v in skirt["vertices_mm"]], self.pitch if rises_left else -self.pitch)
                low = box(board)
                return moved(board, -low[0], -low[1])
        return self.board

    def piece(self):
        """What lies on the machine, board frame: the part, smaller by what follows a pattern."""
        return mitre_inset(self.board, self.inset) if self.inset else self.board

    def placed(self, points):
        return placed(points, self.program["placements"][0])


def run_together(directory, programs):
    """The programs of set-ups as one each for marks and for the cut: a file of them all is put beside them, M0 between two. What
    bores the table works on no stock."""
    if not any("set_up" in p for p in programs):
        return programs
    text_of = lambda p: (directory / p["file"]).read_text()
    told = {}
    found = []
    for marks in (True, False):
        each = [p for p in programs if p["set_up"]["number"] > 0 and marks_only(p) == marks]
        if not each:
            continue
        texts = []
        for p in each:
            number = p["set_up"]["number"]
            # What is to be done before a set-up stands in the first of its programs.
            words = [row for row in text_of(p).splitlines() if row.startswith("(")]
            told.setdefault(number, words)
            rows = [row for row in text_of(p).splitlines() if not row.startswith("(") and row.strip() not in ("M2", "M30", "%")]
            texts.append("\n".join(told[number] + rows))
        file = "marks-together.nc" if marks else "cuts-together.nc"
        (directory / file).write_text("\nM0\n".join(texts) + "\nM2\n")
        joined = lambda key: [item for p in each for item in p.get(key, [])]
        sums = {key: sum(p[key] for p in each) for key in ("cut_length_mm", "rapid_length_mm", "time_s")}
        whole = {**each[-1], **sums, "file": file, "setups_mm": joined("setups_mm"), "holes": joined("holes"), "tabs": joined("tabs")}
        found.append({key: value for key, value in whole.items() if key != "set_up"})
    return found


def placed(points, placement):
    """Points of the board frame where the piece lies on the stock."""
    return moved(turned(points, placement["turn_deg"]), placement["x_mm"], placement["y_mm"])


def lifted(points, placement):
    """Points of the stock back in the board frame of the piece."""
    return turned(moved(points, -placement["x_mm"], -placement["y_mm"]), -placement["turn_deg"])


def marks_only(program):
    """Whether a program makes marks and cuts nothing: no offset is applied to strokes made on their own lines."""
    return program["offset_applied"] == "none"


def left_by(program):
    """What a roughing program leaves beside the line for the one after it; 0 of any other."""
    return program.get("leaves_mm", 0.0)


def facts_of(job_file):
    """Inset and corner choice as the job file has them."""
    job = tomllib.loads(Path(job_file).read_text())
    cut, bare = job["cut"], job.get("units")
    follow = cut.get("follow", {"with": "edge"}) if cut["makes"] == "pattern" else {"with": "edge"}
    read = lambda key: length_mm(follow[key], bare)
    inset = {
        "edge": lambda: 0.0,
        "bearing-bit": lambda: 0.0,
        "pencil": lambda: read("lead") / 2,
        "bushing": lambda: (read("outside") - read("bit")) / 2,
    }[follow["with"]]()
    return inset, cut.get("corners", "fillet")


def facts_of_ledger(ledger):
    """The same from the report's ledger, where no job file lies beside it."""
    words = next(entry["what"] for entry in ledger if "inside corners" in entry["what"])
    choice = next((c for c in ("bisector", "riser", "tread") if c in words), "fillet")
    inset = next(entry["amount_mm"] for entry in ledger if entry["side"] == "inside the part")
    return inset, choice


def job_files(file):
    """The job files of an order, one a title; of a job, itself."""
    content = tomllib.loads(Path(file).read_text())
    if "job" not in content:
        return {content["title"]: file}
    files = [Path(file).parent / line["file"] for line in content["job"]]
    return {tomllib.loads(one.read_text())["title"]: one for one in files}


def members(directory, name, file):
    """The jobs of one directory."""
    report = json.loads((Path(directory) / "report.json").read_text())
    files = job_files(file) if file else {}
    if "jobs" not in report:
        return [Set(directory, name, next(iter(files.values()), None))]
    titles = [job["job"]["title"] for job in report["jobs"]]
    return [Set(directory, f"{name} {title}", files.get(title), i) for i, title in enumerate(titles)]


def sets(made, samples):
    """Every job under `made` (one directory a job, one a DXF version in it) and of every sample with a report."""
    here = Path(__file__).parent
    found = []
    for report in sorted(Path(made).glob("*/*/report.json")):
        job, version = report.parts[-3], report.parts[-2]
        found += members(report.parent, f"{job}/{version}", here / "jobs" / f"{job}.toml")
    for report in sorted(Path(samples).glob("**/report.json")):
        jobs = [path for path in report.parent.glob("*.toml") if "[cut]" in path.read_text()]
        orders = [path for path in report.parent.glob("*.toml") if "[[job]]" in path.read_text()]
        name = f"output-samples/{report.parent.relative_to(samples)}"
        whole = json.loads(report.read_text())
        # Flights out of boards bear no title in their programs: which is whose cannot be told here.
        if whole.get("programs") and "stairs" not in whole:
            found += members(report.parent, name, next(iter(orders), jobs[0] if len(jobs) == 1 else None))
    return found


class Tally:
    """Prints one line a check and counts."""

    def __init__(self, source):
        self.source, self.passed, self.failed = source, 0, 0

    def check(self, name, problems):
        problems = list(problems)
        if problems:
            self.failed += 1
            print(f"FAIL {self.source}: {name}: {'; '.join(problems[:4])}")
            if len(problems) > 4:
                print(f"     and {len(problems) - 4} more")
        else:
            self.passed += 1
            print(f"ok   {self.source}: {name}")

    def known(self, name, problems):
        """One that is known to be missed: told every time, and a failure once it is missed no more, so that the list of them
        stays true."""
        problems = list(problems)
        for problem in problems:
            print(f"     {self.source}: known to be missed: {name}: {problem}")
        self.check(f"{name}, known to be missed", [] if problems else ["it is missed no more: take it off the list"])

    def must_fail(self, name, problems):
        """A check held against a file that was spoilt on purpose."""
        self.check(f"self-test: {name}", [] if list(problems) else ["the spoilt file was not noticed"])

    def end(self):
        print(f"{self.source}: {self.passed} passed, {self.failed} failed")
        sys.exit(1 if self.failed else 0)
