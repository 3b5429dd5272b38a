// Numbers as the laptop writes them: the same digits, rounding and signs as its own words, so that a
// value read off the lattice and the exact one that follows look alike.

export const FOOT = 0.3048;
export const INCH = 0.0254;

// Whole marks, half away from zero; a tie may miss by the noise of sums.
function steps(value, size) {
  const count = Math.floor(Math.abs(value) / size + 0.5 + 1e-8);
  return value < 0 ? -count : count;
}

function fraction(top, bottom) {
  while (top % 2 === 0 && bottom > 1) [top, bottom] = [top / 2, bottom / 2];
  return `${top}/${bottom}`;
}

function inches(count, perInch) {
  const whole = Math.floor(count / perInch);
  const rest = count - whole * perInch;
  if (!rest) return String(whole);
  return whole ? `${whole} ${fraction(rest, perInch)}` : fraction(rest, perInch);
}

function feetInches(value, mark) {
  const count = steps(value, mark);
  if (count === 0) return "0";
  const perInch = Math.round(INCH / mark);
  const sign = count < 0 ? "-" : "";
  const feet = Math.floor(Math.abs(count) / (12 * perInch));
  const rest = Math.abs(count) - feet * 12 * perInch;
  let text = inches(rest, perInch);
  if (feet && rest > 0 && rest < perInch) text = `0 ${text}`;
  return feet ? `${sign}${feet}' ${text}"` : `${sign}${text}"`;
}

function marked(value, mark, size, unit) {
  const count = steps(value, mark);
  if (count === 0) return "0";
  let places = 0;
  const fits = (n) => Math.abs((mark / size) * 10 ** n - Math.round((mark / size) * 10 ** n)) < 1e-6;
  while (places < 6 && !fits(places)) places += 1;
  return `${((count * mark) / size).toFixed(places)} ${unit}`;
}

// "length" (places on the plan), "height" (also rod readings) or "thickness".
export function write(kind, value, { system, mark_m }) {
  if (value === null || value === undefined || Number.isNaN(value)) return "not known";
  if (system === "tenths") return marked(value, mark_m, FOOT, "ft");
  if (system === "metric") {
    return kind === "height" ? marked(value, mark_m, 1, "m") : marked(value, mark_m, 0.001, "mm");
  }
  if (kind !== "thickness") return feetInches(value, mark_m);
  const count = steps(value, mark_m);
  if (count === 0) return "0";
  return `${count < 0 ? "-" : ""}${inches(Math.abs(count), Math.round(INCH / mark_m))} in`;
}

// How far one press of an arrow goes: usual, larger, finest.
export function strides(system, mark_m) {
  if (system === "metric") return [0.01, 0.1, mark_m];
  if (system === "tenths") return [FOOT / 10, FOOT, mark_m];
  return [INCH, FOOT, mark_m];
}

// A typed length in metres where it is plain enough to be read here; null leaves it to the laptop.
export function read(text, system) {
  const plain = text.trim().toLowerCase();
  if (/^0+(\.0*)?$/.test(plain)) return 0;
  const units = { ft: FOOT, "'": FOOT, in: INCH, '"': INCH, m: 1, cm: 0.01, mm: 0.001 };
  const part = /(\d+(?:\.\d+)?)(?:\s+(\d+)\/(\d+))?\s*(ft|in|mm|cm|m|'|")|(\d+)\/(\d+)\s*(in|")/y;
  let total = 0;
  let at = /^-/.test(plain) ? 1 : 0;
  const sign = at ? -1 : 1;
  while (at < plain.length) {
    while (plain[at] === " ") at += 1;
    part.lastIndex = at;
    const found = part.exec(plain);
    if (!found) return null;
    total += found[1] === undefined
      ? (Number(found[5]) / Number(found[6])) * units[found[7]]
      : (Number(found[1]) + (found[2] ? Number(found[2]) / Number(found[3]) : 0)) * units[found[4]];
    at = part.lastIndex;
  }
  return plain && system ? sign * total : null;
}
