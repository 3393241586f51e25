// Drafts a stair in a real browser, by keyboard alone, and holds what came of it against the command.
// Usage: node draft.mjs PROGRAM FOLDER-FOR-SCREENSHOTS
import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { createRequire } from "node:module";
import { chromium } from "playwright-core";

const axe = fs.readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const [program, shots] = process.argv.slice(2);
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "draft-"));
const job = path.join(folder, "stair.toml");
const wait = (ms) => new Promise((done) => setTimeout(done, ms));

async function serve() {
  const child = spawn(program, ["draft", "stair.toml", "--no-open"], { cwd: folder });
  const address = await new Promise((found, failed) => {
    let said = "";
    child.stdout.on("data", (part) => {
      said += part;
      const address = /http:\/\/127\.0\.0\.1:\d+\/[0-9a-f]+\//.exec(said);
      if (address) found(address[0]);
    });
    child.on("exit", () => failed(new Error(`ended: ${said}`)));
  });
  return { child, address };
}

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  headless: true,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync"],
});
const context = await browser.newContext({ viewport: { width: 1280, height: 1000 } });
const page = await context.newPage();
const wrong = [];
page.on("pageerror", (error) => wrong.push(String(error)));
page.on("console", (message) => { if (message.type() === "error") wrong.push(message.text()); });
const asked = new Set();
page.on("request", (request) => asked.add(new URL(request.url()).protocol === "data:" ? "data:" : new URL(request.url()).host));

// A page may be tried from its folder, before it is compiled in.
if (process.env.DRAFT_PAGE) {
  await page.route(/\/draft\.(js|css)$|\/$/, (route) => {
    const name = new URL(route.request().url()).pathname.split("/").pop() || "page.html";
    return route.fulfill({ path: path.join(process.env.DRAFT_PAGE, name) });
  });
}

async function tabTo(id, most = 240) {
  for (let i = 0; i < most; i += 1) {
    if (await page.evaluate((id) => document.activeElement.id === id, id)) return;
    await page.keyboard.press("Tab");
  }
  throw new Error(`the keyboard does not reach ${id}`);
}
const verdict = () => page.getAttribute("#verdict", "data-kind");
// The verdict on all that was typed, not one that stood there before.
const is = (kind) => page.waitForSelector(`body[data-at-rest] #verdict[data-kind="${kind}"]`, { timeout: 15000 });
const shot = (name) => page.screenshot({ path: path.join(shots, `${name}.png`), fullPage: true });
async function readable(name) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => window.axe.run());
  const told = violations.map((of) => `${of.id}: ${of.nodes.map((node) => node.target).join(" ")}`);
  assert.deepEqual(told, [], name);
}

let served = await serve();
await page.goto(served.address);
await is("open");
assert.equal(await page.textContent("#name"), "stair.toml, not saved");
await shot("draft-begun");

// A rise without its unit is told beside it, with what to type; then the stair is there.
await tabTo("f-rise-total");
await page.keyboard.type("51 3/8");
await page.waitForSelector("text=Take 51 3/8 in");
assert.equal(await verdict(), "open");
await page.keyboard.type(" in");
await is("clear");
await page.waitForSelector("#drawings img");
assert.equal(await page.textContent("#f-rise-total-read"), "= 51 3/8 in (1304.9 mm)");
await readable("the form");
await shot("draft-stair");

// The table is a row of buttons; what stands against a count is told beside its field, and undone.
while (!await page.evaluate(() => document.activeElement.dataset.risers === "6")) await page.keyboard.press("Tab");
await page.keyboard.press("Enter");
await is("refused");
assert.match(await page.textContent("#f-rise-risers-beside"), /refused/i);
await shot("draft-refused");
await readable("refused");
await page.keyboard.press("Control+z");
await is("clear");

// Saved with its comments, and read by the command.
await page.keyboard.press("Control+s");
await page.waitForFunction(() => document.getElementById("name").textContent === "stair.toml");
assert.match(fs.readFileSync(job, "utf8"), /total = "51 3\/8 in" +# plumb/);
assert.equal(spawnSync(program, ["solve", job, "--deny-warnings"]).status, 0);
assert.deepEqual(fs.readdirSync(folder).sort(), [".stair.toml.draft-lock", "stair.toml"]);

// The whole stair is folded until somebody opens it; a part is there with a tick, and asks for what it cannot do without.
assert.match(await page.textContent("#whole-says"), /none yet/);
await tabTo("whole-says");
await page.keyboard.press("Enter");
await tabTo("p-steps");
await page.keyboard.press("Space");
await is("open");
assert.match(await page.textContent("#f-stair-width-beside"), /needs the width of the stair/);
await page.waitForSelector("#f-steps-back");
await tabTo("f-stair-width");
await page.keyboard.type("36");
await is("clear");
await tabTo("p-rail");
await page.keyboard.press("Space");
await page.waitForFunction(() => document.getElementById("text").textContent.includes("[rail]"));
await tabTo("f-rail-height");
await page.keyboard.press("Control+a");
await page.keyboard.type("36 mm");
await is("open");
assert.match(await page.textContent("#f-rail-height-beside"), /rail\.height/);
await page.keyboard.press("Control+a");
await page.keyboard.type("36 in");
await is("clear");
await tabTo("p-opening");
await page.keyboard.press("Space");
await is("open");
await tabTo("f-opening-length");
await page.keyboard.type("60");
await tabTo("f-opening-depth");
await page.keyboard.type("11");
await is("refused");
assert.match(await page.textContent("#f-opening-length-beside"), /refused/i);
await readable("the whole stair");
await shot("draft-whole");
await tabTo("p-opening");
await page.keyboard.press("Space");
await is("clear");
assert.equal(await page.isVisible("#f-opening-length"), false);
assert.equal(await page.textContent("#whole-says"), "With treads, rail");
// Two landings are told and cannot be ticked away.
const one = '\n[[landing]]\nafter = 3\ndepth = "40 in"\nfinish = "1 in"\nturn = "left"\n';
await page.keyboard.press("Control+s");
await page.waitForFunction(() => document.getElementById("name").textContent === "stair.toml");
const alone = fs.readFileSync(job, "utf8");
fs.writeFileSync(job, alone + one + one.replace("3", "5"));
await page.waitForFunction(() => document.getElementById("p-landing").disabled && document.getElementById("p-landing").checked);
assert.match(await page.textContent("#p-landing-apart"), /after 5, depth 40 in/);
await readable("two landings");
await shot("draft-landings");
fs.writeFileSync(job, alone);
await page.waitForFunction(() => !document.getElementById("p-landing").disabled && !document.getElementById("p-landing").checked);
await is("clear");

// From a keystroke to the stair drawn anew, ten times.
await tabTo("f-tread-cut");
const times = [];
for (let i = 0; i < 10; i += 1) {
  await page.evaluate(() => {
    window.drawn = new Promise((done) => {
      const begun = { at: null };
      document.activeElement.addEventListener("input", () => { begun.at = performance.now(); }, { once: true, capture: true });
      document.querySelector("#drawings img").addEventListener("load", () => done(performance.now() - begun.at), { once: true });
    });
  });
  await page.keyboard.press("Control+a");
  await page.keyboard.insertText(i % 2 ? "10 1/4" : "10 1/2");
  times.push(await page.evaluate(() => window.drawn));
}
console.log(`from a keystroke to the stair drawn anew: ${times.map((ms) => ms.toFixed(0)).join(", ")} ms`);

// What is typed outlives the page, and the process too.
await page.keyboard.press("Control+a");
await page.keyboard.insertText("10 3/8");
await page.waitForFunction(() => document.getElementById("text").textContent.includes('"10 3/8 in"'));
await page.reload();
await is("clear");
assert.equal(await page.inputValue("#f-tread-cut"), "10 3/8 in");
served.child.kill("SIGKILL");
await wait(200);
served = await serve();
await page.goto(served.address);
await is("clear");
assert.equal(await page.inputValue("#f-tread-cut"), "10 3/8 in");
assert.match(await page.textContent("#notice"), /last time/);
await page.keyboard.press("Control+z");
await page.waitForFunction(() => document.getElementById("f-tread-cut").value === "10 1/4 in");

// A file that is changed elsewhere is taken up; with something unsaved it is asked about.
fs.writeFileSync(job, fs.readFileSync(job, "utf8").replace('cut = "10 1/4 in"', 'cut = "10 1/2 in"').replace("[board]", "# mine\n[board]"));
await page.waitForFunction(() => document.getElementById("f-tread-cut").value === "10 1/2 in");
await tabTo("f-head-finish");
await page.keyboard.press("Control+a");
await page.keyboard.insertText("7/8");
await page.waitForFunction(() => document.getElementById("text").textContent.includes('"7/8 in"'));
fs.writeFileSync(job, `${fs.readFileSync(job, "utf8")}# theirs\n`);
await page.waitForSelector("#outside:not([hidden])");
await page.focus("#ours");
await page.keyboard.press("Enter");
await page.waitForSelector("#outside[hidden]", { state: "attached" });
await page.keyboard.press("Control+s");
await page.waitForFunction(() => document.getElementById("name").textContent === "stair.toml");
const saved = fs.readFileSync(job, "utf8");
assert.ok(saved.includes("# mine") && saved.includes('finish = "7/8 in"') && !saved.includes("# theirs"));

// Made, ordered and held against the job from the page: just what the command makes.
await tabTo("f-cut-makes");
await page.selectOption("#f-cut-makes", "pattern");
await is("clear");
await page.focus("#make");
await page.keyboard.press("Enter");
await page.waitForFunction(() => document.getElementById("said").textContent.includes("PROVEN"), undefined, { timeout: 60000 });
const set = path.join(folder, "stair");
const own = path.join(folder, "by-command");
assert.equal(spawnSync(program, ["make", "stair.toml", "-o", "by-command"], { cwd: folder }).status, 0);
const names = fs.readdirSync(own).sort();
assert.deepEqual(fs.readdirSync(set).sort(), names);
for (const name of names) assert.ok(fs.readFileSync(path.join(set, name)).equals(fs.readFileSync(path.join(own, name))), name);
await readable("made");
await shot("draft-made");
const [bench] = await Promise.all([context.waitForEvent("page"), page.click("#opens a")]);
await bench.waitForSelector("#player");
await bench.close();
await page.setInputFiles("#file", path.join(set, "program-2.nc"));
await page.waitForFunction(() => document.getElementById("said").textContent.includes("is this job's part"));
fs.writeFileSync(path.join(folder, "other.nc"), fs.readFileSync(path.join(set, "program-2.nc"), "utf8").replaceAll("X6", "X7"));
await page.setInputFiles("#file", path.join(folder, "other.nc"));
await page.waitForFunction(() => document.getElementById("said").textContent.includes("NOT this job's part"));
await shot("draft-held");
await page.focus("#order");
await page.keyboard.press("Enter");
await page.waitForFunction(() => document.getElementById("said").textContent.includes("SHA256SUMS"), undefined, { timeout: 60000 });
assert.ok(fs.existsSync(path.join(folder, "stair-order", "order.pdf")));

// Another measure: the set that lies there stays until its box is ticked.
await tabTo("f-tread-cut");
await page.keyboard.press("Control+a");
await page.keyboard.insertText("10 3/8");
await page.waitForFunction(() => document.getElementById("text").textContent.includes('"10 3/8 in"'));
await page.focus("#make");
await page.keyboard.press("Enter");
await page.waitForFunction(() => document.getElementById("wrong").textContent.includes("set of another job"), undefined, { timeout: 60000 });
await page.focus("#replace");
await page.keyboard.press("Space");
await page.focus("#make");
await page.keyboard.press("Enter");
await page.waitForFunction(() => document.getElementById("said").textContent.includes("PROVEN"), undefined, { timeout: 60000 });

// On a telephone, in the dark, and on paper.
await page.setViewportSize({ width: 375, height: 740 });
await shot("draft-phone");
const wide = await page.evaluate(() => [...document.querySelectorAll("body *")].filter((of) => of.getBoundingClientRect().right > 376
  && !of.closest(".wide, pre") && !of.matches(".skip")).map((of) => `${of.tagName} ${of.id}`));
assert.ok(await page.evaluate(() => document.documentElement.scrollWidth) <= 375, `wider than the telephone: ${wide}`);
await page.emulateMedia({ colorScheme: "dark" });
await page.setViewportSize({ width: 1280, height: 1000 });
await readable("dark");
await shot("draft-dark");
await page.emulateMedia({ media: "print", colorScheme: "light" });
await shot("draft-print");

const hosts = [...asked].filter((host) => host !== "data:");
assert.ok(hosts.every((host) => host.startsWith("127.0.0.1:")), hosts.join(" "));
served.child.kill("SIGINT");
await new Promise((ended) => served.child.on("exit", ended));
assert.ok(!fs.readdirSync(folder).some((name) => name.startsWith(".")), "nothing hidden is left");
assert.deepEqual(wrong.filter((text) => !text.includes("ERR_CONNECTION_REFUSED")), []);
await browser.close();
fs.rmSync(folder, { recursive: true });
console.log("a stair drafted by keyboard: as it should be");
