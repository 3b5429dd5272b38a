// Asking about a shot that does not fit. It asks at once and never stands in the way: whoever goes on
// typing has not answered, and the shot stays marked on the map and in the list.
import { look } from "./check.js";
import { job, looksRight, RIGHT } from "./data.js";
import { keeper } from "./keeper.js";
import { write, writeGap } from "./rod.js";
import { $, jobId, make } from "./status.js";

const open = new Map(); // what was asked and not answered, by the id of the shot
let shown = "";

const reading = (value_m) => write(job.data.rod, value_m, job.data.step_m);

export const oddOnes = () => new Set([...open.keys(), ...fromLaptop().map((ask) => ask.row.id)]);

// The laptop's doubts about shots that still stand as it saw them.
function fromLaptop() {
  const right = looksRight();
  return job.suspects.flatMap((one) => {
    const row = job.rows.find((r) => one.ids.includes(r.id) && !r.struck && Math.abs(r.reading_m - one.reading_m) < 1e-4);
    if (!row || right.has(row.id)) return [];
    return [{ ...one, row, than: one.how === "neighbours" ? "the floor round it" : "the other shots on it" }];
  });
}

export function forget(id) {
  open.delete(id);
  if (shown === id) hideAsk();
}

export function hideAsk() {
  shown = "";
  $("ask").hidden = true;
}

// Looks at a row and asks when it is odd; gives whether it asked.
export function askAbout(row, on) {
  forget(row.id);
  if (looksRight().has(row.id)) return false;
  const odd = look(row, job.rows, job.data);
  if (odd) show(odd, on);
  return Boolean(odd);
}

// What only the laptop found, about a shot of this phone; one at a time.
export function askFromLaptop(on) {
  if (shown) return;
  const one = fromLaptop().find((ask) => ask.row.mine && !open.has(ask.row.id));
  if (one) show(one, on);
}

const capital = (text) => text[0].toUpperCase() + text.slice(1);

function show(ask, on) {
  const { row } = ask;
  const { rod, step_m } = job.data;
  open.set(row.id, ask);
  shown = row.id;
  const gap = writeGap(rod, ask.gap_m, step_m);
  const more = ask.gap_m > 0 ? "more" : "less";
  const slip = ask.slip ? ` ${capital(ask.slip)}?` : ask.benchmark ? " Has the laser moved?" : "";
  $("ask-words").textContent = `${row.point}: ${row.reading} is ${gap} ${more} than ${ask.than} (${reading(ask.fits_m)}).${slip} Is it right?`;
  const keys = [key("It is right", () => {
    forget(row.id);
    keeper.keep(jobId, "note-kept", { text: RIGHT, about: row.id });
    on.answered(row);
  })];
  if (ask.instead_m !== null && ask.instead_m >= 0) {
    keys.push(key(`${reading(ask.instead_m)} instead`, () => on.replace(row, { reading: reading(ask.instead_m) })));
  } else if (ask.benchmark && on.gridNow()) {
    const point = on.gridNow();
    keys.push(key(`It was ${point.label}`, () => on.replace(row, { point: point.label, kind: "floor" })));
  }
  keys.push(key(`Shoot ${row.point} again`, () => on.again(row)));
  const later = key("Later", hideAsk);
  later.className = "later"; // only where the question lies over the keys
  keys.push(later);
  $("ask-keys").replaceChildren(...keys);
  $("ask").hidden = false;
  if (!matchMedia("(prefers-reduced-motion: reduce)").matches) navigator.vibrate?.([80, 60, 80]);
}

const key = (words, act) => make("button", words, { type: "button", onclick: act });
