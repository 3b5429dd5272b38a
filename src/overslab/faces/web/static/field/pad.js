// The keys for a rod reading: one tap a part, every part in sight at once, keys of 64 px and more.
// The first parts carry over from the last reading, so that a like one needs only its last part.
import { metres, partsOf, splitUp, write as writeReading } from "./rod.js";

const COLUMNS = 5;

// Where each key stands: { part, value, column, row, wide, tall }; rows counts the rows used.
export function layOut(convention, parts, feetFrom) {
  return convention === "feet-inches" ? besideOneAnother(parts, feetFrom) : inBlocks(parts, feetFrom);
}

// Nobody's rod needs all feet at once: a key's breadth of them, and one key for the next ones.
const shownFeet = { "feet-inches": 8, tenths: 9 };

// Feet over inches on the left, the fraction down the right side: it is tapped on every shot.
function besideOneAnother(parts, feetFrom) {
  const keys = [];
  const put = (part, values, { row, columns, left = 1, wide = 1, tall = 1 }) =>
    values.forEach((value, i) =>
      keys.push({ part, value, column: left + (i % columns) * wide, row: row + Math.floor(i / columns) * tall, wide, tall }),
    );
  put(0, parts[0].values.slice(feetFrom, feetFrom + shownFeet["feet-inches"]), { row: 1, columns: 3 });
  put(1, parts[1].values, { row: 4, columns: 3 });
  const shares = parts[2]?.values ?? [];
  if (shares.length === 16) put(2, shares, { row: 1, columns: 2, left: 4 });
  else if (shares.length) put(2, shares, { row: 1, columns: 1, left: 4, wide: 2, tall: 8 / shares.length });
  if (parts[3]) put(3, parts[3].values, { row: 9, columns: 4 });
  const more = { column: 3, row: 3 };
  return { keys, more, keep: { column: 1, row: 8, wide: 2 }, instead: { column: 3, row: 8 }, rows: parts[3] ? 9 : 8 };
}

// Digits: a block of ten for each place, top to bottom as the number is said.
function inBlocks(parts, feetFrom) {
  const keys = [];
  let row = 1;
  const feet = parts[0].name === "feet";
  parts.forEach((part, at) => {
    const values = at === 0 && feet ? part.values.slice(feetFrom, feetFrom + shownFeet.tenths) : part.values;
    values.forEach((value, i) =>
      keys.push({ part: at, value, column: 1 + (i % COLUMNS), row: row + Math.floor(i / COLUMNS), wide: 1, tall: 1 }),
    );
    row += Math.ceil(values.length / COLUMNS);
  });
  const more = feet ? { column: COLUMNS, row: 2 } : null;
  return { keys, more, keep: { column: 1, row, wide: 3 }, instead: { column: 4, row, wide: 2 }, rows: row };
}

// What has been tapped of the reading that is being made.
export class Entry {
  constructor(convention, step_m) {
    Object.assign(this, { convention, step_m, parts: partsOf(convention, step_m) });
    this.values = this.parts.map(() => null);
    this.tapped = this.parts.map(() => false);
  }

  carry(value_m) {
    this.values = Number.isFinite(value_m) ? splitUp(this.parts, value_m) : this.parts.map(() => null);
    this.values[this.values.length - 1] = null; // the last part is said anew for every shot
    this.tapped = this.parts.map(() => false);
  }

  // A new foot makes the inch that was carried over doubtful, so it is asked for again.
  tap(part, value) {
    for (let i = part + 1; i < this.values.length; i += 1) if (!this.tapped[i]) this.values[i] = null;
    this.values[part] = value;
    this.tapped[part] = true;
  }

  get whole() {
    return this.values.every((value) => value !== null);
  }

  get started() {
    return this.tapped.some(Boolean);
  }

  get missing() {
    return this.parts.find((_, i) => this.values[i] === null)?.name ?? "";
  }

  get value_m() {
    return this.whole ? metres(this.parts, this.values) : NaN;
  }

  get text() {
    if (this.whole) return writeReading(this.convention, this.value_m, this.step_m);
    const shown = this.values.map((value, i) => (value === null ? "–" : this.part(i, value)));
    return this.convention === "feet-inches" ? shown.join(" ") : shown.join("");
  }

  part(i, value) {
    if (this.convention === "feet-inches") return i === 1 ? String(value) : this.parts[i].label(value);
    return i === 0 ? `${value}.` : String(value);
  }
}

// A fraction stands one above the other: two short numbers are read from farther off than a long one.
function write(button, words) {
  const parts = words.match(/^(\+?)(\d+)\/(\d+)$/);
  if (!parts) {
    if (button.textContent !== words) button.textContent = words;
    return;
  }
  const [top, bottom] = [document.createElement("span"), document.createElement("span")];
  [top.textContent, bottom.textContent] = [parts[1] + parts[2], parts[3]];
  const both = document.createElement("span");
  both.className = "fraction";
  both.append(top, bottom);
  button.replaceChildren(both);
}

// Builds the keys into `box`; gives { refresh, turnFeet }. on: { tap(part, value), keep(), instead() }.
export function buildPad(box, entry, on) {
  let feetFrom = entry.convention === "feet-inches" ? 1 : 0;
  const parts = entry.parts;

  function key(name, at, act) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = `key ${name}`;
    button.style.gridColumn = `${at.column} / span ${at.wide ?? 1}`;
    button.style.gridRow = `${at.row} / span ${at.tall ?? 1}`;
    button.addEventListener("click", act);
    box.append(button);
    return button;
  }

  function build() {
    box.replaceChildren();
    const plan = layOut(entry.convention, parts, feetFrom);
    box.dataset.rows = plan.rows;
    for (const at of plan.keys) {
      const part = parts[at.part];
      const last = at.part === parts.length - 1 ? " last-part" : "";
      const button = key(`part-${Math.min(at.part, 3)}${last}`, at, () => on.tap(at.part, at.value));
      write(button, part.label(at.value));
      button.dataset.part = at.part;
      button.dataset.value = at.value;
      button.setAttribute("aria-label", `${part.name} ${part.label(at.value)}`);
    }
    if (plan.more) {
      const more = key("more", plan.more, () => turnFeet());
      more.textContent = "other feet";
    }
    const keep = key("keep", plan.keep, on.keep);
    keep.id = "keep";
    const instead = key("instead", plan.instead, on.instead);
    instead.id = "instead";
  }

  // Feet off the keys: the next ones, and round again; or those round a value, null for none.
  function turnFeet(value) {
    const shown = shownFeet[entry.convention];
    if (!shown || value === null) return;
    if (value === undefined) feetFrom = feetFrom + shown > 30 ? 0 : feetFrom + shown;
    else if (value < feetFrom || value >= feetFrom + shown) feetFrom = value === 0 ? 0 : Math.max(0, Math.min(value - 1, 31 - shown));
    else return;
    build();
    refresh();
  }

  function refresh() {
    for (const button of box.querySelectorAll("[data-part]")) {
      const part = Number(button.dataset.part);
      const chosen = entry.values[part] === Number(button.dataset.value);
      button.setAttribute("aria-pressed", String(chosen));
      button.classList.toggle("carried", chosen && !entry.tapped[part]);
      // Decimal keys show the digits before theirs as well.
      if (entry.convention !== "feet-inches" && part) {
        write(button, parts[part].label(Number(button.dataset.value), entry.values.slice(0, part)));
      }
    }
  }

  build();
  return { refresh, turnFeet };
}
