// The page of the plan: tap for values, layers, sections. Without this script the form does the same.
import { read, strides, write } from "./figures.js";
import { Lattice } from "./lattice.js";
import { Markers } from "./markers.js";
import { toolbar, View, windowKey } from "./view.js";

const form = document.getElementById("ask");
const { job, version } = form.dataset;
const narrow = matchMedia("(max-width: 40rem)").matches;
const size = narrow ? "narrow" : "wide";
const values = document.getElementById("values");
const hint = document.getElementById("hint");
const strip = document.getElementById("strip");
const said = document.getElementById("said");
const cutKey = document.getElementById("cut");
const section = document.getElementById("section");
const cutSaid = document.getElementById("cut-said");
const layers = document.getElementById("layers");
const fields = Object.fromEntries(["x", "y", "ax", "ay", "bx", "by"].map((id) => [id, document.getElementById(id)]));
const address = (what, query) =>
  `/jobs/${job}/plan/${what}?${new URLSearchParams({ ...query, v: version })}`;

let lattice = null;
let units = null;
let at = null;
let line = { a: null, b: null };
let cutting = false;
let asking = 0;

const view = new View(document.getElementById("view"), {
  name: "Plan of the floor. Arrows move the mark, plus and minus zoom.",
  onTap: (place) => (cutting ? setNextEnd(place) : readAt(place)),
  grab: (event, place) => {
    const end = event.target.closest?.("[data-end]")?.dataset.end;
    if (end) return { move: (to) => setEnd(end, to, false), end: () => drawSection() };
    if (!cutting) return null;
    return {
      move: (to) => {
        line.a = place;
        setEnd("b", to, false);
      },
      end: (nothing) => !nothing && finishCut(),
    };
  },
  onChange: () => marks.draw(view, { at, line }),
});
const marks = new Markers(view.live);
toolbar(document.getElementById("tools"), view);
document.getElementById("keys").hidden = false;
document.getElementById("redraw").hidden = true;
if (!at) hint.textContent = "Tap the plan, or type a place below.";

async function ask(what, query) {
  const answer = await fetch(address(what, query), { headers: { Accept: "application/json" } });
  if (!answer.ok) {
    const told = await answer.json().catch(() => ({}));
    throw new Error(told.faults?.map((fault) => `${fault.what}. ${fault.remedy}`).join(" ") || "It was not answered.");
  }
  return answer;
}

// -- values at a place

function tell(words) {
  for (const field of values.querySelectorAll("[data-value]")) {
    field.textContent = words ? words[field.dataset.value] : "–";
  }
  strip.hidden = !words;
  strip.textContent = words
    ? `old ${words.old} · new ${words.new} · ${words.thickness} thick, ± ${words.give_or_take} · rod ${words.rod_new}`
    : "";
}

function quick(place) {
  const known = lattice?.at(...place);
  if (!known) return null;
  const height = (value) => write("height", value, units);
  const thick = (value) => write("thickness", value, units);
  return {
    old: height(known.old_m),
    new: height(known.new_m),
    thickness: thick(known.thickness_m),
    give_or_take: thick(known.plus_or_minus_m),
    rod_new: height(known.rod_new_m),
    rod_old: height(known.rod_old_m),
  };
}

// At once off the lattice, then exactly from the laptop when it answers.
async function readAt(place) {
  at = place;
  marks.draw(view, { at, line });
  document.getElementById("place-faults")?.remove();
  if (units) {
    fields.x.value = write("length", place[0], units);
    fields.y.value = write("length", place[1], units);
    hint.textContent = `At x ${fields.x.value}, y ${fields.y.value}, off the lattice.`;
  }
  tell(quick(place));
  const mine = (asking += 1);
  try {
    const exact = await (await ask("at.json", { x_m: place[0].toFixed(5), y_m: place[1].toFixed(5) })).json();
    if (mine !== asking) return;
    tell(exact);
    hint.textContent = `At x ${exact.x}, y ${exact.y}.`;
    said.textContent = `Old floor ${exact.old}, new top ${exact.new}, thickness ${exact.thickness}, give or take ${exact.give_or_take}, rod on the new top ${exact.rod_new}.`;
  } catch (trouble) {
    if (mine !== asking) return;
    if (!quick(place)) {
      tell(null);
      strip.hidden = false;
      strip.textContent = trouble instanceof TypeError ? "" : trouble.message;
    }
    if (trouble instanceof TypeError) hint.textContent += " No signal: this is read off the lattice.";
    else hint.textContent = trouble.message;
    said.textContent = hint.textContent;
  }
}

function typed(x, y) {
  const place = [read(fields[x].value, units?.system), read(fields[y].value, units?.system)];
  return place.includes(null) ? null : place;
}

// -- layers

let drawing = 0;
async function redraw() {
  const show = [...layers.querySelectorAll("input:checked")].map((box) => box.value);
  for (const box of layers.querySelectorAll("input")) {
    for (const group of view.svg.querySelectorAll(`.layer.${box.value}`)) {
      if (group.id.endsWith(`-${box.value}`)) group.style.display = box.checked ? "" : "none";
    }
  }
  const mine = (drawing += 1);
  try {
    const text = await (await ask("drawing.svg", { size, chosen: "1", show: show.join(",") })).text();
    if (mine !== drawing) return;
    const made = document.importNode(new DOMParser().parseFromString(text, "image/svg+xml").documentElement, true);
    view.svg.replaceWith(made);
    view.adopt(made);
  } catch {
    // What is there already is shown or hidden; the letters are placed anew when there is signal.
  }
}
layers.addEventListener("change", redraw);

// -- section

function setEnd(end, place, then = true) {
  line[end] = place;
  if (units) {
    for (const name of ["a", "b"]) {
      if (!line[name]) continue;
      fields[`${name}x`].value = write("length", line[name][0], units);
      fields[`${name}y`].value = write("length", line[name][1], units);
    }
  }
  marks.draw(view, { at, line });
  if (then) drawSection();
}

function setNextEnd(place) {
  if (line.a && !line.b) {
    setEnd("b", place, false);
    finishCut();
  } else {
    line = { a: null, b: null };
    setEnd("a", place, false);
    cutSaid.textContent = "First end is set; tap the other.";
  }
}

function finishCut() {
  setCutting(false);
  drawSection();
}

function setCutting(on) {
  cutting = on;
  if (on) line = { a: null, b: null };
  cutKey?.setAttribute("aria-pressed", String(on));
  if (on) cutSaid.textContent = "Tap one end of the section and then the other, or drag from end to end.";
}
cutKey?.addEventListener("click", () => setCutting(!cutting));

let cutAsked = 0;
async function drawSection() {
  if (!line.a || !line.b || !section) return;
  const [a, b] = [line.a, line.b].map((place) => place.map((part) => part.toFixed(4)));
  const mine = (cutAsked += 1);
  try {
    const query = { ax_m: a[0], ay_m: a[1], bx_m: b[0], by_m: b[1], size };
    const text = await (await ask("section.svg", query)).text();
    if (mine !== cutAsked) return;
    const made = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
    document.getElementById("line-faults")?.remove();
    section.replaceChildren(document.importNode(made, true));
    section.hidden = false;
    cutSaid.textContent = "Section drawn below the plan.";
  } catch (trouble) {
    if (mine !== cutAsked) return;
    section.hidden = false;
    const words = document.createElement("p");
    words.textContent = trouble instanceof TypeError ? "No signal: a section is drawn by the laptop." : trouble.message;
    section.replaceChildren(words);
    cutSaid.textContent = words.textContent;
  }
}

// -- keys and the form

view.box.addEventListener("keydown", (event) => {
  if (windowKey(event, view)) return;
  const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  const way = ways[event.key];
  if (way && !event.ctrlKey && !event.metaKey) {
    event.preventDefault();
    const [fine, usual] = units ? strides(units.system, units.mark_m) : [0.025, 0.3];
    const step = event.shiftKey ? fine : usual;
    const from = at ?? middle();
    const to = [from[0] + way[0] * step, from[1] + way[1] * step];
    view.see(to);
    readAt(to);
  } else if ((event.key === "a" || event.key === "b") && at && cutKey && !event.ctrlKey && !event.metaKey) {
    setEnd(event.key, at);
  } else if (event.key === "Escape" && cutting) {
    setCutting(false);
  }
});

function middle() {
  const [x, y, w, h] = view.svg.dataset.floor.split(" ").map(Number);
  return [view.west + (x + w / 2 - view.left) / view.perM, view.north - (y + h / 2 - view.top) / view.perM];
}

// What can be read here is shown without loading the page anew; the rest is for the laptop to read.
form.addEventListener("submit", (event) => {
  const lines = [typed("ax", "ay"), typed("bx", "by")];
  const place = typed("x", "y");
  const askedLine = ["ax", "ay", "bx", "by"].some((id) => fields[id]?.value.trim());
  const askedPlace = fields.x.value.trim() || fields.y.value.trim();
  if ((askedLine && lines.includes(null)) || (askedPlace && !place) || !units) return;
  event.preventDefault();
  if (place) {
    view.see(place);
    readAt(place);
  }
  if (askedLine) {
    [line.a, line.b] = lines;
    setEnd("b", line.b);
  }
});

async function begin() {
  try {
    const told = await (await ask("values.json", {})).json();
    units = { system: told.system, mark_m: told.mark_m };
    lattice = new Lattice(told);
  } catch {
    // Values then come from the laptop one by one.
  }
  at ??= typed("x", "y");
  if (fields.ax?.value && !line.a) {
    const [a, b] = [typed("ax", "ay"), typed("bx", "by")];
    if (a && b) line = { a, b };
  }
  view.svg.querySelector(".layer.asked")?.remove();
  marks.draw(view, { at, line });
  document.documentElement.dataset.plan = "ready";
}

if (narrow) await redraw();
begin();
