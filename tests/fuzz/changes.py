"""Changes to a program that mean something: what a slip in an editor, a lost line, or a bug of a writer would do."""

import copy
import functools
import math
import re

WORD = re.compile(r"([A-Z])(-?\d+(?:\.\d+)?)")
# Single lines that change what the rest means, or when the tool runs.
SETTINGS = [
    "G91", "G90", "G20", "G21", "G18", "G92 X0 Y0", "G41 D1", "G40", "G55", "G93", "G0", "G1", "G2", "M5", "M3", "M4", "M0", "M1", "M2", "M30",
    "S0", "S1", "%", "G4 P60", "M8", "F1", "G54", "G17", "G94", "G80", "G28", "M6 T2", "G43 H1", "G10 L2 P1 X1", "G91.1", "G90.1", "N10", "/G0 Z0",
]


class Page:
    """The lines of a program, and what a change needs to know of them."""

    def __init__(self, text, beam):
        self.lines, self.beam = text.splitlines(), beam
        inch = "G20" in self.lines
        self.digits, self.mm = (4, 1 / 25.4) if inch else (3, 1.0)
        self.motion = [i for i, line in enumerate(self.lines) if re.search(r"[XYZ]-?\d", bare(line))]
        self.rapids = [i for i in self.motion if bare(self.lines[i]).startswith("G0")]
        self.arcs = [i for i in self.motion if re.match(r"G[23]\b", bare(self.lines[i]))]
        self.heights = sorted({w for i in self.motion for a, w in WORD.findall(bare(self.lines[i])) if a == "Z"}, key=float)
        self.safe = self.heights[-1] if self.heights else None
        if not self.motion:
            raise ValueError("no motion is left")
        xs, ys = ([float(w) for i in self.motion for a, w in WORD.findall(bare(self.lines[i])) if a == axis] for axis in "XY")
        self.box = (min(xs), min(ys), max(xs), max(ys))

    def put(self, value):
        return f"{value:.{self.digits}f}"

    def text(self):
        return "\n".join(self.lines) + "\n"

    def with_axis(self, i, letter, number):
        """A line with one word's number changed."""
        self.lines[i] = re.sub(rf"\b{letter}-?\d+(\.\d+)?", f"{letter}{number}", self.lines[i], count=1)

    def groups(self):
        """Stretches of lines from one rapid up or away to the next."""
        ends = [i for i in self.rapids if self.beam or "Z" in self.lines[i]]
        return [(a, b) for a, b in zip(ends, ends[1:]) if b > a]

    def up(self):
        """Places to put something in where the tool is up, or the beam is off."""
        if self.beam:
            return self.rapids
        return [i + 1 for i in self.rapids if f"Z{self.safe}" in self.lines[i]]

    def at(self, i):
        """Where the tool is before a line."""
        found = {}
        for line in reversed(self.lines[:i]):
            for letter, number in WORD.findall(bare(line)):
                if letter in "XY":
                    found.setdefault(letter, float(number))
            if len(found) == 2:
                break
        return found.get("X", 0.0), found.get("Y", 0.0)

    def lit(self):
        """The power of the strongest cut, and its feed, as words."""
        powers = [w for line in self.lines for a, w in WORD.findall(bare(line)) if a == "S"]
        feeds = [w for line in self.lines for a, w in WORD.findall(bare(line)) if a == "F"]
        return max(powers, key=float), min(feeds, key=float)


def bare(line):
    return re.sub(r"\([^()]*\)", "", line).split(";")[0].strip()


def step(pick, page):
    """A length in the program's unit, from a last digit to a slip of a digit."""
    size = pick.choice([0.01, 0.03, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 25.4, 100.0])
    return pick.choice([-1, 1]) * size * page.mm


def nudge(pick, page):
    i = pick.choice(page.motion)
    words = [(a, n) for a, n in WORD.findall(bare(page.lines[i])) if a in "XYZIJ"]
    letter, number = pick.choice(words)
    page.with_axis(i, letter, page.put(float(number) + step(pick, page)))


def word_off(pick, page):
    i = pick.choice(page.motion)
    letter = pick.choice(WORD.findall(bare(page.lines[i])))[0]
    page.lines[i] = re.sub(rf"\b{letter}-?\d+(\.\d+)?\s?", "", page.lines[i], count=1)


def drop(pick, page):
    i = pick.choice(page.motion)
    del page.lines[i:i + pick.choice([1, 1, 1, 2, 3, 10])]


def double(pick, page):
    i = pick.choice(page.motion)
    page.lines.insert(i, page.lines[i])


def swap(pick, page):
    i = pick.choice(page.motion)
    j = i + 1 if pick.random() < 0.5 else pick.choice(page.motion)
    if j < len(page.lines):
        page.lines[i], page.lines[j] = page.lines[j], page.lines[i]


def other_way(pick, page):
    i = pick.choice(page.arcs or page.motion)
    old = page.lines[i]
    page.lines[i] = old.replace("G2 ", "G3 ", 1) if old.startswith("G2 ") else old.replace("G3 ", "G2 ", 1)


def bent(pick, page):
    """An arc through the same ends round another centre: along the chord's bisector, so that its radii agree."""
    if not page.arcs:
        return nudge(pick, page)
    i = pick.choice(page.arcs)
    words = dict(WORD.findall(bare(page.lines[i])))
    x, y = page.at(i)
    along = (float(words.get("X", x)) - x, float(words.get("Y", y)) - y)
    size = math.hypot(*along) or 1.0
    by = step(pick, page)
    page.with_axis(i, "I", page.put(float(words.get("I", 0)) - along[1] / size * by))
    page.with_axis(i, "J", page.put(float(words.get("J", 0)) + along[0] / size * by))
    return None


def straight(pick, page):
    i = pick.choice(page.arcs or page.motion)
    page.lines[i] = re.sub(r"\s?[IJ]-?\d+(\.\d+)?", "", page.lines[i].replace("G2", "G1", 1).replace("G3", "G1", 1))


def carried(pick, page):
    """A group of lines put elsewhere."""
    groups = page.groups()
    if groups:
        a, b = pick.choice(groups)
        part = page.lines[a:b]
        del page.lines[a:b]
        at = pick.choice([i for i in range(len(page.lines))])
        page.lines[at:at] = part


def group_off(pick, page):
    """A piece, a hole or a pass left out."""
    groups = page.groups()
    if groups:
        a, b = pick.choice(groups)
        del page.lines[a:b]


def moved_group(pick, page):
    groups = page.groups()
    if groups:
        shift_lines(page, *pick.choice(groups), step(pick, page), step(pick, page) if pick.random() < 0.3 else 0.0)


def moved_rest(pick, page):
    """Everything after a line, as after a lost step."""
    i = pick.choice(page.motion)
    shift_lines(page, i, len(page.lines), step(pick, page), 0.0)


def shift_lines(page, a, b, dx, dy):
    for i in range(a, b):
        for letter, by in (("X", dx), ("Y", dy)):
            words = dict(WORD.findall(bare(page.lines[i])))
            if by and letter in words:
                page.with_axis(i, letter, page.put(float(words[letter]) + by))


def somewhere(pick, page):
    """A point near the cut, or anywhere."""
    if pick.random() < 0.6:
        x, y = page.at(pick.choice(page.motion))
        near = 30 * page.mm
        return x + pick.uniform(-near, near), y + pick.uniform(-near, near)
    a, b, c, d = page.box
    return pick.uniform(a, c), pick.uniform(b, d)


def cut_along(pick, page, points):
    """Lines that cut through along points, put in where the tool is up."""
    places = page.up()
    if not places:
        return
    word = lambda p: f"X{page.put(p[0])} Y{page.put(p[1])}"
    if page.beam:
        power, feed = page.lit()
        lines = [f"G0 {word(points[0])} S0", *(f"G1 {word(p)} F{feed} S{power}" for p in points[1:]), "S0"]
    else:
        depths = page.heights[:1] if pick.random() < 0.4 else [z for z in reversed(page.heights) if float(z) < float(page.safe)][-4:]
        feed = page.put(1000 * page.mm)
        lines = [f"G0 {word(points[0])}"]
        for z in depths:
            lines += [f"G1 Z{z} F{feed}", *(f"G1 {word(p)}" for p in points[1:]), f"G0 Z{page.safe}", f"G0 {word(points[0])}"]
    at = pick.choice(places)
    page.lines[at:at] = lines


def slot(pick, page):
    a, size, turn = somewhere(pick, page), pick.choice([2, 20, 120, 400]) * page.mm, pick.uniform(0, 7)
    cut_along(pick, page, [a, (a[0] + size * math.cos(turn), a[1] + size * math.sin(turn))])


def frame(pick, page):
    """A rectangle round the work, or round some of it, or a line across the stock."""
    a, b, c, d = page.box
    by = pick.choice([-15, -5, 5, 10, 15, 30]) * page.mm
    a, b, c, d = a - by, b - by, c + by, d + by
    if pick.random() < 0.4:
        a, c = sorted((pick.uniform(a, c), pick.uniform(a, c)))
    if pick.random() < 0.3:
        x = pick.uniform(a, c)
        return cut_along(pick, page, [(x, b), (x, d)])
    return cut_along(pick, page, [(a, b), (c, b), (c, d), (a, d), (a, b)])


def ring(pick, page):
    """A nearly full circle: its centre is poorly told by its ends."""
    places = page.up()
    x, y = somewhere(pick, page)
    r, off = pick.choice([2, 8, 30]) * page.mm, pick.choice([0.002, 0.006, 0.02, 0.1]) * page.mm
    if places:
        arc = f"G{pick.choice([2, 3])} X{page.put(x - off / 3)} Y{page.put(y - off)} I{page.put(r)} J{page.put(-off / 2)}"
        if page.beam:
            power, feed = page.lit()
            lines = [f"G0 X{page.put(x)} Y{page.put(y)} S0", f"{arc} F{feed} S{power}", "S0"]
        else:
            lines = [f"G0 X{page.put(x)} Y{page.put(y)}", f"G1 Z{pick.choice(page.heights[:3])} F{page.put(1000 * page.mm)}", arc, f"G0 Z{page.safe}"]
        at = pick.choice(places)
        page.lines[at:at] = lines


def other_height(pick, page):
    """One height, once or wherever it is said, as another: tabs thinner, tabs away, a pass in the air."""
    heights = [i for i in page.motion if re.search(r"Z-?\d", page.lines[i])]
    if not heights:
        line = pick.choice(page.motion)
        page.lines[line] += pick.choice([" Z-40.000", " Z-1.000", " Z0.000"])
        return
    i = pick.choice(heights)
    old = dict(WORD.findall(bare(page.lines[i])))["Z"]
    new = pick.choice([*page.heights, page.put(float(old) + step(pick, page))])
    which = [i] if pick.random() < 0.6 else [j for j in heights if re.search(rf"Z{re.escape(old)}\b", page.lines[j])]
    for j in which:
        page.with_axis(j, "Z", new)


def tab_off(pick, page):
    """One tab cut through: its lines stay at the depth of the line before it rises."""
    z = lambda i: dict(WORD.findall(bare(page.lines[i]))).get("Z")
    cuts = [i for i in page.motion if z(i) and page.lines[i].startswith("G1")]
    rises = [(a, b) for a, b in zip(cuts, cuts[1:]) if float(z(a)) < float(z(b)) < 0]
    if not rises:
        return other_height(pick, page)
    low, i = pick.choice(rises)
    deep = z(low)
    for j in range(i, min(i + pick.choice([1, 2, 3, 8]), len(page.lines))):
        if page.lines[j].startswith("G0"):
            break
        if z(j):
            page.with_axis(j, "Z", deep)
    return None


def setting(pick, page):
    i = pick.choice(page.motion) if pick.random() < 0.8 else pick.randrange(len(page.lines))
    page.lines.insert(i, pick.choice(SETTINGS))


def stop_elsewhere(pick, page):
    """An M word, a power, or a stop taken out or carried off."""
    words = [i for i, line in enumerate(page.lines) if re.match(r"(M\d+|S\d+|G4)\b", bare(line))]
    i = pick.choice(words)
    line = page.lines.pop(i)
    if pick.random() < 0.6:
        page.lines.insert(pick.randrange(len(page.lines)), line)


def rate(pick, page):
    """A feed, speed or power changed."""
    found = [i for i, line in enumerate(page.lines) if re.search(r"[FS]\d", bare(line))]
    i = pick.choice(found)
    letter, number = pick.choice([w for w in WORD.findall(bare(page.lines[i])) if w[0] in "FS"])
    new = float(number) * pick.choice([0.0, 0.01, 0.1, 0.5, 0.9, 1.1, 1.5, 2, 10, 25.4])
    page.with_axis(i, letter, f"{new:.1f}" if "." in number else f"{new:.0f}")


def other_kind(pick, page):
    i = pick.choice(page.motion)
    old = re.match(r"G[0-3]\b", page.lines[i])
    page.lines[i] = (page.lines[i][2:].strip() if pick.random() < 0.2 else page.lines[i].replace(old[0], f"G{pick.randrange(4)}", 1)) if old else "G0 " + page.lines[i]


def cut_off(pick, page):
    """The end of the file lost, with or without a proper end."""
    del page.lines[pick.choice(page.motion):]
    page.lines += pick.choice([[], ["M5", "M30"], [f"G0 Z{page.safe}", "M5", "M30"] if page.safe else ["M5", "M2"]])


CHANGES = [
    nudge, nudge, word_off, drop, drop, double, swap, other_way, bent, bent, straight, carried, group_off, moved_group, moved_rest, slot, slot, frame, ring,
    other_height, tab_off, tab_off, setting, stop_elsewhere, rate, other_kind, cut_off,
]


@functools.lru_cache(maxsize=16)
def page_of(text, beam):
    return Page(text, beam)


def changed(pick, text, beam):
    """A changed program, and by what."""
    page, names = copy.copy(page_of(text, beam)), []
    page.lines = list(page.lines)
    for _ in range(pick.choice([1, 1, 1, 1, 2, 3])):
        change = pick.choice(CHANGES)
        try:
            page = Page(page.text(), beam) if names else page
            change(pick, page)
        except (IndexError, KeyError, ValueError):
            continue
        names.append(change.__name__)
    return page.text(), "+".join(names)
