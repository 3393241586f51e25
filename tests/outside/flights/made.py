"""The same random stairs, made: every program is proven or the stair refused, whatever is cut and however. See README.md.

usage: made.py SEATCUT [COUNT [SEED]]
"""

import collections
import random
import re
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from check import Stair

# A rule set without limits, and stock and travel for any stair: what is refused is refused by its shape.
RULES = 'kind = "rules"\nabout = "invented"\naim = "7 in"\n'
SIZES = {
    "hardboard-6": [("length", '"220 in"'), ("width", '"100 in"')],
    "board-2x12": [("length", '"220 in"'), ("width", '"15 in"')],
    "router-table-large": [("travel", '{ x = "240 in", y = "110 in", z = "8 in" }')],
    "laser": [("travel", '{ x = "240 in", y = "110 in", z = "8 in" }')],
}
BUSHING = 'follow = { with = "bushing", outside = "3/4 in", bit = "1/2 in" }'
# What is made, on which machine, out of what, and what else the job says.
WAYS = [
    ("pattern", "router-table-large", "hardboard-6", ""),
    ("pattern", "router-table-large", "hardboard-6", BUSHING),
    ("pattern", "router-table-large", "hardboard-6", "quantity = 2"),
    ("stringers", "router-table-large", "board-2x12", 'thickness = "1 1/2 in"'),
    ("pattern", "laser", "hardboard-6", ""),
]
CORNERS = ["fillet", "bisector", "riser", "tread"]


def profiles(program, folder):
    (folder / "rules.toml").write_text(RULES)
    for name, sizes in SIZES.items():
        text = subprocess.run([program, "profiles", name], capture_output=True, text=True, check=True).stdout
        for key, value in sizes:
            text = re.sub(rf"(?m)^{key} = .*$", f"{key} = {value}", text, count=1)
        (folder / f"{name}.toml").write_text(text)


def made(program, folder, seed):
    draw, stair = random.Random(seed), Stair(seed)
    makes, machine, material, more = draw.choice(WAYS)
    text = re.sub(r'rules = ".*?"', 'rules = "rules.toml"', stair.toml().split("[cut]")[0], count=1)
    text += f'[cut]\nmakes = "{makes}"\nmachine = "{machine}.toml"\nmaterial = "{material}.toml"\n'
    text += f'corners = "{draw.choice(CORNERS)}"\n{more}\n'
    job = folder / f"{seed}.toml"
    job.write_text(text)
    run = subprocess.run([program, "make", job, "-o", folder / str(seed)], capture_output=True, text=True)
    return text, run


def main():
    program, count, seed = sys.argv[1], int((sys.argv + [0, 0])[2] or 20), int((sys.argv + [0, 0, 0])[3] or 1)
    ends, why, failed = collections.Counter(), collections.Counter(), 0
    with tempfile.TemporaryDirectory() as name, ThreadPoolExecutor(2) as pool:
        folder = Path(name)
        profiles(program, folder)
        seeds = range(seed * 100_000, seed * 100_000 + count)
        for text, run in pool.map(lambda i: made(program, folder, i), seeds):
            ends[run.returncode] += 1
            if run.returncode == 4:
                why.update(re.findall(r"REFUSED .*?\(([a-z0-9-]+);", run.stdout, re.DOTALL))
            elif run.returncode != 0:
                failed += 1
                print(f"FAIL exit {run.returncode}: {run.stderr.strip()}\n{text}")
    word = "FAIL" if failed else "ok  "
    print(f"{word} flights made: {ends[0]} proven, {ends[4]} refused ({', '.join(code for code, _ in why.most_common())})")
    print(f"{int(not failed)} passed, {int(failed > 0)} failed")


if __name__ == "__main__":
    main()
