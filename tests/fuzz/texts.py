"""Texts of random, invented jobs, sensible and silly, for `random_jobs.py`."""

MACHINES = ["router-table", "router-table-small", "router-table-large", "router-metric", "laser", "laser-lines"]
THICK = {"hardboard-3": 3.2, "hardboard-6": 6.35, "plywood-12": 12, "plywood-18": 18}
MATERIALS = ["hardboard-3", "hardboard-6", "plywood-12", "plywood-18", "board-2x12", "board-2x10", "board-2x12-treated"]
FOLLOWS = ["", 'follow = { with = "pencil", lead = "0.8 mm" }\n', 'follow = { with = "bushing", outside = "19 mm", bit = "12 mm" }\n']


def mm(length):
    return f'"{length:.3f} mm"'


def word(flag):
    return "true" if flag else "false"


def stair(pick, rules, title, risers, rise_given=True):
    """Everything of a job above its cut: measurements sensible or not."""
    flush = pick.random() < 0.3
    risers = max(risers, 1 if flush else 2)
    sane = pick.random() < 0.7
    rise = pick.uniform(150, 200) if sane else pick.uniform(60, 230)
    total = f"total = {mm(rise * risers)}\n" if rise_given else ""
    text = f"""title = "{title}"
rules = "{rules}"
[rise]
{total}risers = {risers}
finish_to_come = {mm(pick.choice([0, 0, pick.uniform(0, 20)]))}
[tread]
cut = {mm(pick.uniform(230, 290) if sane else pick.uniform(80, 350))}
overhang = {mm(pick.uniform(0, 25) if sane else pick.uniform(0, 40))}
thickness = {mm(pick.uniform(18, 40) if sane else pick.uniform(5, 45))}
riser_board = {mm(pick.choice([0, 18]))}
[head]
meets = "{'flush' if flush else 'one-down'}"
finish = {mm(pick.uniform(0, 40))}
spacer = {mm(pick.choice([0, 0, 20]))}
rim_depth = "600 mm"
"""
    if pick.random() < 0.2:
        text += joint(pick)
    if pick.random() < 0.4:
        width, height = mm(pick.uniform(8, 120)), mm(pick.uniform(8, 60))
        back = mm(pick.choice([0, 0, pick.uniform(10, 80)]))
        text += f'[foot.tie_plate]\nwidth = {width}\nheight = {height}\nset_back = {back}\nclearance = "1 mm"\n'
    board = mm(pick.choice([285.75, 285.75, 234.95, pick.uniform(150, 400)]))
    text += f'[board]\nwidth = {board}\nthickness = "38 mm"\ntip_inset = {mm(pick.choice([0, 3]))}\n'
    return text, rise * risers, risers


def joint(pick):
    size = lambda: mm(pick.choice([pick.uniform(20, 120), pick.uniform(0.5, 700)]))
    form = pick.choice([
        'with = "against-rim"',
        f'with = "hanger-board", thickness = {size()}, depth = {size()}',
        f'with = "ledger-notch", width = {size()}, height = {size()}',
        f'with = "dropped-header", below = {size()}, depth = {size()}',
        f'with = "top-over", below = {size()}, bearing = {size()}',
        f'with = "top-over", width = {size()}',
    ])
    return f"joint = {{ {form} }}\n"


def clamps(pick):
    return f"clamps = [{', '.join(clamp(pick) for _ in range(pick.randint(1, 4)))}]\n" if pick.random() < 0.3 else ""


def cut(pick, shared=None):
    """The cut: quantity, spacing, clamps, layers, what is longer than its machine. `shared` fixes machine, material, clamps."""
    makes = pick.choice(["pattern", "stringers"])
    machine, material, held = shared or (pick.choice(MACHINES), pick.choice(MATERIALS), clamps(pick))
    corners = pick.choice(["fillet", "bisector", "riser", "tread"])
    text = f'[cut]\nmakes = "{makes}"\nmachine = "{machine}"\nmaterial = "{material}"\ncorners = "{corners}"\n'
    quantity = pick.choice([1, 2, 3, 3, pick.randint(1, 12), pick.randint(1, 30)])
    counted = pick.random() < 0.8
    if counted:
        text += f"quantity = {quantity}\n"
    if pick.random() < 0.5:
        text += f"spacing = {mm(pick.choice([pick.uniform(6, 30), pick.uniform(0.1, 8), pick.uniform(30, 200)]))}\n"
    text += held
    if makes == "stringers" and material in THICK and pick.random() < 0.9 or pick.random() < 0.1:
        # What lies on the machine was measured: near its profile, or not.
        text += f"thickness = {mm(THICK.get(material, 18) * pick.choice([1, 1, 1.03, 0.97, pick.uniform(0.5, 2)]))}\n"
    if makes == "stringers" and "board" not in material.split("-")[0] and pick.random() < 0.35:
        text += f"layers = {pick.choice([2, 2, 3, 4])}\ndowel = {mm(pick.choice([9.525, pick.uniform(2, 30)]))}\n"
    if makes == "stringers" and (counted and quantity > 1 or pick.random() < 0.05) and pick.random() < 0.3:
        text += f"doubled_outsides = {word(pick.random() < 0.8)}\n"
    if pick.random() < 0.4:
        text += f'long = "{pick.choice(["index", "split"])}"\n'
    return text + (pick.choice(FOLLOWS) if makes == "pattern" else "")


def clamp(pick):
    at_edge = pick.random() < 0.6
    x = pick.choice([0, 2380]) if at_edge else pick.uniform(0, 2500)
    size = (pick.uniform(20, 120), pick.uniform(20, 120)) if pick.random() < 0.9 else (pick.uniform(1, 2600), pick.uniform(1, 1300))
    height = pick.choice(['', '', f", height = {mm(pick.choice([4, 25, pick.uniform(0.1, 200)]))}"])
    return f"{{ x = {mm(x)}, y = {mm(pick.uniform(0, 1250))}, length = {mm(size[0])}, width = {mm(size[1])}{height} }}"


def boards(pick):
    lengths = ", ".join(mm(pick.choice([2438.4, 3048, 3657.6, 4876.8, pick.uniform(200, 7000)])) for _ in range(pick.randint(1, 7)))
    measured = ", ".join(
        f"{{ width = {mm(pick.choice([285.75, 284, pick.uniform(200, 300)]))}, crown = {mm(pick.choice([0, 3, pick.uniform(0, 40)]))} }}"
        for _ in range(pick.randint(0, 12))
    )
    return (
        f"[boards]\nlengths = [{lengths}]\nkerf = {mm(pick.choice([0, 3.2, pick.uniform(0, 20)]))}\n"
        f"end_trim = {mm(pick.choice([0, 6.35, pick.uniform(0, 300)]))}\nmeasured = [{measured}]\n"
        f'narrow = "{pick.choice(["refuse", "re-solve"])}"\n'
    )


def surroundings(pick, total, falling):
    """Tables about the site, loads and moisture: each may be there or not, and make sense or not."""
    text = ""
    if falling:
        slope = pick.choice(["1 in 12", "8 %", "5 deg", "up 1 in 20", "0 %", "1 in 1.1", f"{pick.uniform(0, 80):.2f} %"])
        by = pick.choice([f'slope = "{slope}"', f"drop = {mm(pick.uniform(0, 400))}\nover = {mm(pick.uniform(100, 3000))}"])
        text += f"[ground]\nat_head = {mm(total)}\n{by}\n"
        text += pick.choice(["", f"edge_out = {mm(pick.uniform(0, 60))}\n"]) + pick.choice(["", 'seat = "follow"\n', 'seat = "level"\n'])
    wide = pick.random() < 0.85
    width = pick.choice([914.4, pick.uniform(300, 2500), pick.uniform(20, 9000)])
    if wide:
        text += f"[stair]\nwidth = {mm(width)}\n"
        if pick.random() < 0.9:
            text += f"most_spacing = {mm(pick.choice([406.4, pick.uniform(200, 700), pick.uniform(10, 3000)]))}\n"
        text += pick.choice(["", 'outsides = "doubled"\n', 'outsides = "single"\n'])
    if not falling and pick.random() < (0.4 if wide else 0.05):
        places, slope = pick.choice([2, 2, 3, 3, pick.randint(1, 4)]), pick.choice([0, pick.uniform(0, 0.03), pick.uniform(0, 0.2)])
        for number in range(places):
            offset = width * number / max(places - 1, 1)
            less = max(0, slope * offset + pick.choice([0, pick.uniform(-4, 4) if number else 0, pick.uniform(-60, 60)]))
            text += f"[[across]]\noffset = {mm(offset)}\ntotal = {mm(total - less)}\n"
    if pick.random() < (0.5 if wide else 0.05):
        text += "[load]\n"
        text += pick.choice(["", f'live = "{pick.choice([40, 40, 100, 0, 999])} psf"\n', 'live = "40 psf"\n', f'live = "{pick.uniform(0, 20):.2f} kPa"\n'])
        text += pick.choice(["", f'dead = "{pick.choice([10, 0, 500])} psf"\n']) + pick.choice(["", "mid_support = true\n"])
        text += pick.choice(["", f"clear_span = {mm(pick.choice([1800, pick.uniform(1, 15000)]))}\n"])
    if pick.random() < 0.5:
        percent = lambda: pick.choice([15, 10, 19.5, 0, 28, 60, pick.uniform(0, 100)])
        text += f"[moisture]\nnow = {percent():.2f}\nservice = {percent():.2f}\n" + pick.choice(["", 'sawn = "quarter"\n'])
    return text


def built(pick, total, risers):
    """A flight as built: near the job's or anything."""
    count = pick.choice([risers - 1] * 8 + [pick.randint(0, 25)])
    step = total / max(risers, 1)
    spread = pick.choice([2, 10, 10, 40, 150])
    heights = ", ".join(mm(step * (i + 1) + pick.uniform(-spread, spread)) for i in range(count))
    text = f"[built]\nheights = [{heights}]\n"
    text += pick.choice(["", f"upper = {mm(total + pick.uniform(-30, 30))}\n"])
    text += pick.choice(["", f"shim_most = {mm(pick.uniform(0, 30))}\n"]) + pick.choice(["", f"trim_most = {mm(pick.uniform(0, 30))}\n"])
    text += pick.choice(["", f"neighbours_most = {mm(pick.uniform(0.1, 10))}\n"])
    text += pick.choice(["", f"finish_to_come = {mm(pick.uniform(0, 30))}\nupper_finish_to_come = {mm(pick.uniform(0, 30))}\n"])
    text += pick.choice(["", f"room = [{{ tread = {pick.randint(1, max(count, 1))}, shim = {mm(pick.uniform(0, 9))}, trim = \"0 mm\" }}]\n"])
    if pick.random() < 0.3:
        along, across = pick.uniform(100, 3000), pick.uniform(20, 400)
        off = lambda length: mm(length * pick.choice([1, pick.uniform(0.99, 1.01), pick.uniform(0.99, 1.01), pick.uniform(0.3, 3)]))
        text += f"[built.pattern]\nalong = {{ marked = {mm(along)}, measured = {off(along)} }}\n"
        text += f"across = {{ marked = {mm(across)}, measured = {off(across)} }}\n"
    return text
