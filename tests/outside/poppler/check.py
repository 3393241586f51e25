"""Measures the full-size pages in pixels, as poppler renders them. Usage: check.py PROGRAM JOB"""

import re
import subprocess
import sys
import tempfile
from pathlib import Path

DPI = 300
PROGRAM, JOB = sys.argv[1], sys.argv[2]
passed = failed = 0


def say(good, words):
    global passed, failed
    passed, failed = passed + good, failed + (not good)
    print(f"{'ok  ' if good else 'FAIL'} poppler: {words}")


def render(pdf, page):
    """Rows of booleans, dark or not, of one page."""
    out = subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-f", str(page), "-l", str(page), pdf], check=True, capture_output=True).stdout
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+(\d+)\s", out)
    width, height = int(head[1]), int(head[2])
    body = out[head.end():]
    return width, height, [[b < 128 for b in body[y * width:(y + 1) * width]] for y in range(height)]


def longest_run(line):
    """Start and length of the longest run of dark pixels."""
    best, start = (0, 0), None
    for i, dark in enumerate(list(line) + [False]):
        if dark and start is None:
            start = i
        elif not dark and start is not None:
            best, start = max(best, (i - start, start)), None
    return best[1], best[0]


def mm(pixels):
    return pixels * 25.4 / DPI


def measure(paper, size_mm):
    with tempfile.TemporaryDirectory() as scratch:
        pdf = str(Path(scratch) / "pages.pdf")
        subprocess.run([PROGRAM, "pages", JOB, "-o", pdf, "--paper", paper], check=True, capture_output=True)
        info = subprocess.run(["pdfinfo", pdf], check=True, capture_output=True, text=True).stdout
        count = int(re.search(r"Pages:\s+(\d+)", info)[1])
        say(b"/PrintScaling /None" in Path(pdf).read_bytes(), f"{paper}: asks for no scaling")
        # Page 2 is tile A1: its bars lie 5 mm outside the window, whose corner is 22 mm from the page's.
        width, height, rows = render(pdf, 2)
        sides = sorted([mm(width), mm(height)])
        if size_mm:
            say(all(abs(a - b) < 0.2 for a, b in zip(sides, sorted(size_mm))), f"{paper}: page of {sides[0]:.1f} x {sides[1]:.1f} mm")
        at_row = height - round(17 * DPI / 25.4)
        bar = max(longest_run(rows[y])[1] for y in range(at_row - 3, at_row + 4))
        say(abs(mm(bar) - 100.25) < 0.2, f"{paper}: the level bar is {mm(bar) - 0.25:.2f} mm")
        at_column = round(17 * DPI / 25.4)
        bar = max(longest_run([row[x] for row in rows])[1] for x in range(at_column - 3, at_column + 4))
        say(abs(mm(bar) - 100.25) < 0.2, f"{paper}: the plumb bar is {mm(bar) - 0.25:.2f} mm")
        block(pdf, count, paper)


def block(pdf, page, paper):
    """The pitch block: its level edge is the longest dark row, its plumb edge the longest dark column."""
    width, height, rows = render(pdf, page)
    level = max(longest_run(row)[1] for row in rows)
    plumb = max(longest_run([row[x] for row in rows])[1] for x in range(width))
    run, rise = step()
    share = 1.0 if mm(level) > 0.75 * run else 0.5
    # The pen is 0.5 mm wide with round ends.
    say(abs(mm(level) - 0.5 - run * share) < 0.25, f"{paper}: level edge {mm(level) - 0.5:.2f} mm for {run * share:.2f}")
    say(abs(mm(plumb) - 0.5 - rise * share) < 0.6, f"{paper}: plumb edge {mm(plumb) - 0.5:.2f} mm for {rise * share:.2f}")


def step():
    import json
    report = subprocess.run([PROGRAM, "solve", JOB, "--json"], capture_output=True, text=True).stdout
    flight = json.loads(report)["flight"]
    return flight["unit_run_mm"], flight["unit_rise_mm"]


measure("letter", (215.9, 279.4))
measure("a4", (210.0, 297.0))
measure("297 mm x 420 mm", (297.0, 420.0))
print(f"{passed} passed, {failed} failed")
sys.exit(failed > 0)
