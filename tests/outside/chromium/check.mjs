// Holds every bench.html below a folder against the cutting program beside it, in a real browser.
// Usage: node check.mjs FOLDER-OF-SETS FOLDER-FOR-SCREENSHOTS
import assert from "node:assert/strict";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const axe = fs.readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const [sets, shots] = process.argv.slice(2);
const LAUNCH = {
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  headless: true,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync"],
  viewport: { width: 1280, height: 1000 },
};

// A reader of its own: where the tool stands after every line, in mm, and the way it came.
function read(program) {
  const at = { X: 0, Y: 0, Z: null };
  let unit = 1;
  let word = null;
  return program.split("\n").map((line) => {
    const code = line.replace(/\([^)]*\)/g, "").replace(/;.*/, "");
    const words = [...code.matchAll(/([A-Z])(-?[0-9.]+)/g)].map(([, letter, number]) => [letter, Number(number)]);
    const from = { ...at };
    const centre = { I: 0, J: 0 };
    let moves = false;
    for (const [letter, number] of words) {
      if (letter === "G" && number === 20) unit = 25.4;
      if (letter === "G" && number <= 3) word = number;
      if (letter in at) [at[letter], moves] = [number * unit, true];
      if (letter in centre) centre[letter] = number * unit;
    }
    return { from, to: { ...at }, centre, word, moves };
  });
}

// How far a point is from the way of a line of the program, in the plane.
function off(line, x, y) {
  if (line.word >= 2) {
    const [cx, cy] = [line.from.X + line.centre.I, line.from.Y + line.centre.J];
    return Math.abs(Math.hypot(x - cx, y - cy) - Math.hypot(line.centre.I, line.centre.J));
  }
  const [dx, dy] = [line.to.X - line.from.X, line.to.Y - line.from.Y];
  const length = Math.hypot(dx, dy);
  const share = length === 0 ? 0 : Math.min(1, Math.max(0, ((x - line.from.X) * dx + (y - line.from.Y) * dy) / length ** 2));
  return Math.hypot(x - line.from.X - share * dx, y - line.from.Y - share * dy);
}

// What share of the way of an arc lies behind a point on its circle, going the way the line says; of a line, of its length.
function share(line, x, y) {
  if (line.word < 2) {
    const whole = Math.hypot(line.to.X - line.from.X, line.to.Y - line.from.Y);
    return Math.hypot(x - line.from.X, y - line.from.Y) / whole;
  }
  const [cx, cy] = [line.from.X + line.centre.I, line.from.Y + line.centre.J];
  const sign = line.word === 3 ? 1 : -1;
  const ahead = (px, py) => {
    const turn = (Math.atan2(py - cy, px - cx) - Math.atan2(line.from.Y - cy, line.from.X - cx)) * sign;
    return ((turn % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI);
  };
  return ahead(x, y) / ahead(line.to.X, line.to.Y);
}

// Plays from a step on at the machine's own speed and notes where the cutter is, frame by frame, while that step lasts.
const within = ([n, time]) => new Promise((resolve) => {
  const seen = [];
  const slider = document.getElementById("slider");
  slider.value = String(time);
  slider.dispatchEvent(new Event("input"));
  document.getElementById("play").click();
  const look = () => {
    const cutter = document.getElementById("cutter").dataset;
    if (Number(cutter.done) !== n || seen.length >= 6) {
      if (document.getElementById("play").textContent === "Stop") document.getElementById("play").click();
      resolve(seen);
      return;
    }
    seen.push([Number(cutter.x), Number(cutter.y), Number(cutter.z)]);
    window.requestAnimationFrame(look);
  };
  window.requestAnimationFrame(look);
});

const state = () => {
  const cutter = document.getElementById("cutter").dataset;
  return { done: Number(cutter.done), time: Number(document.getElementById("slider").value), x: Number(cutter.x), y: Number(cutter.y), z: Number(cutter.z),
    playing: document.getElementById("play").textContent === "Stop" };
};

// Goes through a program by the arrow key and notes where the tool stands after each step.
const walked = () => {
  const deck = document.getElementById("deck");
  const press = (key) => deck.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
  const cutter = document.getElementById("cutter").dataset;
  const seen = [];
  press("Home");
  for (let before = -1; Number(cutter.done) !== before; press("ArrowRight")) {
    before = Number(cutter.done);
    seen.push({ done: before, x: Number(cutter.x), y: Number(cutter.y), z: Number(cutter.z) });
  }
  press("Home");
  return seen;
};

// A time as it is printed: to the second.
const told = (s) => (Math.round(s) >= 3600 ? `${Math.floor(Math.round(s) / 3600)} h ` : "") + (Math.round(s) >= 60 ? `${Math.floor(Math.round(s) / 60) % 60} min ` : "") + `${Math.round(s) % 60} s`;

// So many of a list, spread evenly over it, the first and the last among them.
const spread = (list, most) => list.length <= most ? list
  : Array.from({ length: most }, (_, i) => list[Math.round(i * (list.length - 1) / (most - 1))]);
// Steps that are gone by real keys, and arcs and ramps that are watched while they play, of a page. LOOKS=all: every one.
const [KEYS, WATCHED] = process.env.LOOKS === "all" ? [Infinity, Infinity] : [120, 40];

// What the program rounds to, and a little: a last digit of 0.0001 in or 0.001 mm.
const CLOSE = 0.004;
// A slider keeps a time to so many seconds.
const HAIR = 1e-4;

// The boxes of the test-fit card: compared at once, kept over a reload, written down as a table.
async function measured(page) {
  const box = page.locator("#check-1");
  const said = () => page.locator("output[for=check-1]").textContent();
  const mm = Number(await box.getAttribute("data-mm"));
  const metric = (await page.locator("body").getAttribute("data-tape")) === "mm";
  const inches = (sixteenths) => `${Math.floor(sixteenths / 16)} ${sixteenths % 16}/16`;
  const near = Math.round(mm / 25.4 * 16);
  const typed = metric
    ? [[String(Math.round(mm)), "agrees"], [`${Math.round(mm) + 2} mm`, "more"], [inches(near - 4) + " in", "less"]]
    : [[inches(near), ""], [inches(near).replace(" ", "-") + " in", ""], [inches(near + 4) + "\"", "more"], [`${(mm - 6).toFixed(1)} mm`, "less"],
      [`${mm.toFixed(2)} mm`, "agrees"]];
  for (const [text, word] of typed.concat([["quarter past", "not read"], ["7,5", "not read"]])) {
    await box.fill(text);
    assert.ok((await said()).includes(word) && (word === "not read") === (await said()).includes("not read"), `${text}: ${await said()}`);
  }
  await box.fill(typed[0][0]);
  const heights = await page.locator("[data-built=tread]").count();
  for (let i = 0; i < heights; i += 1) await page.locator("[data-built=tread]").nth(i).fill(metric ? String(180 * (i + 1)) : `${7 * (i + 1)} 1/4`);
  await page.locator("[data-built=upper]").fill(metric ? "3000" : "99 1/2");
  await page.reload({ waitUntil: "load" });
  assert.equal(await box.inputValue(), typed[0][0], "what was typed is there after a reload");
  assert.notEqual(await said(), "", "and compared");
  await page.locator("#to-built").click();
  const text = await page.locator("#built-text").inputValue();
  assert.ok(text.startsWith("[built]\nheights = [" + (metric ? "\"180 mm\"" : "\"7 1/4 in\"")), text);
  assert.ok(text.includes(metric ? "upper = \"3000 mm\"" : "upper = \"99 1/2 in\""), text);
  assert.equal(text.match(/ (in|mm)"/g).length, heights + 1, text);
  await page.locator("#forget").click();
  assert.equal(await box.inputValue(), "", "the boxes are emptied");
}

// A browser that keeps nothing: the boxes work, and the console is silent.
async function withoutStorage(context, url) {
  const page = await context.newPage();
  const wrong = [];
  page.on("console", (message) => wrong.push(message.text()));
  page.on("pageerror", (error) => wrong.push(String(error)));
  await page.addInitScript(() => Object.defineProperty(window, "localStorage", { get() { throw new Error("none here"); } }));
  await page.goto(url, { waitUntil: "load" });
  await page.locator("#check-1").fill("1 in");
  assert.notEqual(await page.locator("output[for=check-1]").textContent(), "");
  assert.deepEqual(wrong, [], "nothing is said of it");
  await page.close();
}

async function checkSet(context, name) {
  const dir = path.join(sets, name);
  const html = fs.readFileSync(path.join(dir, "bench.html"), "utf8");
  const report = JSON.parse(fs.readFileSync(path.join(dir, "report.json"), "utf8"));
  assert.ok(html.length < 1_000_000, "the page is under 1 MB");
  assert.ok(!/(?:src|href)="(?!#|data:)/.test(html), "nothing is linked");
  const page = await context.newPage();
  const [wrong, requests] = [[], []];
  page.on("console", (message) => wrong.push(message.text()));
  page.on("pageerror", (error) => wrong.push(String(error)));
  page.on("request", (request) => requests.push(request.url()));
  const url = pathToFileURL(path.join(dir, "bench.html")).href;
  const began = performance.now();
  await page.goto(url, { waitUntil: "load" });
  const loaded = performance.now() - began;
  const shot = (what, options) => page.screenshot({ path: path.join(shots, `${name}-${what}.png`), ...options });

  assert.equal(await page.locator("h1").textContent(), report.job.title, "the title is text, whatever stands in it");
  assert.equal(await page.locator("h1 *").count(), 0, "the title made no element");
  // Twelve that every job has; a job that asks for its ground, a beam or moisture has their sections too.
  const sections = await page.locator("section").count();
  assert.ok(sections >= 12, "every job has twelve sections");
  assert.equal(sections, await page.locator("header nav li").count(), "every section is linked at the top");
  assert.equal((await page.evaluate(state)).playing, false, "nothing plays by itself");
  await shot("start", { fullPage: true });

  const all = JSON.parse(await page.locator("#playback").textContent());
  const files = fs.readdirSync(dir).filter((file) => file.endsWith(".nc")).sort();
  assert.deepEqual(all.programs.map((one) => one.file).sort(), files, "every program of the set is played");
  assert.ok(all.programs[0].file.startsWith("frame") || !files.some((file) => file.startsWith("frame")), "the frame first");
  // The first of its tables; the others have a box for every run.
  const order = await page.locator("#run-order table").first().locator("tbody tr").allTextContents();
  assert.equal(order.length, all.programs.length + 1, "the run order has every program and all of it");
  all.programs.forEach((one, i) => {
    assert.ok(order[i].startsWith(one.file) && order[i].includes(told(one.time)), `${order[i]}: ${told(one.time)}`);
    const program = fs.readFileSync(path.join(dir, one.file), "utf8");
    assert.equal(one.lines.join("\n") + "\n", program, "the page shows the lines of the program");
    // Every line that moves belongs to a step, in order.
    const covered = new Set(one.steps.flatMap((step) => step[8] === 0 ? [] : Array.from({ length: step[8] - step[7] + 1 }, (_, k) => step[7] + k)));
    read(program).forEach((line, k) => assert.ok(!line.moves || covered.has(k + 1), `line ${k + 1} belongs to a step`));
    // The steps are as long as the plan says, and so is the whole.
    const sum = one.steps.reduce((total, step) => total + step[5], 0);
    assert.ok(Math.abs(sum - one.time) < 0.01 + one.steps.length * 5e-5, `${one.file}: ${sum} s for ${one.time}`);
  });
  for (const [i, one] of all.programs.entries()) {
    await page.locator("#program").selectOption(String(i));
    assert.equal(await page.locator("#r-total").textContent(), told(one.time), "the total is the printed estimate");
    assert.ok(Math.abs(Number(await page.locator("#slider").getAttribute("max")) - one.time) < 0.01, "the slider counts seconds");
    const moves = read(one.lines.join("\n"));
    const seen = await page.evaluate(walked);
    assert.equal(seen.length, one.steps.length + 1, "each press is a step");
    for (const at of seen) {
      const line = Math.max(0, ...one.steps.slice(Math.max(0, at.done - 40), at.done).map((step) => step[8]));
      if (line === 0) continue;
      const want = moves[line - 1].to;
      assert.ok(Math.hypot(at.x - want.X, at.y - want.Y) < CLOSE, `${name} ${one.file} step ${at.done}: ${at.x},${at.y} for ${want.X},${want.Y}`);
      if (want.Z !== null) assert.ok(Math.abs(at.z + one.z_shift - want.Z) < CLOSE, `${name} ${one.file} step ${at.done}: z ${at.z}`);
    }
    await page.locator("#to-end").click();
    const visible = await page.locator("#cuts path:not([visibility=hidden])").count();
    assert.equal(visible, await page.locator("#cuts path").count(), "what is cut stays visible");
    assert.ok(one.file.startsWith("frame") ? visible === 0 : visible > 0, "a frame cuts nothing, all others do");
    assert.ok((await page.locator("#trail path:not([visibility=hidden])").count()) > 0, "rapids leave a trail");
    await shot(`end-${i}`);
  }
  await page.locator("#program").selectOption(String(all.first));
  const data = all.programs[all.first];
  const lines = read(data.lines.join("\n"));
  const radius = Number(await page.locator("#cutter circle").getAttribute("r"));
  assert.ok(Math.abs(2 * radius - report.programs.at(-1).cutter_mm) < 1e-9, "true diameter");
  const starts = [0];
  const whole = data.steps.reduce((total, step) => total + step[5], 0);
  const scale = data.time / whole;
  data.steps.forEach((step) => starts.push(starts[starts.length - 1] + step[5] * scale));
  const lasts = data.steps.map((step) => step[8]);

  // After step n the tool stands where the program's last line so far put it.
  const deck = page.locator("#deck");
  await deck.focus();
  const count = data.steps.length;
  // Where a hand stopped the slider the tool may be a little way into the next step.
  function stands(at, n, into = 0) {
    const line = Math.max(0, ...lasts.slice(0, n));
    if (line === 0) return;
    const want = lines[line - 1].to;
    assert.ok(Math.hypot(at.x - want.X, at.y - want.Y) < CLOSE + into, `${name} step ${n}: ${at.x},${at.y} for ${want.X},${want.Y}`);
    if (want.Z !== null) assert.ok(Math.abs(at.z + data.z_shift - want.Z) < CLOSE + into, `${name} step ${n}: z ${at.z} for ${want.Z}`);
  }
  // Every step was gone by the page's own events above; these come from the keyboard.
  for (let n = 0; n <= Math.min(count, KEYS); n += 1) {
    const at = await page.evaluate(state);
    assert.equal(at.done, n, "the arrow key goes one step on");
    stands(at, n);
    if (n < count) await page.keyboard.press("ArrowRight");
  }
  await page.keyboard.press("Home");
  assert.equal((await page.evaluate(state)).done, 0, "Home");
  await page.keyboard.press("End");
  assert.equal((await page.evaluate(state)).done, count, "End");
  await shot("end", { fullPage: false });
  await page.keyboard.press("ArrowLeft");
  assert.equal((await page.evaluate(state)).done, count - 1, "left arrow");

  // The slider, as a hand moves it.
  const slider = await page.locator("#slider").boundingBox();
  for (const share of [0.2, 0.5, 0.8]) {
    await page.mouse.click(slider.x + slider.width * share, slider.y + slider.height / 2);
    const at = await page.evaluate(state);
    assert.ok(Math.abs(at.time - share * data.time) < 0.06 * data.time + 1, `the slider at ${share} gives ${at.time} s of ${data.time}`);
    assert.ok(starts[at.done] <= at.time + HAIR && (at.done === count || at.time <= starts[at.done + 1] + HAIR), "the step of that time");
  }
  const later = Math.floor(count * 0.62);
  await page.locator("#slider").fill(String(starts[later] + HAIR));
  assert.ok((await page.evaluate(state)).done >= later, "the slider counts time");
  const halted = await page.evaluate(state);
  // In mm/s; no machine here goes faster.
  const FASTEST = 500;
  const beyond = Math.max(0, halted.time - starts[halted.done]);
  assert.ok(beyond < 0.01, `the slider stops ${beyond} s into the step`);
  stands(halted, halted.done, beyond * FASTEST);
  const back = (await page.evaluate(state)).done;
  const cut = (step, n) => step[0] >= 2 && (data.beam || Math.min(step[3], n === 0 ? data.home[2] : data.steps[n - 1][3]) < 0);
  const so_far = data.steps.filter((step, n) => n < back && cut(step, n)).length;
  const drawn = await page.locator("#cuts path:not([visibility=hidden])").count();
  assert.ok(drawn === so_far || drawn === so_far + 1, `after going back ${drawn} cuts are drawn of ${so_far}`);
  await shot("middle");
  await page.locator("#view").selectOption("piece");
  await shot("piece");
  await page.locator("#view").selectOption("close");
  await shot("close");
  await page.locator("#view").selectOption("stock");

  // While it plays the tool is on the program's way.
  await page.keyboard.press("Home");
  await page.locator("#to-start").click();
  await page.locator("#speed").selectOption("10");
  await deck.focus();
  await page.keyboard.press("Space");
  assert.equal((await page.evaluate(state)).playing, true, "space plays");
  let between = 0;
  // As long as it takes: on a busy machine looks come seldom, some of them find a rapid, and a short program is over soon.
  for (let i = 0; i < 240 && between <= 60; i += 1) {
    const at = await page.evaluate(state);
    if (!at.playing) {
      await page.locator("#to-start").click();
      await deck.focus();
      await page.keyboard.press("Space");
      continue;
    }
    const step = data.steps[at.done];
    if (step && step[8] > 0 && step[0] >= 1) {
      const part = lines.slice(step[7] - 1, step[8]).filter((line) => line.moves);
      const nearest = Math.min(...part.map((line) => off(line, at.x, at.y)));
      assert.ok(part.length === 0 || nearest < CLOSE, `${name}: ${nearest} mm off line ${step[7]}`);
      between += 1;
    }
    await page.waitForTimeout(25);
  }
  assert.ok(between > 20, `looked ${between} times while it played`);
  // Slowly from the start, so that the end cannot come before the key on a busy machine.
  await page.locator("#speed").selectOption("1");
  await page.locator("#to-start").click();
  await deck.focus();
  if (!(await page.evaluate(state)).playing) await page.keyboard.press("Space");
  await page.waitForTimeout(120);
  await page.keyboard.press("Space");
  const stopped = await page.evaluate(state);
  await page.waitForTimeout(120);
  assert.deepEqual(await page.evaluate(state), { ...stopped, playing: false }, "space stops");

  // Within single arcs and ramps: on the right side of the circle, forward only, the height as even as the way.
  await page.locator("#speed").selectOption("1");
  let looked = 0;
  const worth_watching = (step) => {
    const line = step[8] > 0 && step[8] === step[7] ? lines[step[8] - 1] : null;
    const sloping = line && line.moves && line.word > 0 && line.from.Z !== null && Math.abs(line.to.Z - line.from.Z) > 0.05;
    const across = line && Math.hypot(line.to.X - line.from.X, line.to.Y - line.from.Y) > 1;
    return line && across && step[5] >= 0.05 && (line.word >= 2 || sloping);
  };
  for (const n of spread(data.steps.flatMap((step, i) => worth_watching(step) ? [i] : []), WATCHED)) {
    const line = lines[data.steps[n][8] - 1];
    let last = 0;
    for (const [x, y, z] of await page.evaluate(within, [n, starts[n] + HAIR])) {
      const part = share(line, x, y);
      // Still at its start, to the last digit: nothing of the way to judge.
      if (Math.hypot(x - line.from.X, y - line.from.Y) < CLOSE) continue;
      assert.ok(part >= last - 0.01 && part <= 1.01, `${name} step ${n}: ${part} of the way after ${last}`);
      if (line.from.Z !== null) {
        const want = line.from.Z + (line.to.Z - line.from.Z) * part;
        assert.ok(Math.abs(z + data.z_shift - want) < 0.02, `${name} step ${n}: z ${z} for ${want} at ${part}`);
      }
      last = part;
      looked += 1;
    }
  }
  assert.ok(looked > 3, `looked ${looked} times within arcs and ramps`);
  await page.locator("#speed").selectOption("40");

  // With reduced motion the tool is only ever seen at the end of a step.
  await page.emulateMedia({ reducedMotion: "reduce" });
  await page.locator("#to-start").click();
  await page.locator("#play").click();
  for (let i = 0; i < 25; i += 1) {
    const at = await page.evaluate(state);
    stands(at, at.done);
    await page.waitForTimeout(60);
  }
  assert.ok((await page.evaluate(state)).done >= 2, "it still plays");
  await page.locator("#play").click();
  await page.emulateMedia({ reducedMotion: "no-preference" });

  // Typing a measured value moves nothing.
  const before = (await page.evaluate(state)).done;
  await page.locator("#test-fit input").first().fill("6 5/16 in");
  await page.keyboard.press("Home");
  assert.equal((await page.evaluate(state)).done, before, "keys outside the player are the page's");

  await measured(page);

  // Accessibility rules, by day and by night.
  await page.evaluate(axe);
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    const found = await page.evaluate(async () => (await window.axe.run(document)).violations
      .map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).join(", ")}`));
    assert.deepEqual(found, [], `no accessibility rule is broken (${colorScheme})`);
    await shot(colorScheme, { fullPage: true });
  }
  await page.emulateMedia({ colorScheme: "light" });

  await page.pdf({ path: path.join(shots, `${name}.pdf`), preferCSSPageSize: true });
  await page.emulateMedia({ media: "print" });
  await shot("print", { fullPage: true });
  await page.emulateMedia({ media: "screen" });
  await page.setViewportSize({ width: 375, height: 800 });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 375, `on a narrow screen the page is ${wide} wide`);
  const scrolls = await page.evaluate(() => [...document.querySelectorAll("body *")]
    .filter((one) => one.scrollWidth > one.clientWidth + 1 && ["auto", "scroll"].includes(getComputedStyle(one).overflowX)
      && one.tagName !== "TEXTAREA" && one.tagName !== "SELECT").map((one) => one.outerHTML.slice(0, 60)));
  assert.deepEqual(scrolls, [], "nothing is scrolled sideways");
  await shot("narrow", { fullPage: true });
  assert.deepEqual(wrong, [], "the console is silent");
  assert.deepEqual(requests.filter((r) => r !== url && !r.startsWith("data:")), [], "nothing else was asked for");
  await page.close();
  await withoutStorage(context, url);
  console.log(`${name}: ${html.length} bytes, ${count} steps, loaded in ${loaded.toFixed(0)} ms, ${between + looked} looks while it played, all as the program says`);
}

// Accessibility by day and by night, 375 px, a silent console and no request: of any page.
async function checkPage(context, name, url) {
  const page = await context.newPage();
  const [wrong, requests] = [[], []];
  page.on("console", (message) => wrong.push(message.text()));
  page.on("pageerror", (error) => wrong.push(String(error)));
  page.on("request", (request) => requests.push(request.url()));
  await page.goto(url, { waitUntil: "load" });
  await page.evaluate(axe);
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    const found = await page.evaluate(async () => (await window.axe.run(document)).violations
      .map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(" ")).join(", ")}`));
    assert.deepEqual(found, [], `${name}: no accessibility rule is broken (${colorScheme})`);
  }
  await page.setViewportSize({ width: 375, height: 800 });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 375, `${name}: on a narrow screen the page is ${wide} wide`);
  await page.screenshot({ path: path.join(shots, `${name}-narrow.png`), fullPage: true });
  assert.deepEqual(wrong, [], `${name}: the console is silent`);
  assert.deepEqual(requests.filter((r) => r !== url && !r.startsWith("data:")), [], `${name}: nothing else was asked for`);
  await page.close();
  console.log(`${name}: as a page in order`);
}

// A browser of its own for each lane, so that no page waits for another's; the largest first, so that all end together.
const size = (name) => fs.statSync(path.join(sets, name, "bench.html")).size;
const names = fs.readdirSync(sets).sort((one, other) => size(other) - size(one));
async function lane() {
  const profile = fs.mkdtempSync(path.join(os.tmpdir(), "chromium-profile-"));
  const context = await chromium.launchPersistentContext(profile, LAUNCH);
  try {
    for (let name = names.shift(); name; name = names.shift()) {
      const dir = path.join(sets, name);
      // What one job's programs are held against is theirs alone; a page by hand has none, one of several jobs others.
      const isOne = fs.existsSync(path.join(dir, "frame.nc")) && !fs.existsSync(path.join(dir, "work-list.html"));
      if (isOne) await checkSet(context, name);
      const others = isOne ? [] : fs.readdirSync(dir).filter((file) => file.endsWith(".html"));
      for (const file of others) await checkPage(context, `${name}-${file}`, pathToFileURL(path.join(dir, file)).href);
    }
  } finally {
    // A browser that is gone has said so already, where it was asked for something.
    await context.close().catch(() => {});
    fs.rmSync(profile, { recursive: true, force: true });
  }
}
const lanes = Math.min(names.length, Number(process.env.LANES) || os.cpus().length);
const ends = await Promise.allSettled(Array.from({ length: lanes }, lane));
for (const end of ends) if (end.status === "rejected") throw end.reason;
assert.equal(names.length, 0, "every set was looked at");
console.log(`screenshots: ${shots}`);
