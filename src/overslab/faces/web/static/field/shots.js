// The page that takes shots: what is shot next, the keys, what was kept last, the map.
import { askAbout, askFromLaptop, forget, hideAsk, oddOnes } from "./asking.js";
import { checkDue } from "./check.js";
import { openChoose, startChoose } from "./choosing.js";
import { job, startJob, watchJob } from "./data.js";
import { lastAction } from "./fold.js";
import { freshId, keeper } from "./keeper.js";
import { drawMap, mapWords, nearestTo } from "./map.js";
import { buildPad, Entry } from "./pad.js";
import { FORMS, readRod, write } from "./rod.js";
import { send } from "./send.js";
import { $, jobId, start } from "./status.js";
import { nextPoint } from "./walk.js";

const WIDE = 960; // from here the map stands large beside the keys
const MORE_BEFORE_ASKED_AGAIN = 5;
const state = { setup: "1", chosen: null, putOff: 0, typed: false, pending: [], told: "", thenMove: false };
let entry = null;
let pad = null;
let lockedTo = "";

const rowsNow = () => [...job.rows, ...state.pending.filter((row) => !job.rows.some((r) => r.id === row.id))];
const standing = () => rowsNow().filter((row) => !row.struck && !row.refused);
const lastOwn = () => standing().findLast((row) => row.mine);

function gridNow() {
  const labels = new Map(job.data.grid.map((point) => [point.label, point]));
  const trail = standing().filter((row) => row.kind === "floor" && labels.has(row.point)).map((row) => labels.get(row.point));
  return nextPoint(job.data.grid, new Set(trail.map((point) => point.label)), trail);
}

// What the rod goes to next: what was chosen, a check that is due, or the grid's next point.
function target() {
  if (state.chosen) return state.chosen;
  const grid = gridNow();
  const gridDone = job.data.grid.length > 0 && !grid;
  const due = checkDue(standing(), job.data, state.setup, { putOff: state.putOff, gridDone });
  if (due) return { ...due, setup: state.setup, due: true };
  if (grid) return { point: grid.label, kind: "floor", setup: state.setup, x_m: grid.x_m, y_m: grid.y_m };
  return null;
}

function cellsOf(shot, reading) {
  const cells = { point: shot.point, x: shot.x, y: shot.y, grid: shot.grid, setup: shot.setup, reading, kind: shot.kind, note: shot.note };
  return Object.fromEntries(Object.entries(cells).filter(([, text]) => text));
}

function readingNow() {
  if (state.typed) {
    const text = $("reading").value.trim();
    return { text, value_m: readRod(job.data.rod, text), missing: `Write it like ${FORMS[job.data.rod]}.` };
  }
  return { text: entry.text, value_m: entry.value_m, missing: `Tap the ${entry.missing} first.` };
}

// Shows at once, tells of "kept" only when the stores have answered.
async function keepEvent(kind, body, shot, words) {
  const mine = { ...shot, reading: body.reading, reading_m: readRod(job.data.rod, body.reading), mine: true, struck: false };
  const entryId = freshId(); // the row shown at once and the kept one are the same row by it
  if (kind === "shot-kept") state.pending.push({ ...mine, id: entryId });
  entry.carry(mine.reading_m);
  state.typed = false;
  const told = `${body.point} ${write(job.data.rod, mine.reading_m, job.data.step_m)}`;
  state.told = `${told} …`;
  show();
  const kept = await keeper.keep(jobId, kind, body, entryId);
  state.pending = state.pending.filter((row) => row.id !== entryId);
  state.told = kept.whole ? `${told} ${words}` : partly(told, kept.in);
  if (!matchMedia("(prefers-reduced-motion: reduce)").matches) navigator.vibrate?.(kept.in.length ? 40 : [200, 100, 200]);
  const id = kind === "shot-kept" ? kept.event.id : body.of;
  const row = job.rows.find((one) => one.id === id);
  if (row) askAbout(row, on);
  show();
  send();
}

function partly(told, took) {
  if (!took.length) return `${told} is NOT kept: write it on paper, then look at what is kept where.`;
  return `${told} kept in ${took[0] === "log" ? "the first" : "the second"} of two stores only; the other failed.`;
}

function keep() {
  const shot = target();
  const { text, value_m, missing } = readingNow();
  if (!shot) return say("Choose a point first.");
  if (!Number.isFinite(value_m)) return say(missing);
  const again = shot.replaces;
  state.chosen = null;
  if (shot.due) state.putOff = 0;
  hideAsk();
  if (state.thenMove) moveLaser();
  const body = { ...cellsOf(shot, text), ...(again ? { of: again } : {}) };
  return keepEvent(again ? "shot-replaced" : "shot-kept", body, shot, again ? "put right on this phone" : "kept on this phone");
}

function replace(row, change) {
  forget(row.id);
  const shot = { ...row, ...change };
  return keepEvent("shot-replaced", { ...cellsOf(shot, shot.reading), of: row.id }, shot, "put right on this phone");
}

function instead() {
  const row = lastOwn();
  const { text, value_m, missing } = readingNow();
  if (!row) return say("There is no shot of this phone to put right.");
  if (!Number.isFinite(value_m)) return say(missing);
  return replace(row, { reading: text });
}

async function undo() {
  const refused = new Set(keeper.refused(jobId).map((event) => event.id));
  const action = lastAction(keeper.ofJob(jobId), refused);
  if (!action) return;
  hideAsk();
  const kept = await keeper.keep(jobId, "undone", { of: action.id });
  const what = job.rows.find((row) => row.id === (action.body.of ?? action.id));
  state.told = kept.in.length ? `Taken back: ${action.body.point ?? what?.point ?? ""} ${action.body.reading ?? ""}` : "The undo is NOT kept.";
  entry.carry(lastOwn()?.reading_m ?? NaN);
  show();
  send();
}

function say(words) {
  state.told = words;
  show();
}

function moveLaser() {
  state.thenMove = false;
  state.chosen = null;
  state.putOff = 0;
  state.setup = /^\d+$/.test(state.setup) ? String(Number(state.setup) + 1) : `${state.setup}b`;
}

// The last look at the benchmark belongs before the move; a second press moves without it.
function laserMoved() {
  const here = standing().filter((row) => row.setup === state.setup);
  const checked = ["benchmark", "check"].includes(here.at(-1)?.kind);
  const name = job.data.benchmarks[0]?.name;
  if (here.length && !checked && name && !state.thenMove) {
    state.thenMove = true;
    state.chosen = { point: name, kind: "check", setup: state.setup, due: true, why: "Before the laser moves: closing check" };
  } else moveLaser();
  turnTo("keys");
}

const on = {
  answered: (row) => say(`${row.point} stands as it is.`),
  replace,
  gridNow,
  again(row) {
    forget(row.id);
    state.chosen = { ...row, replaces: row.id, why: "again" };
    show();
  },
};

const PANELS = { keys: ["pad"], map: ["whole-map"], choose: ["choose"] };
let panel = "keys";

function turnTo(name) {
  panel = name;
  for (const [key, ids] of Object.entries(PANELS)) for (const id of ids) $(id).hidden = key !== name;
  $("target").setAttribute("aria-expanded", String(name === "choose"));
  $("map-key").setAttribute("aria-expanded", String(name === "map"));
  document.body.dataset.panel = name;
  show();
  settle();
  if (name === "choose") $("c-grid").focus();
  else if (name === "map") $("map-back").focus();
}

// The keys where the thumb expects them: on a short screen the head of the page is scrolled away.
function settle() {
  const short = $("stand").getBoundingClientRect().bottom + scrollY > innerHeight;
  scrollTo({ top: panel === "keys" && short ? $("stand").offsetTop : 0 });
}

function show() {
  if (!pad) return;
  const shot = target();
  const last = lastOwn();
  $("target-point").textContent = shot ? shot.point : "Choose";
  const grid = job.data.grid.length ? "the grid is full" : "a point";
  $("target-words").textContent = shot ? (shot.why ?? `${shot.kind}, set-up ${shot.setup}`) : grid;
  $("target").classList.toggle("due", Boolean(shot?.due || shot?.replaces));
  $("skip-check").hidden = !(shot?.due || shot?.replaces);
  $("reading-name").textContent = `Rod reading${shot ? ` at ${shot.point}` : ""}`;
  if (!state.typed) $("reading").value = entry.text;
  $("reading").classList.toggle("whole", entry.whole || state.typed);
  const book = standing().at(-1);
  const before = last ? `${last.point} ${last.reading}` : book ? `Last in the book: ${book.point} ${book.reading}` : "No shot yet.";
  const told = state.told || before;
  if ($("last-words").textContent !== told) $("last-words").textContent = told;
  const ready = entry.whole || state.typed;
  key("keep", shot ? (shot.replaces ? `Put ${shot.point} right` : `Keep ${shot.point}`) : "Keep", Boolean(shot) && ready);
  key("instead", last ? `Fix ${last.point}` : "Fix", Boolean(last) && ready);
  $("undo").disabled = !lastAction(keeper.ofJob(jobId), new Set(keeper.refused(jobId).map((e) => e.id)));
  pad.refresh();
  const drawing = { data: job.data, rows: standing(), next: shot, odd: oddOnes() };
  drawMap($("map"), { ...drawing, labels: innerWidth >= WIDE });
  if (panel === "map") drawMap($("big-map"), { ...drawing, labels: true });
  $("map-words").textContent = mapWords(drawing);
}

function key(id, words, ready) {
  const button = $(id);
  if (button.textContent !== words) button.textContent = words;
  button.setAttribute("aria-disabled", String(!ready));
}

// The rod's convention is locked by the job; the keys are built once it is known.
function build() {
  const { rod, step_m } = job.data;
  if (lockedTo === `${rod} ${step_m}`) return;
  lockedTo = `${rod} ${step_m}`;
  entry = new Entry(rod, step_m);
  pad = buildPad($("pad"), entry, {
    tap(part, value) {
      state.typed = false;
      entry.tap(part, value);
      show();
    },
    keep,
    instead,
  });
  $("reading-forms").textContent = `Tap the keys, or type it like ${FORMS[rod]} and press Enter.`;
}

function wire() {
  $("stand").hidden = false;
  $("undo").addEventListener("click", undo);
  $("target").addEventListener("click", () => {
    if (panel === "choose") return turnTo("keys");
    openChoose(state, target(), { choose });
    return turnTo("choose");
  });
  $("map-key").addEventListener("click", () => turnTo(panel === "map" ? "keys" : "map"));
  $("map-back").addEventListener("click", () => turnTo("keys"));
  $("big-map").addEventListener("click", (event) => {
    const point = nearestTo($("big-map"), event, job.data, standing());
    if (point) choose({ point: point.label, kind: "floor", setup: state.setup, x_m: point.x_m, y_m: point.y_m });
  });
  $("skip-check").addEventListener("click", () => {
    if (state.thenMove) moveLaser();
    const here = standing().filter((row) => row.setup === state.setup);
    const latest = here.findLastIndex((row) => ["benchmark", "check"].includes(row.kind));
    if (!state.chosen) state.putOff = here.length - 1 - latest + MORE_BEFORE_ASKED_AGAIN;
    state.chosen = null;
    show();
  });
  startChoose({ choose, back: () => turnTo("keys"), laserMoved });
  wireTyping();
}

function choose(chosen) {
  state.chosen = chosen;
  state.setup = chosen.setup;
  turnTo("keys");
}

// A keyboard types into the reading from anywhere on the page; Enter keeps.
function wireTyping() {
  const field = $("reading");
  field.addEventListener("beforeinput", () => {
    if (!state.typed) field.value = "";
    state.typed = true;
  });
  field.addEventListener("input", show);
  field.addEventListener("keydown", (event) => {
    if (event.key === "Enter") keep();
    if (event.key === "Escape") {
      state.typed = false;
      show();
    }
  });
  addEventListener("keydown", (event) => {
    const typing = /^(INPUT|SELECT|TEXTAREA)$/.test(event.target.tagName);
    if (typing || panel !== "keys" || event.ctrlKey || event.metaKey || event.altKey) return;
    if (/^[\d.]$/.test(event.key)) field.focus();
  });
}

function renew() {
  build();
  if (job.data.name) {
    $("job-name").textContent = job.data.name;
    document.title = `Shots, ${job.data.name}`;
  }
  show();
  askFromLaptop(on);
}

build();
wire();
watchJob(renew);
await start({ isIdle: () => !entry.started && !state.typed });
await startJob({ suspects: true });
state.setup = lastOwn()?.setup ?? standing().at(-1)?.setup ?? "1";
entry.carry(lastOwn()?.reading_m ?? standing().at(-1)?.reading_m ?? NaN);
pad.turnFeet(entry.values[0]);
show();
settle();
document.body.dataset.ready = "yes";
