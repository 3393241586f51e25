// Measures the words of drawings in a real browser: no word lies over another, nor over a line that is drawn after it or
// before it without white between them.
// Usage: node words.mjs FOLDER [FOLDER...]: every .svg below them; a line each that has a fault, then how many have none.
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

function* drawings(folder) {
  for (const entry of fs.readdirSync(folder, { withFileTypes: true })) {
    const at = path.join(folder, entry.name);
    if (entry.isDirectory()) yield* drawings(at);
    else if (entry.name.endsWith(".svg")) yield at;
  }
}

// In the page: the faults of its drawing, in its own unit, mm.
function faults() {
  const svg = document.documentElement;
  const NEAR = 0.1; // Less than this of ink on ink is no fault anybody sees, in mm.
  const canvas = document.createElementNS("http://www.w3.org/1999/xhtml", "canvas").getContext("2d");
  const all = [...svg.querySelectorAll("text, path, line, rect, polyline, polygon, circle")];
  const place = (one) => svg.getScreenCTM().inverse().multiply(one.getScreenCTM());
  const through = (m, [x, y]) => [m.a * x + m.c * y + m.e, m.b * x + m.d * y + m.f];
  const UNIT = 100;
  // The ink of a text: its box in its own frame, and the frame.
  const words = all.flatMap((one, order) => {
    if (one.tagName !== "text" || !one.textContent.trim()) return [];
    const style = getComputedStyle(one);
    const size = parseFloat(style.fontSize);
    canvas.font = `${style.fontWeight} ${UNIT}px ${style.fontFamily}`;
    const ink = canvas.measureText(one.textContent);
    const box = one.getBBox();
    const base = one.y.baseVal.length ? one.y.baseVal[0].value : 0;
    const scale = size / UNIT;
    const [up, down] = [ink.actualBoundingBoxAscent * scale, ink.actualBoundingBoxDescent * scale];
    return [{
      text: one.textContent, order, m: place(one),
      box: [box.x + NEAR, base - up + NEAR, box.x + box.width - NEAR, base + down - NEAR],
    }];
  });
  const corners = ({ box: [x, y, to_x, to_y], m }) => [[x, y], [to_x, y], [to_x, to_y], [x, to_y]].map((p) => through(m, p));
  const span = (points, [x, y]) => {
    const along = points.map((p) => p[0] * x + p[1] * y);
    return [Math.min(...along), Math.max(...along)];
  };
  const axes = (quad) => [0, 1].map((i) => [quad[i + 1][0] - quad[i][0], quad[i + 1][1] - quad[i][1]]);
  const apart = (a, b) => [...axes(a), ...axes(b)].some((axis) => {
    const [one, other] = [span(a, axis), span(b, axis)];
    return one[1] <= other[0] || other[1] <= one[0];
  });
  const found = [];
  const quads = words.map(corners);
  words.forEach((a, i) => words.forEach((b, j) => {
    if (j > i && !apart(quads[i], quads[j])) found.push(`"${a.text}" lies over "${b.text}"`);
  }));
  // What is drawn, as straight stretches; what is filled white hides what is under it.
  const points = (one) => {
    const d = one.tagName === "path" ? one.getAttribute("d") : "";
    const plain = d && !/[^MLZ0-9eE.,\s-]/.test(d);
    const m = place(one);
    if (!plain) {
      const length = one.getTotalLength();
      const count = Math.max(2, Math.ceil(length / 0.4));
      const at = (i) => one.getPointAtLength((length * i) / count);
      const run = Array.from({ length: count + 1 }, (_, i) => [at(i).x, at(i).y]);
      return [run.map((p) => through(m, p))];
    }
    return d.split("M").filter(Boolean).map((run) => {
      const all = run.replace("Z", "").split("L").map((p) => p.trim().split(/[\s,]+/).map(Number));
      return (run.includes("Z") ? [...all, all[0]] : all).map((p) => through(m, p));
    });
  };
  const isWhite = (one) => ["rgb(255, 255, 255)", "white"].includes(getComputedStyle(one).fill);
  const shapes = all.flatMap((one, order) => {
    if (one.tagName === "text") return [];
    const style = getComputedStyle(one);
    const width = style.stroke === "none" ? 0 : parseFloat(style.strokeWidth);
    const b = one.getBBox();
    const hides = isWhite(one) && style.fillOpacity === "1" ? b : null;
    return [{ order, width, hides, runs: width > 0 ? points(one) : [] }];
  });
  const clips = ([a, b], [x, y, to_x, to_y]) => {
    let [from, to] = [0, 1];
    const d = [b[0] - a[0], b[1] - a[1]];
    for (const [p, q] of [[-d[0], a[0] - x], [d[0], to_x - a[0]], [-d[1], a[1] - y], [d[1], to_y - a[1]]]) {
      if (p === 0) { if (q < 0) return false; continue; }
      if (p < 0) from = Math.max(from, q / p); else to = Math.min(to, q / p);
    }
    return from <= to;
  };
  words.forEach((word, i) => {
    const [quad, back] = [quads[i], word.m.inverse()];
    const xs = quad.map((p) => p[0]), ys = quad.map((p) => p[1]);
    const inside = (b) => Math.min(...xs) >= b.x && Math.max(...xs) <= b.x + b.width
      && Math.min(...ys) >= b.y && Math.max(...ys) <= b.y + b.height;
    // The last white under the word: lines before it are not seen there.
    const shown = Math.max(-1, ...shapes.filter((s) => s.hides && s.order < word.order && inside(s.hides)).map((s) => s.order));
    for (const shape of shapes) {
      if (shape.order <= shown) continue;
      const hit = shape.runs.some((run) => run.some((p, k) => k > 0
        && clips([through(back, run[k - 1]), through(back, p)], word.box)));
      if (hit) { found.push(`a line goes through "${word.text}"`); break; }
    }
  });
  return found;
}

const context = await chromium.launch({
  executablePath: process.env.CHROMIUM || "/usr/bin/chromium",
  headless: true,
  args: ["--no-sandbox", "--disable-gpu", "--no-first-run"],
});
const files = process.argv.slice(2).flatMap((folder) => [...drawings(folder)]);
let faulty = 0;
const take = async () => {
  const page = await context.newPage();
  for (let file = files.shift(); file; file = files.shift()) {
    await page.goto(pathToFileURL(file).href, { waitUntil: "load" });
    const found = await page.evaluate(faults);
    if (found.length) {
      faulty += 1;
      console.log(`${file}: ${found.length}: ${found.slice(0, 6).join("; ")}`);
    }
  }
};
const count = files.length;
await Promise.all(Array.from({ length: Math.min(os.cpus().length, count) }, take));
await context.close();
console.log(`${count} drawings measured, ${faulty} with words over words or lines`);
if (faulty || !count) process.exit(1);
