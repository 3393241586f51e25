"""Measures the full-size pages, the bench sheet and the order's drawing in pixels, as poppler renders them.

Usage: check.py PROGRAM JOB. The job must have an inch machine: its bench sheet is expected on letter paper."""

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
        # The bar of 100 mm is the first from the window's corner; one in inches may stand behind it.
        first = round(128 * DPI / 25.4)
        bar = max(longest_run(rows[y][:first])[1] for y in range(at_row - 3, at_row + 4))
        say(abs(mm(bar) - 100.25) < 0.2, f"{paper}: the level bar is {mm(bar) - 0.25:.2f} mm")
        at_column = round(17 * DPI / 25.4)
        bar = max(longest_run([row[x] for row in rows][-first:])[1] for x in range(at_column - 3, at_column + 4))
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


def pages_of(pdf):
    """How many pages, and the size of the first in mm."""
    info = subprocess.run(["pdfinfo", pdf], check=True, capture_output=True, text=True).stdout
    size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", info)
    return int(re.search(r"Pages:\s+(\d+)", info)[1]), [float(points) * 25.4 / 72 for points in size.groups()]


def text_of(pdf, page):
    """The words of a page on one line."""
    out = subprocess.run(["pdftotext", "-f", str(page), "-l", str(page), "-layout", pdf, "-"], check=True, capture_output=True, text=True).stdout
    return " ".join(out.split())


def printed(kind, name, size_mm):
    """Makes a set and looks at its PDF: size, no page blank, nothing within 5 mm of the page's edge."""
    scratch = tempfile.mkdtemp()
    subprocess.run([PROGRAM, kind, JOB, "-o", scratch, "--force"], check=True, capture_output=True)
    pdf = str(Path(scratch) / name)
    count, size = pages_of(pdf)
    say(all(abs(a - b) < 0.05 for a, b in zip(size, size_mm)), f"{name}: page of {size[0]:.1f} x {size[1]:.1f} mm")
    say(b"/PrintScaling /None" in Path(pdf).read_bytes(), f"{name}: asks for no scaling")
    rendered = [render(pdf, page) for page in range(1, count + 1)]
    edge = round(5 * DPI / 25.4)
    for page, (width, height, rows) in enumerate(rendered, 1):
        dark = sum(map(sum, rows))
        outside = sum(map(sum, rows[:edge] + rows[-edge:])) + sum(sum(row[:edge]) + sum(row[-edge:]) for row in rows)
        say(dark > 0.002 * width * height and outside == 0, f"{name}: page {page} of {count} has {dark} dark pixels, {outside} of them near its edge")
    return pdf, count, rendered


def bench():
    pdf, count, rendered = printed("make", "bench.pdf", (215.9, 279.4))
    say(3 <= count <= 20, f"bench.pdf: {count} pages")
    fingerprint, title = job_of()
    texts = [text_of(pdf, page) for page in range(1, count + 1)]
    for page, text in enumerate(texts, 1):
        say(f"page {page} of {count}" in text and fingerprint in text and title in text, f"bench.pdf: page {page} has its number, title and fingerprint")
    headings = ["The numbers to work with", "Story pole and board marks", "Hang line", "Stringer positions", "Test-fit card", "Cut list", "Machine sheet", "Cautions, findings and waivers"]
    for heading in headings:
        say(any(heading in text for text in texts), f"bench.pdf: has the section {heading}")
    # The rule under the title goes from one margin of 12 mm to the other, round ends of a 0.5 mm pen added.
    width, _, rows = rendered[0]
    rule = max(longest_run(row)[1] for row in rows)
    say(abs(mm(rule) - 0.5 - (215.9 - 24.0)) < 0.2, f"bench.pdf: the rule under the title is {mm(rule) - 0.5:.2f} mm for 191.90")


def order():
    pdf, count, rendered = printed("order", "order.pdf", (431.8, 279.4))
    say(count == 2, f"order.pdf: {count} pages")
    fingerprint, title = job_of()
    text = text_of(pdf, 1)
    say(fingerprint in text and title in text, "order.pdf: has title and fingerprint")
    # The scale bars lie in the column of words at the right, 140 mm wide and 13 mm from the paper's edge. Each is outlined
    # by a pen of 0.25 mm; the outlines' long edges are the runs of their lengths.
    width, _, rows = rendered[0]
    left = round((431.8 - 13 - 140 - 1) * DPI / 25.4)
    runs = [mm(longest_run(row[left:])[1]) - 0.25 for row in rows]
    for wanted in (100.0, 101.6):
        nearest = min(runs, key=lambda run: abs(run - wanted))
        say(abs(nearest - wanted) < 0.2, f"order.pdf: a bar of {wanted} mm measures {nearest:.2f} mm")


def job_of():
    import json
    report = json.loads(subprocess.run([PROGRAM, "solve", JOB, "--json"], capture_output=True, text=True).stdout)
    return report["job"]["fingerprint"], report["job"]["title"]


measure("letter", (215.9, 279.4))
measure("a4", (210.0, 297.0))
measure("297 mm x 420 mm", (297.0, 420.0))
bench()
order()
print(f"{passed} passed, {failed} failed")
sys.exit(failed > 0)
