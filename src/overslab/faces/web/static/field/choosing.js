// Choosing what to shoot next: a benchmark, a point that the job leans on, any grid point, or a point
// with a name and a place of its own.
import { job } from "./data.js";
import { readLength } from "./rod.js";
import { $, make } from "./status.js";

const PLACED = ["floor", "sill", "step", "drive", "asbuilt"];

const known = (point) => job.rows.find((row) => row.point === point && !row.struck);

function fault(words, field) {
  $("c-fault").hidden = !words;
  $("c-fault").textContent = words;
  if (words) $(field).focus();
}

function fillGrid() {
  const shot = new Set(job.rows.filter((row) => !row.struck).map((row) => row.point));
  const options = job.data.grid.map((point) =>
    make("option", shot.has(point.label) ? `${point.label}, shot` : point.label, { value: point.label }));
  $("c-grid").replaceChildren(make("option", "none", { value: "" }), ...options);
}

function fillQuick(state, on) {
  const keys = [];
  const seen = new Set(job.rows.filter((row) => row.setup === state.setup && !row.struck).map((row) => row.point));
  for (const benchmark of job.data.benchmarks) {
    const kind = seen.has(benchmark.name) ? "check" : "benchmark";
    keys.push(make("button", `${benchmark.name}, ${kind}`, { type: "button", title: benchmark.where,
      onclick: () => on.choose({ point: benchmark.name, kind, setup: state.setup }) }));
  }
  $("quick").replaceChildren(...keys);
}

// Sills, steps and the like that heights in the job are taken from, and that nobody shot yet.
function fillWanted() {
  const missing = job.data.wanted.filter((one) => !known(one.point));
  const options = missing.map((one) => make("option", `${one.point}, ${one.about || one.kind}`, { value: one.point }));
  $("c-wanted").replaceChildren(make("option", missing.length ? "none" : "none is missing", { value: "" }), ...options);
}

// A named point from the list: its name and kind stand there, its place is asked for.
function begin({ point, kind }) {
  $("c-grid").value = "";
  $("c-point").value = point;
  $("c-kind").value = kind;
  const before = known(point);
  $("c-x").value = before?.x ?? "";
  $("c-y").value = before?.y ?? "";
  fault(before ? "" : `Where is ${point}? x and y, each with its unit.`, "c-x");
}

export function openChoose(state, target, on) {
  fillGrid();
  fillWanted();
  fillQuick(state, on);
  $("c-grid").value = job.data.grid.some((p) => p.label === target?.point) ? target.point : "";
  $("c-point").value = "";
  $("c-x").value = $("c-y").value = $("c-note").value = "";
  $("c-kind").value = "floor";
  $("c-setup").value = state.setup;
  fault("");
}

// The choice as a target, or null when something is still missing (and said so).
function choice() {
  const point = $("c-point").value.trim() || $("c-grid").value;
  const [kind, setup] = [$("c-kind").value, $("c-setup").value.trim()];
  const [x, y] = [$("c-x").value.trim(), $("c-y").value.trim()];
  if (!point) return void fault("Say which point: choose one of the grid, or give a name.", "c-point");
  if (!setup) return void fault("Say from which stand of the laser: the first is 1.", "c-setup");
  if (Boolean(x) !== Boolean(y)) return void fault("Both x and y are needed, or none.", x ? "c-y" : "c-x");
  for (const field of ["c-x", "c-y"]) {
    const typed = $(field).value.trim();
    if (typed && !Number.isFinite(readLength(typed))) {
      return void fault(`${typed} cannot be read. Write it with its unit, like 12' 6" or 3.8 m.`, field);
    }
  }
  const grid = job.data.grid.find((one) => one.label === point.toUpperCase());
  const onGrid = grid && ["floor", "asbuilt"].includes(kind) && !x;
  if (PLACED.includes(kind) && !onGrid && !x && !known(point)?.x) {
    return void fault(`Where is ${point}? x and y, each with its unit.`, "c-x");
  }
  const place = onGrid ? grid : x ? { x_m: readLength(x), y_m: readLength(y) } : known(point);
  const before = x ? null : known(point);
  return { point: onGrid ? grid.label : point, kind, setup, note: $("c-note").value.trim(),
    x: x || (before?.x ?? ""), y: y || (before?.y ?? ""), x_m: place?.x_m, y_m: place?.y_m };
}

export function startChoose(on) {
  $("choose-form").addEventListener("submit", (event) => {
    event.preventDefault();
    const chosen = choice();
    if (chosen) on.choose(chosen);
  });
  $("choose-back").addEventListener("click", on.back);
  $("laser-moved").addEventListener("click", on.laserMoved);
  $("c-grid").addEventListener("change", () => {
    if ($("c-grid").value) $("c-point").value = $("c-x").value = $("c-y").value = $("c-wanted").value = "";
  });
  $("c-wanted").addEventListener("change", () => {
    const wanted = job.data.wanted.find((one) => one.point === $("c-wanted").value);
    if (wanted) begin(wanted);
  });
}
