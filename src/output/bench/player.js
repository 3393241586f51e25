"use strict";
// Plays the programs over the still picture. All data comes from the element `playback`; nothing is fetched or evaluated.
(function () {
  const SVG = "http://www.w3.org/2000/svg";
  const get = (id) => document.getElementById(id);
  const holder = get("playback");
  const all = JSON.parse(holder.textContent);
  if (all.programs.length === 0 || !get("stage")) return;
  const [KIND, X, Y, Z, FEED, SECONDS, PASS, FIRST, LAST, CX, CY, TURN] = Array.from({ length: 12 }, (_, i) => i);
  const [STILL, RAPID, ENTRY, SCORE] = [0, 1, 2, 4];
  const stage = get("stage");
  const slider = get("slider");
  const calm = window.matchMedia("(prefers-reduced-motion: reduce)");
  const [under, over] = [stage.querySelectorAll(".under"), stage.querySelectorAll(".over")];

  // The program that is shown, and when each of its steps begins: the planned time, so that the end is the time that is printed.
  let data = all.programs[all.first];
  let scene = under[all.first].dataset;
  let steps = [];
  let count = 0;
  let starts = [0];
  let scale = 1;
  let strokes = [];

  // Where the player is: so many steps done, and this share of the next.
  let done = 0;
  let share = 0;
  let timer = null;
  let before = 0;

  // Where the tool stands after so many steps.
  function after(n) {
    return n === 0 ? data.home : [steps[n - 1][X], steps[n - 1][Y], steps[n - 1][Z]];
  }

  // The angle that an arc turns through, with its sign.
  function sweep(from, step) {
    const start = Math.atan2(from[1] - step[CY], from[0] - step[CX]);
    const end = Math.atan2(step[Y] - step[CY], step[X] - step[CX]);
    let angle = (end - start) * step[TURN];
    while (angle <= 0) angle += 2 * Math.PI;
    return angle * step[TURN];
  }

  // Where the tool is with a share of step n done.
  function within(n, part) {
    const from = after(n);
    if (part <= 0 || n >= count) return from;
    const step = steps[n];
    const z = from[2] + (step[Z] - from[2]) * part;
    if (step.length <= CX) {
      return [from[0] + (step[X] - from[0]) * part, from[1] + (step[Y] - from[1]) * part, z];
    }
    const turn = sweep(from, step) * part;
    const [dx, dy] = [from[0] - step[CX], from[1] - step[CY]];
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
    return [step[CX] + dx * cos - dy * sin, step[CY] + dx * sin + dy * cos, z];
  }

  // Path data of step n up to a share of it.
  function way(n, part) {
    const from = after(n);
    const to = within(n, part);
    const move = "M" + from[0] + " " + from[1];
    const step = steps[n];
    if (step.length <= CX) return move + "L" + to[0] + " " + to[1];
    const turn = sweep(from, step) * part;
    const radius = Math.hypot(from[0] - step[CX], from[1] - step[CY]);
    const flags = (Math.abs(turn) > Math.PI ? " 1 " : " 0 ") + (turn > 0 ? "1 " : "0 ");
    return move + "A" + radius + " " + radius + " 0" + flags + to[0] + " " + to[1];
  }

  // Whether step n takes material away.
  function cuts(n) {
    if (n >= count || steps[n][KIND] < ENTRY) return false;
    return data.beam || Math.min(steps[n][Z], after(n)[2]) < 0;
  }

  // Whether step n goes across without taking anything away.
  function crosses(n) {
    const from = after(n);
    return steps[n][KIND] !== STILL && !cuts(n) && Math.hypot(steps[n][X] - from[0], steps[n][Y] - from[1]) > 1e-6;
  }

  function shade(depth) {
    if (depth >= data.thickness - 1e-6) return "through";
    return "d" + Math.min(4, Math.max(1, Math.ceil((depth / data.thickness) * 4)));
  }

  function drawing(n, name) {
    const path = document.createElementNS(SVG, "path");
    path.setAttribute("visibility", "hidden");
    path.setAttribute("d", way(n, 1));
    path.setAttribute("class", name);
    return path;
  }

  // One stroke for every step that cuts, as wide as the tool (by its style), the deeper ones over the shallower; a thin dashed one for
  // every way across over the stock.
  function drawSteps() {
    const depths = steps.map((step, n) => (data.beam ? (step[KIND] === SCORE ? 0 : data.thickness) : -(after(n)[2] + step[Z]) / 2));
    const thin = (n) => (data.marks || steps[n][KIND] === SCORE ? "mark" : shade(depths[n]));
    strokes = steps.map((step, n) => (cuts(n) ? drawing(n, thin(n)) : crosses(n) ? drawing(n, "trail") : null));
    get("cuts").replaceChildren();
    get("trail").replaceChildren();
    steps.map((step, n) => n).sort((a, b) => depths[a] - depths[b] || a - b)
      .forEach((n) => { if (strokes[n]) get(cuts(n) ? "cuts" : "trail").appendChild(strokes[n]); });
    get("way").setAttribute("d", steps.map((step, n) => (cuts(n) ? way(n, 1) : "")).join(""));
  }

  let shown = 0;
  let partial = -1;

  function showCuts() {
    if (partial >= 0) {
      strokes[partial].setAttribute("d", way(partial, 1));
      strokes[partial].setAttribute("visibility", "hidden");
      partial = -1;
    }
    const set = (n, visibility) => { if (strokes[n]) strokes[n].setAttribute("visibility", visibility); };
    for (let n = shown; n < done; n += 1) set(n, "visible");
    for (let n = shown; n > done; n -= 1) set(n - 1, "hidden");
    shown = done;
    if (share <= 0 || done >= count || !strokes[done]) return;
    partial = done;
    strokes[partial].setAttribute("d", way(partial, share));
    strokes[partial].setAttribute("visibility", "visible");
  }

  // How deep the tool is over the time, drawn once: from a little above the stock to a little below it.
  let deepest = 0;
  const level = (z) => 100 * (data.thickness * 0.35 - z) / (data.thickness * 1.35 + deepest + data.thickness * 0.15);

  function drawDepth() {
    deepest = Math.max(0, ...steps.map((step) => -step[Z] - data.thickness));
    const top = data.thickness * 0.3;
    const line = [[0, data.home[2]]].concat(steps.map((step, n) => [starts[n + 1], step[Z]]));
    const whole = starts[count] || 1;
    const put = ([time, z]) => (1000 * time / whole).toFixed(2) + " " + level(Math.min(z, top)).toFixed(2);
    get("depth-way").setAttribute("d", "M" + line.map(put).join("L"));
    const stock = get("depth").querySelector(".stock");
    stock.setAttribute("y", String(level(0)));
    stock.setAttribute("height", String(level(-data.thickness) - level(0)));
    get("at-top").style.top = level(0) + "%";
    get("at-bottom").style.top = level(-data.thickness) + "%";
  }

  const cutter = get("cutter");
  const ring = cutter.querySelector("circle");
  const crosshairs = cutter.querySelectorAll("path");

  function showCutter(at) {
    const unit = look(at);
    const gap = Math.max(1.1 * data.radius, 3 * unit);
    const arm = gap + 13 * unit;
    cutter.setAttribute("transform", "translate(" + at[0] + " " + at[1] + ")");
    const arms = [[1, 0], [-1, 0], [0, 1], [0, -1]]
      .map(([x, y]) => "M" + x * gap + " " + y * gap + "L" + x * arm + " " + y * arm).join("");
    crosshairs.forEach((cross) => cross.setAttribute("d", arms));
    const working = share > 0 ? cuts(done) : done > 0 && cuts(done - 1);
    cutter.setAttribute("class", working ? "busy" : "idle");
    cutter.dataset.x = String(at[0]);
    cutter.dataset.y = String(at[1]);
    cutter.dataset.z = String(at[2]);
    cutter.dataset.done = String(done);
  }

  // Chooses what part of the stock is seen; gives the size of a screen unit in mm.
  function look(at) {
    const choice = get("view").value;
    const height = Number(scene.height);
    let box = scene.stock.split(" ").map(Number);
    if (choice === "piece") box = scene.piece.split(" ").map(Number);
    if (choice === "close") {
      const width = Math.max(25, 40 * data.radius);
      box = [at[0] - width / 2, height - at[1] - width / 4, width, width / 2];
    }
    const unit = Math.max(box[2], box[3]) / 1000;
    stage.setAttribute("viewBox", box.join(" "));
    stage.style.setProperty("--u", String(unit));
    stage.style.setProperty("--ratio", String(Math.min(4, Math.max(1.5, box[2] / box[3]))));
    return unit;
  }

  const inUnits = (mm) => {
    const text = (mm / data.unit_mm).toFixed(data.decimals);
    return Number(text) === 0 ? text.replace("-", "") : text;
  };
  const clock = (s) => (s >= 3600 ? Math.floor(s / 3600) + " h " : "") + (s >= 60 ? Math.floor(s / 60) % 60 + " min " : "") + (s % 60 | 0) + " s";
  const now = () => starts[done] + share * (done < count ? steps[done][SECONDS] * scale : 0);

  function doing(step) {
    if (!step) return "not begun";
    if (step[KIND] === STILL) return "standing";
    if (step[KIND] === RAPID) return "rapid";
    if (step[KIND] === ENTRY) return data.beam ? "piercing" : "letting down";
    if (step[KIND] === SCORE) return "scoring a mark";
    return "cutting";
  }

  function lineText(step) {
    if (!step || step[LAST] === 0) return step ? "no line of its own" : "";
    const several = step[LAST] > step[FIRST] ? step[FIRST] + " to " + step[LAST] : String(step[FIRST]);
    return several + ":  " + data.lines.slice(step[FIRST] - 1, step[LAST]).join("\n");
  }

  function show() {
    const at = within(done, share);
    const step = share > 0 ? steps[done] : steps[done - 1];
    showCuts();
    showCutter(at);
    const say = (id, text) => { get(id).textContent = text; };
    say("r-step", done + " of " + count);
    say("r-pass", step && step[PASS] > 0 ? step[PASS] + " of " + data.passes : "none yet");
    say("r-x", inUnits(at[0]) + " " + data.unit);
    say("r-y", inUnits(at[1]) + " " + data.unit);
    say("r-z", inUnits(at[2] + data.z_shift) + " " + data.unit);
    say("r-feed", step && step[FEED] > 0 ? (step[FEED] / data.unit_mm).toFixed(1) + " " + data.unit + "/min" : "none");
    say("r-doing", doing(step));
    say("r-time", clock(now()));
    say("r-line", lineText(step));
    slider.value = String(now());
    slider.setAttribute("aria-valuetext", clock(now()) + " of " + clock(Math.round(data.time)) + ", " + doing(step));
    const x = 1000 * now() / (starts[count] || 1);
    get("depth-now").setAttribute("d", "M" + x + " 0V100");
    get("play").textContent = timer === null ? "Play" : "Stop";
  }

  // Said aloud only when the player stands: while it plays it would never end.
  function announce() {
    get("said").textContent = "Step " + get("r-step").textContent + ", pass " + get("r-pass").textContent + ", " +
      get("r-doing").textContent + ", X " + get("r-x").textContent + ", Y " + get("r-y").textContent + ", Z " + get("r-z").textContent;
  }

  function stop() {
    if (timer !== null) window.cancelAnimationFrame(timer);
    timer = null;
  }

  function goTo(n) {
    stop();
    done = Math.min(count, Math.max(0, Math.round(n)));
    share = 0;
    show();
    announce();
  }

  // To a time: the steps that are over by then, and a share of the next.
  function goToTime(time) {
    stop();
    done = 0;
    while (done < count && starts[done + 1] <= time) done += 1;
    const whole = done < count ? steps[done][SECONDS] * scale : 0;
    share = whole > 0 ? Math.min(0.9999, Math.max(0, time - starts[done]) / whole) : 0;
    show();
    announce();
  }

  // One frame. With reduced motion the tool goes from step to step, at most twice a second.
  function frame(time) {
    const passed = Math.max(0, time - before) / 1000;
    if (calm.matches && passed < 0.5) {
      timer = window.requestAnimationFrame(frame);
      return;
    }
    before = time;
    if (calm.matches) done = Math.min(count, done + 1);
    else advance(passed * Number(get("speed").value));
    if (done >= count) return goTo(count);
    timer = window.requestAnimationFrame(frame);
    show();
  }

  function advance(seconds) {
    let left = seconds;
    while (done < count) {
      const whole = steps[done][SECONDS] * scale;
      const rest = whole * (1 - share);
      if (left < rest) {
        share += left / whole;
        return;
      }
      left -= rest;
      done += 1;
      share = 0;
    }
  }

  function toggle() {
    if (timer !== null) {
      stop();
      show();
      announce();
      return;
    }
    if (done >= count) goTo(0);
    before = window.performance.now();
    timer = window.requestAnimationFrame(frame);
    show();
  }

  const actions = {
    " ": toggle,
    ArrowRight: () => goTo(done + 1),
    ArrowLeft: () => goTo(share > 0 ? done : done - 1),
    Home: () => goTo(0),
    End: () => goTo(count),
  };
  get("deck").addEventListener("keydown", (event) => {
    const name = event.target.tagName;
    const own = name === "SELECT" || (name === "BUTTON" && event.key === " ");
    const action = actions[event.key];
    if (own || !action || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    action();
  });
  get("play").addEventListener("click", toggle);
  get("to-start").addEventListener("click", actions.Home);
  get("back").addEventListener("click", actions.ArrowLeft);
  get("on").addEventListener("click", actions.ArrowRight);
  get("to-end").addEventListener("click", actions.End);
  slider.addEventListener("input", () => goToTime(Number(slider.value)));
  get("depth").addEventListener("click", (event) => {
    const box = get("depth").getBoundingClientRect();
    goToTime(starts[count] * (event.clientX - box.left) / box.width);
  });
  get("view").addEventListener("change", show);

  // Shows another program from its start.
  function choose(n) {
    stop();
    data = all.programs[n];
    scene = under[n].dataset;
    steps = data.steps;
    count = steps.length;
    [done, share, shown, partial] = [0, 0, 0, -1];
    const sum = steps.reduce((total, step) => total + step[SECONDS], 0);
    scale = sum > 0 ? data.time / sum : 1;
    starts = [0];
    steps.forEach((step) => starts.push(starts[starts.length - 1] + step[SECONDS] * scale));
    under.forEach((one, i) => one.setAttribute("display", i === n ? "inline" : "none"));
    over.forEach((one, i) => one.setAttribute("display", i === n ? "inline" : "none"));
    const up = "matrix(1 0 0 -1 0 " + scene.height + ")";
    get("ground").setAttribute("transform", up);
    get("tool").setAttribute("transform", up);
    ring.setAttribute("r", String(data.radius));
    stage.style.setProperty("--tool", 2 * data.radius + "px");
    cutter.setAttribute("visibility", "visible");
    get("before").setAttribute("d", data.after.map((before) => marksOf(all.programs[before])).join(""));
    get("r-file").textContent = data.file;
    get("r-total").textContent = clock(Math.round(data.time));
    drawSteps();
    drawDepth();
    slider.max = String(starts[count]);
    show();
  }

  // What an earlier program marked or cut, straight from place to place: its arcs are far shorter than can be seen.
  function marksOf(program) {
    let at = program.home;
    return program.steps.map((step) => {
      const from = at;
      at = [step[X], step[Y], step[Z]];
      const marked = step[KIND] >= ENTRY && Math.min(from[2], at[2]) < 0;
      return marked ? "M" + from[0] + " " + from[1] + "L" + at[0] + " " + at[1] : "";
    }).join("");
  }

  get("program").addEventListener("change", () => choose(Number(get("program").value)));
  document.querySelectorAll(".controls").forEach((part) => { part.hidden = false; });
  choose(Number(get("program").value));
})();
