// Drawing on the floor: corners dragged, tapped, typed, or moved by arrow keys; faults as one draws.
// Without this script the buttons of each row do the same by the laptop.
import { strides, write } from "./figures.js";
import { shape, toolbar, View, windowKey } from "./view.js";

const INK = "#0b4455";
const WRONG = "#9a1b1b";
const REACH = 24; // px from a corner within which a finger takes it
const form = document.getElementById("edit");
const rows = document.getElementById("rows");
const said = document.getElementById("said");
const tapKey = document.getElementById("tap");
const drawn = form ? JSON.parse(form.dataset.drawing) : null;
let spots = [];
let tapping = false;
let asked = 0;
let painted = new Set();
let later = 0;

const view = new View(document.getElementById("view"), {
  name: form ? "Plan of the floor. Corners are moved by the key at each corner." : "Plan of the floor",
  onTap: (place) => tapping && addCorner(place),
  grab: (event) => (form && rows ? grabbed(event) : null),
  onChange: () => paint(),
  rim: 0, // the ground drawn has its own
});
toolbar(document.getElementById("tools"), view);
view.box.addEventListener("keydown", (event) => windowKey(event, view));

function list() {
  return rows ? [...rows.children] : [];
}

function inputs(row) {
  return [row.querySelector('[name="x"]'), row.querySelector('[name="y"]')];
}

// -- the corners on the plan

function paint(wrong = painted) {
  painted = wrong;
  if (!form) return;
  const px = view.perPixel;
  const known = spots.map((spot) => spot && view.spot(spot));
  const chain = known.filter(Boolean);
  const made = [];
  if (chain.length > 1) {
    const way = `M${chain.map((spot) => spot.join(" ")).join("L")}${drawn.closed ? "Z" : ""}`;
    made.push(shape("path", { d: way, stroke: "#fff", "stroke-width": 6 }));
    made.push(shape("path", { d: way, stroke: INK, "stroke-width": 3, class: "drawn" }));
  }
  known.forEach((spot, number) => {
    if (!spot) return;
    const tone = wrong.has(number) ? WRONG : INK;
    const [x, y] = spot;
    made.push(shape("circle", { cx: x, cy: y, r: 11 * px, fill: "#fff", stroke: tone, "stroke-width": 3, class: "corner", "data-corner": number }));
    const letter = shape("text", { x, y: y + 4.5 * px, "font-size": 13 * px, "text-anchor": "middle", fill: tone, "font-weight": "bold" });
    letter.textContent = String(number + 1);
    made.push(letter);
  });
  view.live.replaceChildren(...made);
}

function grabbed(event) {
  const place = view.place(event);
  const [x, y] = view.spot(place);
  let best = null;
  spots.forEach((spot, number) => {
    if (!spot) return;
    const [a, b] = view.spot(spot);
    const far = Math.hypot(a - x, b - y) / view.perPixel;
    if (far < REACH && (!best || far < best.far)) best = { number, far };
  });
  if (!best) return null;
  const before = inputs(list()[best.number]).map((input) => input.value);
  const from = spots[best.number];
  return {
    move: (to) => put(best.number, to, usualStep()),
    end: (nothing) => {
      if (nothing) {
        inputs(list()[best.number]).forEach((input, axis) => (input.value = before[axis]));
        spots[best.number] = from;
        paint();
        list()[best.number].querySelector(".plan-move").focus();
      } else {
        tell(best.number);
        check();
      }
    },
  };
}

function usualStep() {
  return strides(drawn.system, drawn.mark_m)[0];
}

// Doors stand on the outline: their ends are drawn to it.
function onOutline(place) {
  const ring = drawn.outline;
  if (drawn.thing !== "door" || ring.length < 2) return null;
  let best = null;
  ring.forEach((a, n) => {
    const b = ring[(n + 1) % ring.length];
    const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
    const long2 = dx * dx + dy * dy;
    if (!long2) return;
    const share = Math.min(1, Math.max(0, ((place[0] - a[0]) * dx + (place[1] - a[1]) * dy) / long2));
    const near = [a[0] + share * dx, a[1] + share * dy];
    const far = Math.hypot(near[0] - place[0], near[1] - place[1]);
    if (!best || far < best.far) best = { near, far };
  });
  return best?.near ?? null;
}

function put(number, place, step) {
  const to = (onOutline(place) ?? place).map((part) => Math.round(part / step) * step);
  const snapped = onOutline(to) ?? to;
  spots[number] = snapped;
  inputs(list()[number]).forEach((input, axis) => {
    input.value = write("length", snapped[axis], { system: drawn.system, mark_m: drawn.mark_m });
  });
  paint();
}

function tell(number) {
  const [x, y] = inputs(list()[number]);
  said.textContent = `Corner ${number + 1} at ${x.value} right, ${y.value} up.`;
}

// -- rows

function addCorner(place) {
  const empty = list().findIndex((row) => inputs(row).every((input) => !input.value.trim()));
  let number = empty;
  if (number < 0) {
    if (list().length >= drawn.most) return;
    number = list().length;
    addRow(number);
  }
  put(number, place, usualStep());
  tell(number);
  check();
}

function addRow(number) {
  const made = list()[0].cloneNode(true);
  inputs(made).forEach((input) => (input.value = ""));
  made.querySelector(".plan-wrong").replaceChildren();
  rows.insertBefore(made, list()[number] ?? null);
  spots.splice(number, 0, null);
  renumber();
}

function renumber() {
  const all = list();
  all.forEach((row, n) => {
    const [x, y] = inputs(row);
    x.setAttribute("aria-label", `Corner ${n + 1}, right`);
    y.setAttribute("aria-label", `Corner ${n + 1}, up`);
    row.querySelector(".plan-move").setAttribute("aria-label", `Corner ${n + 1}: move with the arrow keys`);
    row.querySelector(".plan-wrong").id = `w-row-${n}`;
    const says = {
      up: `Corner ${n + 1}: earlier`,
      down: `Corner ${n + 1}: later`,
      add: `Add a corner behind corner ${n + 1}`,
      drop: `Take corner ${n + 1} out`,
    };
    for (const key of row.querySelectorAll('[name="do"]')) {
      const what = key.value.split(":")[0];
      key.value = `${what}:${n}`;
      key.setAttribute("aria-label", says[what]);
      key.disabled = (what === "up" && n === 0) || (what === "down" && n === all.length - 1);
    }
  });
}

const acts = {
  add: (n) => {
    if (list().length >= drawn.most) return;
    addRow(n + 1);
    inputs(list()[n + 1])[0].focus();
  },
  drop: (n) => {
    if (list().length === 1) return;
    list()[n].remove();
    spots.splice(n, 1);
    renumber();
    list()[Math.min(n, list().length - 1)].querySelector('[value^="drop"]').focus();
  },
  up: (n) => swap(n, n - 1),
  down: (n) => swap(n, n + 1),
};

function swap(n, other) {
  const [first, second] = n < other ? [n, other] : [other, n];
  rows.insertBefore(list()[second], list()[first]);
  [spots[first], spots[second]] = [spots[second], spots[first]];
  renumber();
  list()[other].querySelector(".plan-move").focus();
}

rows?.addEventListener("click", (event) => {
  const [what, n] = (event.target.closest('[name="do"]')?.value ?? "").split(":");
  if (!acts[what]) return;
  event.preventDefault();
  acts[what](Number(n));
  check();
});

rows?.addEventListener("keydown", (event) => {
  const key = event.target.closest(".plan-move");
  const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
  const way = ways[event.key];
  if (!key || !way) return;
  event.preventDefault();
  const number = list().indexOf(key.closest("li"));
  const [usual, large, finest] = strides(drawn.system, drawn.mark_m);
  const step = event.shiftKey ? large : event.altKey ? finest : usual;
  const from = spots[number] ?? [0, 0];
  put(number, [from[0] + way[0] * step, from[1] + way[1] * step], event.altKey ? finest : usual);
  view.see(spots[number]);
  tell(number);
  check();
});

rows?.addEventListener("focusin", (event) => {
  for (const row of list()) row.classList.toggle("here", row.contains(event.target));
});

tapKey?.addEventListener("click", () => setTapping(!tapping));
function setTapping(on) {
  tapping = on;
  tapKey?.setAttribute("aria-pressed", String(on));
}

// -- what the laptop says to it

form?.addEventListener("input", check);
form?.addEventListener("change", check);

function check() {
  clearTimeout(later);
  later = setTimeout(look, 250);
}

function draft() {
  const data = new FormData(form);
  const fields = {};
  for (const [name, value] of data) if (name.startsWith("entry-")) fields[name.slice(6)] = value;
  return {
    thing: data.get("thing"),
    was: data.get("was") || null,
    name: data.get("name") ?? "",
    rows: list().map((row) => inputs(row).map((input) => input.value)),
    fields,
  };
}

async function look({ faults = true } = {}) {
  const mine = (asked += 1);
  try {
    const answer = await fetch(form.dataset.look, {
      method: "POST",
      headers: { "Content-Type": "application/json", Accept: "application/json" },
      body: JSON.stringify(draft()),
    });
    if (!answer.ok || mine !== asked) return;
    const told = await answer.json();
    if (mine !== asked) return;
    if (!drawn.by_edge) spots = told.spots;
    if (faults) show(told);
    paint(faults ? new Set(Object.keys(told.rows).map(Number)) : painted);
    form.dataset.looked = String(mine);
  } catch {
    // No signal: it is said when it is saved.
  }
}

function show(told) {
  list().forEach((row, n) => {
    const found = told.rows[n] ?? [];
    row.classList.toggle("wrong", found.length > 0);
    fill(row.querySelector(".plan-wrong"), blankRow(row) ? [] : found);
  });
  for (const field of form.querySelectorAll("[data-entry]")) {
    const found = told.fields[field.dataset.entry] ?? [];
    field.classList.toggle("wrong", found.length > 0);
    fill(field.querySelector(".plan-wrong"), found);
  }
  fill(document.getElementById("whole"), told.whole);
}

const blankRow = (row) => inputs(row).every((input) => !input.value.trim());

// The same four parts as everywhere.
function fill(box, found) {
  box?.replaceChildren(
    ...found.map((one) => {
      const fault = document.createElement("div");
      fault.className = "fault";
      const what = document.createElement("p");
      what.className = "fault-what";
      what.textContent = one.place ? `${one.place}: ${one.what}` : one.what;
      const parts = document.createElement("dl");
      for (const [name, words] of [["given", one.value], ["limit", one.limit], ["do next", one.remedy]]) {
        const part = document.createElement("div");
        const [dt, dd] = [document.createElement("dt"), document.createElement("dd")];
        dt.textContent = name;
        dd.textContent = words;
        part.append(dt, dd);
        parts.append(part);
      }
      fault.append(what, parts);
      return fault;
    }),
  );
}

async function begin() {
  if (form) {
    for (const key of form.querySelectorAll(".plan-move")) key.hidden = false;
    document.getElementById("keys").hidden = Boolean(drawn.by_edge);
    spots = list().map(() => null);
    if (list().length && list().every(blankRow)) setTapping(true);
    await look({ faults: false });
    if (!drawn.by_edge) for (const group of view.svg.querySelectorAll(".layer.edited")) group.remove();
  }
  document.documentElement.dataset.plan = "ready";
}
begin();
