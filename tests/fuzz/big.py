"""Large hostile files through every reader of the command: an answer in words, in 2 s of CPU and 500 MB.

  python3 tests/fuzz/big.py PROGRAM [MEGABYTES [SLOWER]]   PROGRAM a release build; SLOWER times as long for another build

One line a file: what came of it, the seconds of CPU, the memory, the first words said. Ends with 1 if one was over, died or
said nothing.
"""
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
JOB = ROOT / "output-samples/bushing-pattern/job.toml"
SECONDS, MEGABYTES = 2.0, 500


def filled(piece, size, head="", tail=""):
    """Text of about a size: a piece, or what a function gives for a number, again and again between a head and a tail."""
    if isinstance(piece, str):
        return head + piece * (size // len(piece)) + tail
    parts, length, i = [head], 0, 0
    while length < size:
        parts.append(piece(i))
        length += len(parts[-1])
        i += 1
    return "".join(parts) + tail


def pairs(*values):
    return "".join(f"{code}\n{value}\n" for code, value in values)


def entities(piece, size):
    head = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    return filled(piece, size, head, "0\nENDSEC\n0\nEOF\n")


def spread(i, most):
    """The i-th of numbers that do not repeat soon, below `most`."""
    return (i * 7919 % 100_003) / 100_003 * most


def line(x, y, u, v, layer="CUT"):
    return pairs((0, "LINE"), (8, layer), (10, x), (20, y), (11, u), (21, v))


def blocks(levels, each):
    """Blocks that hold blocks: levels deep, each so many times the one below."""
    text = "0\nSECTION\n2\nBLOCKS\n"
    for level in range(levels):
        inserts = pairs((0, "INSERT"), (8, "CUT"), (2, f"B{level + 1}"), (10, 0), (20, 0)) * each
        text += pairs((0, "BLOCK"), (8, "CUT"), (2, f"B{level}"), (10, 0), (20, 0)) + inserts + pairs((0, "ENDBLK"))
    last = pairs((0, "BLOCK"), (8, "CUT"), (2, f"B{levels}"), (10, 0), (20, 0)) + line(0, 0, 1, 1) + pairs((0, "ENDBLK"))
    first = pairs((0, "INSERT"), (8, "CUT"), (2, "B0"), (10, 0), (20, 0), (70, 10**9), (71, 10**9))
    return f"{text}{last}0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{first}0\nENDSEC\n0\nEOF\n"


def drawings(size):
    vertex = lambda i: pairs((10, spread(i, 70)), (20, spread(i * 31, 20)), (42, 0.5 if i % 2 else 0))
    yield "one line", "A" * size
    yield "NULs", "\0" * size
    yield "no UTF-8", b"0\nSECTION\n2\nENTITIES\n" + b"\xff\xfe\x80\n" * (size // 4)
    yield "zeros", filled("0\n", size)
    yield "pairs without end", filled("0\nSECTION\n", size)
    yield "lines far apart", entities(lambda i: line(i, 0, i, 1), size)
    yield "lines that cross", entities(lambda i: line(0, spread(i, 20), 70, spread(i * 31, 20)), size)
    yield "lines beside the part", entities(lambda i: line(100, spread(i, 20), 170, spread(i * 31, 20), "REF"), size)
    yield "one line again and again", entities(line(0, 0, 1, 1), size)
    yield "lines of no length", entities(line(1, 1, 1, 1), size)
    yield "a star of lines", entities(lambda i: line(35, 10, spread(i, 70), spread(i * 31, 20)), size)
    yield "a chain of lines", entities(lambda i: line(i * 1e-4, i % 2 * 1e-4, (i + 1) * 1e-4, (i + 1) % 2 * 1e-4), size)
    yield "circles", entities(lambda i: pairs((0, "CIRCLE"), (8, "CUT"), (10, spread(i, 70)), (20, spread(i * 31, 20)), (40, 5)), size)
    yield "circles to drill", entities(lambda i: pairs((0, "CIRCLE"), (8, "DRILL"), (10, spread(i, 70)), (20, 1), (40, 0.1)), size)
    yield "arcs", entities(lambda i: pairs((0, "ARC"), (8, "CUT"), (10, spread(i, 70)), (20, 5), (40, 3), (50, 0), (51, i % 360)), size)
    closed = pairs((0, "LWPOLYLINE"), (8, "CUT"), (90, 9_999_999), (70, 1))
    yield "one polyline", entities(vertex, size).replace("ENTITIES\n", "ENTITIES\n" + closed)
    yield "an old polyline", entities(lambda i: pairs((0, "VERTEX"), (8, "CUT"), (10, i * 1e-3), (20, i % 7)), size).replace(
        "ENTITIES\n", "ENTITIES\n" + pairs((0, "POLYLINE"), (8, "CUT"), (66, 1), (70, 1)))
    yield "small squares", entities(lambda i: closed.replace("9_999_999", "4") + pairs(
        (10, i % 300), (20, i // 300), (10, i % 300 + .5), (20, i // 300), (10, i % 300 + .5), (20, i // 300 + .5)), size)
    yield "huge numbers", entities(lambda i: line("1e308", "-1e308", "1e300", i), size)
    yield "no numbers", entities(line("nan", "inf", "-inf", "1e999"), size)
    yield "layers", entities(lambda i: line(0, 0, 1, i, f"L{i}"), size)
    yield "long layer names", entities(lambda i: line(0, 0, 1, i, "L" * 100_000), size)
    yield "texts", entities(pairs((0, "TEXT"), (8, "MARK"), (1, "word"), (10, 1), (20, 1), (40, 1)), size)
    yield "splines", entities(pairs((0, "SPLINE"), (8, "CUT"), *[(40, 1e9)] * 20, *[(10, 1e9), (20, 1)] * 20), size)
    yield "inserts", entities(pairs((0, "INSERT"), (8, "CUT"), (2, "X"), (70, 10**9)), size)
    yield "blocks in blocks", blocks(size // 10 // 40, 10)


def programs(size):
    good = "G90 G94 G17 G20\nS18000 M3\nG0 Z0.5\nG0 X5 Y5\nG1 Z-0.25 F20\n"
    end = "G0 Z0.5\nM5\nM2\n"
    yield "one line", "A" * size
    yield "one line of words", filled("G1X1Y1", size, good)
    yield "NULs", "\0" * size
    yield "no UTF-8", b"G20\n" + b"\xff\xfe\x80\n" * (size // 4)
    yield "line numbers", filled(lambda i: f"N{i}\n", size, good, end)
    yield "line numbers in one line", filled("N1", size)
    yield "comments", filled("(word)\n", size, good, end)
    yield "open brackets", filled("(", size, good)
    yield "brackets of values", filled("[", size, good + "G1 X")
    yield "semicolons", filled(";\n", size, good, end)
    yield "empty lines", filled("\n", size, good, end)
    yield "percent signs", filled("%\n", size)
    yield "digits", good + "G1 X" + "9" * size
    yield "decimals", good + "G1 X0." + "9" * size
    yield "huge numbers", filled("G1 X99999999999999 Y-99999999999999\n", size, good, end)
    yield "no move", filled("G1 X5 Y5\n", size, good, end)
    yield "across the part", filled(lambda i: f"G1 X{spread(i, 70):.3f} Y{spread(i * 31, 20):.3f}\n", size, good, end)
    yield "back and forth", filled("G1 X10\nG1 X5\n", size, good, end)
    yield "in the waste", filled(lambda i: f"G1 X{0.2 + spread(i, .2):.4f} Y{0.2 + spread(i * 31, .2):.4f}\n", size, good, end)
    yield "up and down", filled("G0 Z0.5\nG1 Z-0.25\n", size, good, end)
    yield "holes", filled(lambda i: f"G0 Z0.5\nG0 X{spread(i, 70):.2f} Y{spread(i * 31, 20):.2f}\nG1 Z-0.25\n", size, good, end)
    yield "in the air", filled(lambda i: f"X{spread(i, 70):.3f}Y{spread(i * 31, 20):.3f}\n", size, "G20 G90\nG0 Z0.5\n", end)
    yield "circles", filled("G2 X5 Y5 I2 J0\n", size, good, end)
    yield "arcs", filled(lambda i: f"G2 X{5 + i % 2} Y5 I{.5 - i % 2} J0\n", size, good, end)
    yield "wide arcs", filled("G2 X5.001 Y5 I0.0005 J-9000000\n", size, good, end)
    yield "steps", filled(lambda i: f"G1 X{5 + i * 1e-4:.4f}\n", size, good, end)
    yield "spindle", filled("M3\nM5\n", size, good, end)
    yield "ends", filled("M2\n", size, good)
    yield "calls", filled("M98 P1 L9999\n", size, good, "O1\nM98 P1\nM99\n")
    yield "drill cycles", filled("G81 X5 Y5 Z-1 R0.1 F10\n", size, good, end)
    yield "unit changes", filled("G20\nG21\n", size, good, end)


def texts(size):
    yield "one line", "a" * size
    yield "NULs", "\0" * size
    yield "no UTF-8", b"title = \"\xff\"\n" * (size // 12)
    yield "brackets", "a = " + "[" * size
    yield "brackets that close", "a = " + "[" * (size // 2) + "]" * (size // 2)
    yield "braces", "a = " + "{a=" * (size // 3)
    yield "tables", filled(lambda i: f"[t{i}]\n", size)
    yield "a deep table", "[" + "a." * (size // 2) + "a]\n"
    yield "a deep key", "a." * (size // 2) + "a = 1\n"
    yield "longer and longer keys", filled(lambda i: "a." * (i + 1) + f"b{i} = 1\n", size)
    yield "keys", filled(lambda i: f"k{i} = 1\n", size)
    yield "one key", filled("title = \"x\"\n", size)
    yield "a long text", "title = \"" + "x" * size + "\"\n"
    yield "a long text in lines", "title = \"\"\"" + filled("x\n", size) + "\"\"\"\n"
    yield "an open text", "title = \"" + "\\u0000" * (size // 6)
    yield "digits", "n = " + "9" * size
    yield "a float", "n = 1e" + "9" * size
    yield "values", "a = [" + "1," * (size // 2) + "]\n"
    yield "comments", filled("#\n", size)
    yield "empty lines", filled("\n", size)
    yield "wide characters", "title = \"" + "\u202e\U0001f600" * (size // 7) + "\"\n"


def of_job(size):
    job = JOB.read_text()
    yield "a good job and comments", job + filled("# x\n", size - len(job))
    yield "a long title", job.replace("title = \"", "title = \"" + "x" * (size - len(job)))
    yield "a long length", job.replace("total = \"", "total = \"" + "1 " * ((size - len(job)) // 2))
    yield "waivers", job + filled(lambda i: f"[[waive]]\nrule=\"r{i}\"\nreason=\"x\"\n", size - len(job))
    yield "readings across", job + filled(lambda i: f"[[across]]\noffset=\"{i} in\"\ntotal=\"51 in\"\n", size - len(job))
    yield "clamps", job + "\n[more]\nclamps = [" + filled("{x=\"1 in\"},", size - len(job)) + "]\n"
    yield "heights", job + "\n[built]\nheights = [" + filled("\"7 in\",", size - len(job)) + "]\n"
    yield "rooms", job + "\n[built]\nheights=[\"7 in\"]\nroom = [" + filled("{tread=1},", size - len(job)) + "]\n"
    boards = "{width=\"11 1/4 in\",crown=\"0 in\"},"
    yield "boards", job + "\n[boards]\nmeasured = [" + filled(boards, size - len(job)) + "]\n"
    yield "lengths", job + "\n[boards]\nlengths = [" + filled("\"8 ft\",", size - len(job)) + "]\n"


def of_order(size):
    yield "one job", filled("[[job]]\nfile=\"good.toml\"\n", size)
    yield "jobs that are missing", filled(lambda i: f"[[job]]\nfile=\"{i}\"\n", size)
    yield "a great count", "[[job]]\nfile=\"good.toml\"\ncount=9223372036854775807\n"
    yield "itself", filled("[[job]]\nfile=\"big.toml\"\n", size)
    yield "a long name", "[[job]]\nfile=\"" + "x/" * (size // 2) + "\"\n"


def of_built(size):
    yield "heights", "[built]\nheights = [" + "\"7 in\"," * (size // 7) + "]\n"
    yield "rooms", "[built]\nheights = [\"7 in\"]\nroom = [" + "{tread=1}," * (size // 10) + "]\n"


def of_profile(size):
    rules = (ROOT / "profiles/rules/us-osha.toml").read_text()
    yield "limits", rules + filled("[[limit]]\nmeasure=\"riser\"\nat_most=\"1 in\"\n", size - len(rules))
    yield "good, and comments", rules + filled("# x\n", size - len(rules))


def tried(program, arguments, home, slower):
    """Runs the command: whether it is well, and a line about it."""
    with open(home / "said", "w+b") as said:
        run = subprocess.Popen([program, *arguments], stdout=said, stderr=said, stdin=subprocess.DEVNULL, cwd=home)
        _, status, used = os.wait4(run.pid, 0)
        run.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        words = said.read(400).decode(errors="replace").strip()
        said.seek(0, os.SEEK_END)
        length = said.tell()
    seconds, megabytes = used.ru_utime + used.ru_stime, used.ru_maxrss / 1024
    code = run.returncode
    faults = [
        f"ended with {code}" if code not in (0, 3, 4, 5, 6, 7) else "",
        "over the time" if seconds > SECONDS * slower else "",
        "over the memory" if megabytes > MEGABYTES else "",
        "said nothing" if not words else "",
        f"said {length} bytes" if length > 100_000 else "",
    ]
    faults = ", ".join(filter(None, faults))
    first = words.splitlines()[0][:110] if words else ""
    return not faults, f"{seconds:5.2f} s {megabytes:4.0f} MB, exit {code}: {faults or first}"


def main(program, megabytes=10, slower=1):
    size, program = int(float(megabytes) * 1e6), os.path.abspath(program)
    # A text is read up to 1 MiB: one below is held against all that follows the size.
    below = min(size, (1 << 20) - 200)
    solve, make, with_profile = ["solve", "big.toml"], ["make", "big.toml", "-o", "out"], ["solve", "with.toml"]
    fit = ["fit", "good.toml", "big.toml"]
    groups = [
        ("order", "big.toml", make, of_order(below)),
        ("job", "big.toml", solve, of_job(below)),
        ("built", "big.toml", fit, of_built(below)),
        ("profile", "big.toml", with_profile, of_profile(below)),
    ]
    # Beyond the readers' own limits of lines, moves and vertices, and below them.
    for of in (size, size // 4, size // 8):
        groups += [
            ("drawing", "big.dxf", ["verify", "good.toml", "big.dxf"], drawings(of)),
            ("program", "big.nc", ["verify", "good.toml", "big.nc"], programs(of)),
        ]
    for of in (below, size):
        groups += [
            ("job", "big.toml", solve, texts(of)),
            ("order", "big.toml", make, prefixed("[[job]]\nfile=\"good.toml\"\n", of)),
            ("built", "big.toml", fit, prefixed("[built]\nheights=[\"7 in\"]\n", of)),
            ("profile", "big.toml", with_profile, texts(of)),
        ]
    bad = count = 0
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        good = JOB.read_text()
        (home / "good.toml").write_text(good)
        rules = next(row for row in good.splitlines() if row.startswith("rules"))
        (home / "with.toml").write_text(good.replace(rules, "rules = \"big.toml\""))
        for reader, name, arguments, cases in groups:
            for what, content in cases:
                (home / name).write_bytes(content if isinstance(content, bytes) else content.encode())
                well, told = tried(program, arguments, home, float(slower))
                bad, count = bad + (not well), count + 1
                print(f"{'ok  ' if well else 'FAIL'} {reader}, {what}, {len(content)}: {told}", flush=True)
    print(f"{count - bad} passed, {bad} failed")
    return 1 if bad else 0


def prefixed(head, size):
    """The texts, each behind a beginning by which it is told what kind of file it is."""
    for what, content in texts(size - len(head)):
        yield what, (head.encode() + content) if isinstance(content, bytes) else head + content


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
