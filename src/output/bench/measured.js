"use strict";
// Compares what a tape says with what was predicted, keeps it over a reload, writes it down. Nothing leaves the page.
(function () {
  const get = (id) => document.getElementById(id);
  const card = get("test-fit");
  const boxes = card ? [...card.querySelectorAll("input")] : [];
  if (boxes.length === 0) return;
  const [INCH, FOOT] = [25.4, 304.8];
  const metric = document.body.dataset.tape === "mm";
  const key = "seatcut measured " + document.body.dataset.job;

  // A number as it is typed: 7, 7.25, 7 1/4, 7-1/4, 1/4.
  function number(text) {
    const found = /^(?:(\d+(?:\.\d+)?)|(?:(\d+)(?:\s+|\s*-\s*))?(\d+)\s*\/\s*([1-9]\d*))$/.exec(text.trim());
    if (!found) return null;
    if (found[1] !== undefined) return Number(found[1]);
    return Number(found[2] || 0) + Number(found[3]) / Number(found[4]);
  }

  // What was typed, in mm; null if it is no length. A number without a unit is one of the tape's.
  function length(typed) {
    const text = typed.trim().toLowerCase().replace(/[\u2032\u2019]/g, "'").replace(/[\u2033\u201d]|''/g, "\"")
      .replace(/\bfeet\b|\bfoot\b/g, "ft").replace(/\binch(es)?\b/g, "in");
    const feet = /^(\d+)\s*(?:ft|')\s*-?\s*(.*)$/.exec(text);
    if (feet) {
      const inches = feet[2] === "" ? 0 : number(feet[2].replace(/\s*(?:in|")$/, ""));
      return inches === null ? null : Number(feet[1]) * FOOT + inches * INCH;
    }
    const parts = /^(.*?)\s*(mm|cm|m|in|")?$/.exec(text);
    const value = number(parts[1]);
    const unit = { mm: 1, cm: 10, m: 1000, in: INCH, "\"": INCH }[parts[2]] || (metric ? 1 : INCH);
    return value === null ? null : value * unit;
  }

  function fraction(inches) {
    const [whole, rest] = [Math.floor(inches + 1e-9), inches - Math.floor(inches + 1e-9)];
    let [over, under] = [Math.round(rest * 64), 64];
    if (Math.abs(rest * 64 - over) > 1e-6) return inches.toFixed(4).replace(/0+$/, "");
    while (over > 0 && over % 2 === 0) [over, under] = [over / 2, under / 2];
    if (over === 0) return String(whole);
    return (whole > 0 ? whole + " " : "") + over + "/" + under;
  }

  const told = (mm) => (metric ? String(Math.round(mm * 10) / 10) + " mm" : fraction(mm / INCH) + " in");

  // How far off, to the nearest line that can be read between two of the tape's: 1/32 in, 0.5 mm.
  function compared(mm, predicted) {
    const step = metric ? 0.5 : INCH / 32;
    const off = Math.round((mm - predicted) / step) * step;
    if (Math.abs(off) < step / 2) return "agrees";
    return told(Math.abs(off)) + (off > 0 ? " more" : " less");
  }

  function predicted(box) {
    const pattern = get("measured-on") && get("measured-on").value === "pattern";
    return pattern ? box.dataset.pattern : box.dataset.mm;
  }

  function look(box) {
    const say = card.querySelector("output[for=\"" + box.id + "\"]");
    const [mm, want] = [length(box.value), predicted(box)];
    let words = "";
    if (box.value.trim() !== "") {
      if (mm === null) words = metric ? "not read: type 184 or 184 mm" : "not read: type 7 1/4 or 184 mm";
      else words = want === undefined ? "not on the pattern" : compared(mm, Number(want));
    }
    say.textContent = words;
    say.className = words === "agrees" ? "good" : words === "" ? "" : "off";
  }

  // A browser may keep nothing, or refuse to: then nothing is kept, and nothing is said.
  function keep() {
    try {
      const values = Object.fromEntries(boxes.filter((box) => box.value !== "").map((box) => [box.id, box.value]));
      window.localStorage.setItem(key, JSON.stringify(values));
    } catch (nowhere) { /* the boxes still work */ }
  }

  function kept() {
    try {
      const values = JSON.parse(window.localStorage.getItem(key)) || {};
      boxes.forEach((box) => { if (typeof values[box.id] === "string") box.value = values[box.id]; });
    } catch (nowhere) { /* as if nothing had been typed */ }
  }

  // The heights as the text of a table [built]; what is missing is said in it.
  function built() {
    const row = (place) => boxes.filter((box) => box.dataset.built === place);
    const treads = row("tread");
    const read = (box) => length(box.value);
    const missing = treads.map((box, i) => (read(box) === null ? i + 1 : 0)).filter((n) => n > 0);
    const quoted = (mm) => "\"" + told(mm) + "\"";
    const lines = ["[built]"];
    if (missing.length > 0) lines.push("# not measured: tread " + missing.join(", "));
    lines.push("heights = [" + treads.map(read).filter((mm) => mm !== null).map(quoted).join(", ") + "]");
    row("upper").map(read).filter((mm) => mm !== null).forEach((mm) => lines.push("upper = " + quoted(mm)));
    return lines.join("\n") + "\n";
  }

  function typed(box) {
    look(box);
    keep();
    if (!get("built-text").hidden) get("built-text").value = built();
  }

  boxes.forEach((box) => box.addEventListener("input", () => typed(box)));
  if (get("measured-on")) get("measured-on").addEventListener("change", () => boxes.forEach(look));
  get("to-built").addEventListener("click", () => {
    const text = get("built-text");
    text.value = built();
    text.hidden = false;
    card.querySelector("label[for=built-text]").hidden = false;
    text.focus();
    text.select();
  });
  get("forget").addEventListener("click", () => {
    boxes.forEach((box) => { box.value = ""; });
    boxes.forEach(typed);
  });
  kept();
  boxes.forEach(look);
  get("export").hidden = false;
})();
