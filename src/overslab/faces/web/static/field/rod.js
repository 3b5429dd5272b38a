// Rod readings and lengths: what the pad is made of, how a reading is written, how typed text is read.
// Whatever is kept here must be read by the laptop too, so this reads only a part of what the laptop
// reads, and writes the way the laptop writes.

export const FOOT = 0.3048;
export const INCH = 0.0254;
const LONGEST = 30 * FOOT; // the longest rods; the laptop refuses more

const count = (n) => Array.from({ length: n }, (_, i) => i);
const near = (a, b) => Math.abs(a - b) < 1e-9;

function lowest(top, bottom) {
  while (top % 2 === 0 && bottom > 1) [top, bottom] = [top / 2, bottom / 2];
  return bottom === 1 ? String(top) : `${top}/${bottom}`;
}

// A reading is a sum of parts, each one key: feet, inches and the fraction; or one digit a place.
// step_m is the smallest step read on this rod, locked for the survey.
export function partsOf(convention, step_m) {
  if (convention === "feet-inches") {
    const perInch = Math.max(1, Math.min(64, Math.round(INCH / step_m)));
    const keys = Math.min(16, perInch);
    const parts = [
      { name: "feet", size: FOOT, values: count(31), label: (v) => `${v}'` },
      { name: "inches", size: INCH, values: count(12), label: (v) => `${v}"` },
    ];
    if (keys > 1) {
      const label = (v) => (v === 0 ? "even" : lowest(v, keys));
      parts.push({ name: "fraction", size: INCH / keys, values: count(keys), label });
    }
    if (perInch > keys) {
      const label = (v) => (v === 0 ? "no more" : `+${lowest(v, perInch)}`);
      const values = count(perInch / keys);
      parts.push({ name: "finer", size: INCH / perInch, values, label });
    }
    return parts;
  }
  const whole = convention === "tenths" ? FOOT : 1;
  const first = convention === "tenths"
    ? { name: "feet", size: whole, values: count(31), label: (v) => `${v}'` }
    : { name: "metres", size: whole, values: count(5), label: (v) => `${v} m` };
  const parts = [first];
  const names = convention === "tenths"
    ? ["tenths", "hundredths", "thousandths", "ten-thousandths"]
    : ["decimetres", "centimetres", "millimetres", "tenths of a millimetre"];
  const steps = Math.round(step_m / whole / 1e-4); // in ten-thousandths of the whole unit
  for (let place = 1, size = 1000; place <= 4 && size * 10 > steps; place += 1, size /= 10) {
    const every = Math.max(1, Math.min(5, Math.round(steps / size)));
    const values = count(10).filter((v) => v % every === 0);
    // The digits tapped before stand in front, so that the key shows what the rod shows.
    const label = (v, before = []) => `.${before.slice(1).map((d) => d ?? "·").join("")}${v}`;
    parts.push({ name: names[place - 1], size: whole * 10 ** -place, values, label });
  }
  return parts;
}

export function metres(parts, values) {
  return parts.reduce((sum, part, i) => sum + part.size * values[i], 0);
}

// The parts of a value already known, to carry its first digits over to the next reading.
export function splitUp(parts, value_m) {
  const last = parts[parts.length - 1].size;
  let left = Math.round(value_m / last);
  return parts.map((part) => {
    const each = Math.round(part.size / last);
    const value = Math.floor(left / each + 1e-9);
    left -= value * each;
    return value;
  });
}

export function write(convention, value_m, step_m) {
  if (convention === "feet-inches") {
    const perInch = Math.max(1, Math.min(64, Math.round(INCH / step_m)));
    const steps = Math.round((value_m / INCH) * perInch);
    if (steps === 0) return "0";
    const feet = Math.floor(steps / (12 * perInch));
    const rest = steps - feet * 12 * perInch;
    const inches = Math.floor(rest / perInch);
    const top = rest - inches * perInch;
    let text = top === 0 ? `${inches}` : `${inches ? `${inches} ` : ""}${lowest(top, perInch)}`;
    if (feet && top && !inches) text = `0 ${text}`;
    return feet ? `${feet}' ${text}"` : `${text}"`;
  }
  const [size, unit] = convention === "tenths" ? [FOOT, "ft"] : [1, "m"];
  let places = 0;
  while (places < 4 && !near(Math.round((step_m / size) * 10 ** places), (step_m / size) * 10 ** places)) {
    places += 1;
  }
  return `${(value_m / size).toFixed(Math.max(places, unit === "m" ? 3 : 1))} ${unit}`;
}

// How far apart two readings are, in words a person says: 1' 0", 3/4 in, 19 mm.
export function writeGap(convention, gap_m, step_m) {
  const size = Math.abs(gap_m);
  if (convention === "metric") return `${Math.round(size * 1000)} mm`;
  if (convention === "tenths") return `${(size / FOOT).toFixed(2)} ft`;
  return write("feet-inches", size, Math.max(step_m, INCH / 16));
}

const NUMBER = "(\\d+(?:\\.\\d+)?)";
const FRACTION = "(\\d+)\\/(\\d+)";
const BOTTOMS = new Set([2, 4, 8, 16, 32, 64]);

function plain(text) {
  return text
    .trim()
    .replace(/[\u2019\u2032]/g, "'")
    .replace(/[\u201d\u2033]/g, '"')
    .replace(/\s+/g, " ");
}

function fractionOf(top, bottom) {
  if (top === undefined) return 0;
  return BOTTOMS.has(Number(bottom)) && Number(top) < Number(bottom) ? top / bottom : NaN;
}

// 4' 7 3/8", 4-7-3/8, 4-7, 55 3/8 in. In this order: what has feet, then inches alone.
function feetInches(text) {
  let m = text.match(new RegExp(`^(\\d+)(?:'|-| ft) ?-?(?:(\\d+)(?:[- ]${FRACTION})?|${FRACTION})(?:"| in)?$`));
  if (m) {
    const inches = Number(m[2] ?? 0) + fractionOf(m[3] ?? m[5], m[4] ?? m[6]);
    return inches < 12 ? m[1] * FOOT + inches * INCH : NaN;
  }
  m = text.match(/^(\d+)(?:'| ft)$/);
  if (m) return m[1] * FOOT;
  m = text.match(new RegExp(`^(?:(\\d+)(?:[- ]${FRACTION})?|${FRACTION})(?:"| ?in)$`));
  if (m) return (Number(m[1] ?? 0) + fractionOf(m[2] ?? m[4], m[3] ?? m[5])) * INCH;
  return NaN;
}

// A typed rod reading in metres, or NaN when this phone cannot read it.
export function readRod(convention, text) {
  const typed = plain(text);
  let value = NaN;
  if (typed === "0") value = 0;
  else if (convention === "feet-inches") value = feetInches(typed);
  else if (convention === "tenths") {
    const m = typed.match(new RegExp(`^${NUMBER}(?:'| ft|ft)?$`));
    if (m) value = m[1] * FOOT;
  } else {
    const m = typed.match(new RegExp(`^${NUMBER}( ?mm| ?cm| ?m)?$`));
    if (m) {
      // Bare: 1.635 is metres, 1635 millimetres; 1 to 9 could be either, so it is not read.
      const bare = m[1].includes(".") ? "m" : Number(m[1]) >= 10 ? "mm" : "?";
      value = m[1] * ({ m: 1, cm: 0.01, mm: 0.001 }[(m[2] ?? bare).trim()] ?? NaN);
    }
  }
  return value <= LONGEST + 1e-9 ? value : NaN;
}

export const FORMS = {
  "feet-inches": "4' 7 3/8\" or 4-7-3/8",
  tenths: "4.61",
  metric: "1.405 or 1405",
};

// A length on the plan, with its unit: 12' 6", 12 ft 6 in, 3.8 m, 3800 mm. Metres, or NaN.
export function readLength(text) {
  const typed = plain(text);
  const sign = typed.startsWith("-") ? -1 : 1;
  const bare = typed.replace(/^-/, "").replace(/(\d) ?ft ?(?=\d)/, "$1' ");
  if (/^0(\.0+)?$/.test(bare)) return 0;
  const m = bare.match(new RegExp(`^${NUMBER} ?(mm|cm|m|ft|'|in|")$`));
  if (m) {
    const unit = { mm: 0.001, cm: 0.01, m: 1, ft: FOOT, "'": FOOT, in: INCH, '"': INCH }[m[2]];
    return sign * m[1] * unit;
  }
  return bare.includes("'") || bare.includes('"') || bare.includes(" in") ? sign * feetInches(bare) : NaN;
}
