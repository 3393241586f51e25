"use strict";
// The page of a draft. It holds no stair: every figure, every sentence and both pictures come from seatcut as they stand there.

const by = (id) => document.getElementById(id);
const inputs = new Map();
// Parts of the whole stair, each there or not.
const parts = new Map();
let shown = 0;
// The job that is shown: what is typed is for it.
let open = null;
// The field whose text is on its way, and those that wait for it.
let sending = null;
const waiting = new Map();
let typing = null;
// What is asked for besides fields, one after the other.
let acts = Promise.resolve();
let acting = 0;

function element(tag, attributes, ...inside) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value === true) made.setAttribute(name, "");
    else if (value !== false && value != null) made.setAttribute(name, value);
  }
  made.append(...inside.filter((one) => one != null));
  return made;
}

async function ask(what, body) {
  const options = body === undefined ? {} : {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify(body),
  };
  return read(await fetch(what, options));
}

// Who asked wrongly is told once and not asked again; what is late or broken may be asked again.
async function read(answer) {
  if (answer.ok) return answer.json();
  const error = new Error((await answer.text()).trim());
  error.refused = answer.status < 500 && answer.status !== 408;
  throw error;
}

// What is typed goes out in its order; of one field only what it says last.
function change(key, value) {
  waiting.delete(key);
  waiting.set(key, value);
  rest();
  send();
}

async function send() {
  if (sending) return;
  try {
    while (waiting.size > 0) {
      const [key, value] = waiting.entries().next().value;
      waiting.delete(key);
      sending = key;
      try {
        const state = await ask("set", { key, value, of: open });
        if (waiting.size === 0) show(state, key);
      } catch (error) {
        if (error.refused) {
          told("What was typed last is not taken: " + error.message + ". It is not in the job; type it anew.");
          continue;
        }
        if (!waiting.has(key)) waiting.set(key, value);
        told("What you type does not arrive: " + error.message
          + ". Is seatcut draft still running? It is sent again until it does.");
        await soon(1000);
      }
    }
  } finally {
    sending = null;
    rest();
  }
}

function told(sentence) {
  by("wrong").textContent = sentence;
}

// Whether all that was typed or asked for is answered and shown.
function rest() {
  document.body.toggleAttribute("data-at-rest", shown > 0 && !sending && waiting.size === 0 && acting === 0);
}

function soon(milliseconds) {
  return new Promise((again) => setTimeout(again, milliseconds));
}

// All that was typed before arrives before.
async function arrived() {
  while (sending || waiting.size > 0) await soon(10);
}

function act(what, body) {
  acting += 1;
  rest();
  acts = acts.then(async () => {
    try {
      await arrived();
      show(await ask(what, body || {}));
    } catch (error) {
      told(`${DONE[what]}: ${error.message}. ` + (error.refused ? "" : "Is seatcut draft still running? Ask once more."));
    } finally {
      acting -= 1;
      rest();
    }
  });
  return acts;
}

const DONE = {
  undo: "Nothing was undone", redo: "Nothing was done again", save: "The job was not saved", rest: "Not read anew",
  theirs: "The file was not taken", ours: "The draft was not kept", open: "The job was not opened",
  new: "No job was begun", make: "Nothing was made", order: "No order was written",
};

function field(of) {
  const id = "f-" + of.key.replaceAll(".", "-");
  const means = element("p", { id: id + "-means", class: "means", hidden: true }, of.means + ".");
  const tap = element("button", {
    type: "button", class: "tap", "aria-expanded": "false", "aria-controls": id + "-means",
    "aria-label": "What is meant by " + of.asks,
  }, "?");
  tap.addEventListener("click", () => {
    means.hidden = !means.hidden;
    tap.setAttribute("aria-expanded", String(!means.hidden));
  });
  const choice = of.kind === "choice";
  const input = element(choice ? "select" : "input", {
    id, "aria-describedby": `${id}-means ${id}-read ${id}-beside`, spellcheck: choice ? null : "false",
    inputmode: of.kind === "count" ? "numeric" : null,
  });
  if (choice) {
    input.append(element("option", { value: "" }, of.key === "cut.makes" ? "nothing: laid out by hand" : "left out"));
    for (const [word, says] of of.choices) input.append(element("option", { value: word }, `${word}: ${says}`));
  }
  input.addEventListener("input", () => {
    typing = of.key;
    change(of.key, input.value);
  });
  input.addEventListener("focus", () => { typing = of.key; });
  input.addEventListener("blur", async () => {
    typing = null;
    await act("rest");
  });
  const read = element("p", { id: id + "-read", class: "read" });
  const beside = element("div", { id: id + "-beside" });
  inputs.set(of.key, { of, input, read, beside });
  return element("div", { class: "field" },
    element("div", { class: "row" }, element("label", { for: id }, of.asks), tap, input), means, read, beside);
}

function part(of) {
  const id = "p-" + of.table;
  const tick = element("input", { type: "checkbox", id, "aria-describedby": `${id}-means ${id}-apart` });
  tick.addEventListener("change", () => {
    change(of.table, tick.checked ? "there" : "");
    act("rest");
  });
  const apart = element("div", { id: id + "-apart" });
  const inside = element("div", { class: "inside", role: "group", "aria-label": of.asks, hidden: true }, ...of.fields.map(field));
  parts.set(of.table, { of, tick, apart, inside });
  return element("div", { class: "part" }, element("label", {}, tick, " " + of.asks),
    element("p", { id: id + "-means", class: "means" }, of.means + "."), apart, inside);
}

function form(steps) {
  steps.forEach((step, i) => {
    const fields = [...step.fields.map(field), ...step.parts.map(part)];
    const folded = element("details", { id: "whole" }, element("summary", { id: "whole-says" }), ...fields);
    by("form").append(element("fieldset", {},
      element("legend", {}, `${i + 1}  ${step.title}`), ...(step.parts.length > 0 ? [folded] : fields)));
  });
  by("form").addEventListener("submit", (event) => event.preventDefault());
}

function partsShown(all) {
  for (const one of all) {
    const { of, tick, apart, inside } = parts.get(one.table);
    const isApart = one.apart.length > 0;
    if (sending !== of.table && !waiting.has(of.table)) tick.checked = one.is_there;
    tick.disabled = isApart;
    inside.hidden = isApart || !one.is_there;
    const told = one.apart.map((text, i) => element("p", { class: "read" }, `${i + 1}: ${text}`));
    if (isApart) told.push(element("p", { class: "read" }, "Changed in the file only, and left here as it is."));
    apart.replaceChildren(...told);
  }
  const there = all.filter((one) => one.is_there).map((one) => parts.get(one.table).of.word);
  const words = [...parts.values()].map(({ of }) => of.word).join(", ");
  by("whole-says").textContent = there.length > 0 ? "With " + there.join(", ") : `Width; ${words}: none yet`;
  // What is asked for is seen; somebody who folds it afterwards has it folded.
  if (there.length > 0 && by("whole").dataset.of !== open) by("whole").open = true;
  by("whole").dataset.of = open;
}

// Whether somebody can get at a field: those of a part that is not there are away.
function isShown(key) {
  return inputs.has(key) && !inputs.get(key).input.closest("[hidden]");
}

const MARKS = { clear: "\u2713", warned: "!", refused: "\u2715", open: "\u2026" };

// `done`: the field whose own answer this is. An answer that another overtook shows what was.
function show(state, done) {
  if (state.revision < shown) return;
  shown = state.revision;
  open = state.name;
  if (done && sending === done) sending = null;
  by("name").textContent = state.name + (state.unsaved ? ", not saved" : "");
  document.title = `${MARKS[state.verdict.kind]} ${state.name}`;
  const verdict = `${MARKS[state.verdict.kind]} ${state.verdict.say}`;
  if (by("verdict").textContent !== verdict) by("verdict").textContent = verdict;
  by("verdict").dataset.kind = state.verdict.kind;
  by("notice").textContent = state.notice;
  by("wrong").textContent = state.wrong;
  by("outside").hidden = !state.changed_outside;
  by("undo").disabled = !state.can_undo;
  by("redo").disabled = !state.can_redo;
  by("save").disabled = !state.unsaved;
  by("text").textContent = state.text;
  const names = state.jobs.includes(state.name) ? state.jobs : [state.name, ...state.jobs];
  by("jobs").replaceChildren(...names.map((name) => element("option", { selected: name === state.name }, name)));
  state.fields.forEach((one) => fieldShown(one, state));
  partsShown(state.parts);
  slips(state.slips);
  stair(state.shown, state);
  madeShown(state);
  rest();
}

function fieldShown(one, state) {
  const { of, input, read, beside } = inputs.get(one.key);
  if (typing !== one.key && sending !== one.key && !waiting.has(one.key)) {
    const known = input.tagName !== "SELECT" || [...input.options].some((option) => option.value === one.value);
    if (!known) input.append(element("option", { value: one.value }, one.value));
    if (input.value !== one.value) input.value = one.value;
  }
  // Laid out by hand, nothing lies on a machine.
  if (one.key.startsWith("cut.") && one.key !== "cut.makes") {
    input.disabled = !state.fields.some((of) => of.key === "cut.makes" && of.value);
  }
  if (input.tagName === "INPUT") input.placeholder = of.usual[state.tape === "mm" ? 1 : 0] || "";
  const repeats = one.read === one.value;
  read.textContent = one.read && !repeats ? "= " + one.read : "";
  const own = state.shown ? state.shown.findings.filter((found) => found.field === one.key && found.weight !== "note") : [];
  const told = own.map((found) => element("p", { class: "beside " + found.weight },
    element("span", { class: "weight" }, found.weight), ` ${found.say}`));
  const slip = state.slips.find((slip) => slip.field === one.key);
  const wrong = one.wrong || (slip ? slip.say : "");
  input.setAttribute("aria-invalid", String(Boolean(one.wrong || (slip && one.value))));
  if (wrong) told.push(element("p", { class: "beside wrong" }, wrong));
  for (const text of one.instead) {
    const button = element("button", { type: "button", class: "instead" }, "Take " + text);
    button.addEventListener("click", () => { input.value = text; change(one.key, text); input.focus(); });
    told.push(button);
  }
  // A button under a finger stays where it is.
  const before = [...beside.children].map((child) => child.textContent).join("\n");
  if (before !== told.map((child) => child.textContent).join("\n")) beside.replaceChildren(...told);
}

function slips(all) {
  by("slips-section").hidden = all.length === 0;
  by("slips").replaceChildren(...all.map((slip) => {
    const line = element("li", {}, slip.say);
    if (slip.field && isShown(slip.field)) line.append(goTo(slip.field));
    return line;
  }));
}

function goTo(key) {
  const { of, input } = inputs.get(key);
  const button = element("button", { type: "button", class: "instead" }, "Go to " + of.asks);
  button.addEventListener("click", () => {
    const folded = input.closest("details");
    if (folded) folded.open = true;
    input.focus();
  });
  return element("div", {}, button);
}

function stair(of, state) {
  by("stale").hidden = Boolean(of) || by("drawings").children.length === 0;
  document.body.classList.toggle("stale", !of);
  for (const section of document.querySelectorAll(".of-stair")) section.hidden = !of;
  if (!of) return;
  const called = ["The stair from the side, with its dimensions", "The board with its marks"];
  const images = by("drawings").querySelectorAll("img");
  if (images.length !== of.drawings.length) {
    by("drawings").replaceChildren(...of.drawings.map((_, i) => element("img", { alt: called[i] || "" })));
  }
  by("drawings").querySelectorAll("img").forEach((image, i) => {
    const source = "data:image/svg+xml;charset=utf-8," + encodeURIComponent(of.drawings[i]);
    if (image.src !== source) image.src = source;
  });
  by("reason").textContent = "Chosen: " + of.reason + ".";
  counts(of.counts);
  by("found").replaceChildren(...(of.findings.length > 0 ? of.findings.map(found) : [element("li", {}, "Nothing found against it.")]));
  by("site").replaceChildren(...of.on_site.map(([what, asks, source]) => element("li", {}, `${what}: ${asks} `,
    element("span", { class: "from" }, source))));
  by("numbers").replaceChildren(...of.numbers.map(([label, value]) => element("tr", {},
    element("th", { scope: "row" }, label), element("td", { class: "figure" }, value))));
  by("sections").replaceChildren(...of.sections.map(sheet));
}

function counts(rows) {
  const head = ["risers", "unit rise", "pitch", "throat", "against it"].map((word) => element("th", { scope: "col" }, word));
  const focused = document.activeElement && document.activeElement.dataset.risers;
  by("counts").replaceChildren(element("thead", {}, element("tr", {}, ...head)), element("tbody", {}, ...rows.map((row) => {
    const button = element("button", {
      type: "button", "data-risers": row.risers, "aria-pressed": String(row.chosen),
      "aria-label": `${row.risers} risers of ${row.figures[1]}` + (row.against.length > 0 ? ", against it: " + row.against.join(", ") : ""),
    }, row.figures[0]);
    button.addEventListener("click", () => change("rise.risers", String(row.risers)));
    const figures = row.figures.slice(1).map((figure) => element("td", { class: "figure" }, figure));
    return element("tr", { "aria-current": row.chosen ? "true" : null }, element("td", {}, button), ...figures,
      element("td", {}, row.against.join(", ") || (row.chosen ? "nothing" : "")));
  })));
  if (focused) {
    const again = by("counts").querySelector(`[data-risers="${focused}"]`);
    if (again) again.focus();
  }
}

function found(of) {
  return element("li", { class: of.weight },
    element("span", { class: "weight" }, of.weight), ` ${of.place}: ${of.say} `,
    element("span", { class: "from" }, of.from),
    of.field && isShown(of.field) && of.weight !== "note" ? goTo(of.field) : null);
}

function sheet(of) {
  return element("section", {}, element("h2", {}, of.heading), ...of.notes.map((note) => element("p", {}, note)),
    ...of.tables.map(([caption, rows]) => element("div", { class: "wide" }, element("table", {},
      element("caption", {}, caption), ...rows.map((row) => element("tr", {}, ...row.map((cell) => element("td", {}, cell))))))));
}

function madeShown(state) {
  if (state.said) {
    by("said").textContent = state.said;
    by("said").hidden = false;
  }
  const link = (name, words) => element("a", { href: "made/" + encodeURIComponent(name), target: "_blank", rel: "noopener" }, words);
  const bench = state.made.find((name) => name.endsWith("bench.html"));
  by("opens").replaceChildren(...(bench ? [link(bench, "Open the bench page: the numbers, and every program played")] : []));
  by("made").replaceChildren(...state.made.map((name) => element("li", {}, link(name, name))));
  // What refuses is told by the button too, before it is pressed.
  const made = state.shown && state.verdict.kind !== "refused";
  by("make").disabled = !made;
  by("order").disabled = !made || !state.fields.some((of) => of.key === "cut.makes" && of.value);
}

async function work(what) {
  by("said").hidden = false;
  by("said").textContent = "At work\u2026";
  await act(what, { replace: by("replace").checked });
  by("replace").checked = false;
  if (by("said").textContent === "At work\u2026") by("said").textContent = by("wrong").textContent;
}

async function held(file) {
  if (!file) return;
  by("said").hidden = false;
  by("said").textContent = `${file.name} is held against the job\u2026`;
  try {
    await arrived();
    const answer = await fetch("verify?name=" + encodeURIComponent(file.name), {
      method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: file,
    });
    const state = await read(answer);
    by("said").textContent = state.wrong;
    show(state);
  } catch (error) {
    by("said").textContent = "It could not be held against the job: " + error.message;
  }
}

function takesFiles() {
  by("make").addEventListener("click", () => work("make"));
  by("order").addEventListener("click", () => work("order"));
  by("file").addEventListener("change", () => held(by("file").files[0]));
  // What is dropped beside the box must not replace the page.
  for (const what of ["dragover", "drop"]) document.addEventListener(what, (event) => event.preventDefault());
  by("drop").addEventListener("dragover", () => by("drop").classList.add("over"));
  by("drop").addEventListener("dragleave", () => by("drop").classList.remove("over"));
  document.addEventListener("drop", (event) => {
    by("drop").classList.remove("over");
    held(event.dataTransfer && event.dataTransfer.files[0]);
  });
}

document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  const key = event.key.toLowerCase();
  const what = key === "s" ? "save" : key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : null;
  if (!what) return;
  event.preventDefault();
  // What is undone is shown in the very field that is typed in; what is saved is what stands there.
  if (what !== "save") typing = null;
  act(what);
});

// What has not arrived would be lost with the page.
window.addEventListener("beforeunload", (event) => {
  if (sending || waiting.size > 0) event.preventDefault();
});

let isLost = false;

async function poll() {
  try {
    if (!sending && !document.hidden) {
      const { revision } = await ask("revision");
      if (revision !== shown && !sending) show(await ask("state"));
      else if (isLost) told("");
      isLost = false;
    }
  } catch (error) {
    isLost = true;
    told(`seatcut draft does not answer: ${error.message}. Is it still running? What is typed is kept here until it does.`);
  }
  setTimeout(poll, 1000);
}

(async () => {
  form(await ask("questions"));
  for (const what of ["undo", "redo", "save", "theirs", "ours"]) by(what).addEventListener("click", () => act(what));
  by("jobs").addEventListener("change", () => act("open", { name: by("jobs").value }));
  for (const button of document.querySelectorAll(".new")) {
    button.addEventListener("click", async () => {
      await act("new", { tape: button.dataset.tape });
      const first = inputs.values().next().value;
      first.input.focus();
    });
  }
  takesFiles();
  show(await ask("state"));
  poll();
})().catch((error) => told("The page cannot be filled: " + error.message + ". Load it again."));
