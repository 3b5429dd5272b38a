// A first look at each shot on the phone itself, while the rod still stands there. It asks and never
// refuses. The laptop looks again with its full method whenever it is in reach.
import { FOOT, INCH } from "./rod.js";

export const EVERY = 20; // shots between two looks at a benchmark; common practice
const SURFACES = new Set(["floor", "drive", "asbuilt"]);
const LEAST_NEIGHBOURS = 5;
const MOST_NEIGHBOURS = 8;
const LEAST_GAP = 0.75 * INCH; // less than this is floor as often as slip, at one shot every few feet
const TIMES_SPREAD = 6;
const SAMPLE = 60; // shots by which the floor's roughness is told
const BENCHMARK_GAP = INCH / 8;

const isCheck = (row) => row.kind === "benchmark" || row.kind === "check";

// Height of every set-up above the first one's, carried over points that were read from both.
export function instruments(rows, data) {
  const at = new Map();
  const fixed = new Map((data?.benchmarks ?? []).map((b) => [b.name, b.height_m]));
  const heights = new Map(fixed);
  let left = [...new Set(rows.map((row) => row.setup))];
  for (let moved = true; moved && left.length; ) {
    moved = false;
    for (const setup of left) {
      const here = rows.filter((row) => row.setup === setup && !row.struck && Number.isFinite(row.reading_m));
      const seen = here.filter((row) => heights.has(row.point) && row.kind !== "asbuilt");
      // Nothing known of the first set-up: any height will do, as only differences count.
      if (!seen.length && at.size) continue;
      const sum = seen.reduce((total, row) => total + heights.get(row.point) + row.reading_m, 0);
      const height = seen.length ? sum / seen.length : 0;
      at.set(setup, height);
      for (const row of here) if (!heights.has(row.point)) heights.set(row.point, height - row.reading_m);
      left = left.filter((other) => other !== setup);
      moved = true;
    }
  }
  return at;
}

const side = (p, a, b) => (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
const crosses = (p, q, a, b) => side(p, a, b) * side(q, a, b) < 0 && side(a, p, q) * side(b, p, q) < 0;

function inside(p, ring) {
  let within = false;
  for (let i = 0, j = ring.length - 1; i < ring.length; j = i, i += 1) {
    const [a, b] = [ring[i], ring[j]];
    if (a[1] > p[1] !== b[1] > p[1] && p[0] < ((b[0] - a[0]) * (p[1] - a[1])) / (b[1] - a[1]) + a[0]) within = !within;
  }
  return within;
}

// Shots are neighbours when no crack lies between them and no pit or trench parts them.
function neighbours(row, sites, floor) {
  const p = [row.x_m, row.y_m];
  const rings = (floor?.apart ?? []).map((ring) => [ring, inside(p, ring)]);
  const lines = (floor?.breaks ?? []).map((one) => one.line);
  return sites
    .filter((site) => {
      if (site.point === row.point || site.kind !== row.kind) return false;
      const q = [site.x_m, site.y_m];
      if (rings.some(([ring, within]) => inside(q, ring) !== within)) return false;
      return !lines.some((line) => line.slice(1).some((b, i) => crosses(p, q, line[i], b)));
    })
    .map((site) => ({ site, far: Math.hypot(site.x_m - p[0], site.y_m - p[1]) }))
    .sort((a, b) => a.far - b.far)
    .slice(0, MOST_NEIGHBOURS);
}

// The plane of the nearest shots at the place of one, by least squares with near shots weighing more.
function levelAt(row, near) {
  const sums = [[0, 0, 0, 0], [0, 0, 0, 0], [0, 0, 0, 0]];
  for (const { site, far } of near) {
    const weight = 1 / (0.25 + far * far);
    const line = [1, site.x_m - row.x_m, site.y_m - row.y_m, site.height_m];
    for (let i = 0; i < 3; i += 1) for (let j = 0; j < 4; j += 1) sums[i][j] += weight * line[i] * line[j];
  }
  // A breath of stiffness keeps shots in one straight line from tilting the plane without end.
  sums[1][1] += 1e-3;
  sums[2][2] += 1e-3;
  for (let i = 0; i < 3; i += 1) {
    for (let k = 0; k < 3; k += 1) {
      if (k === i) continue;
      const factor = sums[k][i] / sums[i][i];
      for (let j = i; j < 4; j += 1) sums[k][j] -= factor * sums[i][j];
    }
  }
  return sums[0][3] / sums[0][0];
}

// Height less what the neighbours ask. One bad neighbour must not make good shots look bad, so each is
// left out in turn and the mildest answer counts; a bad shot is off whichever is left out.
function misfit(row, sites, floor) {
  const near = neighbours(row, sites, floor);
  if (near.length < LEAST_NEIGHBOURS) return null;
  let mildest = row.height_m - levelAt(row, near);
  for (let out = 0; out < near.length; out += 1) {
    const off = row.height_m - levelAt(row, near.filter((_, i) => i !== out));
    if (Math.abs(off) < Math.abs(mildest)) mildest = off;
  }
  return mildest;
}

const middle = (numbers) => [...numbers].sort((a, b) => a - b)[numbers.length >> 1] ?? 0;

// Heights of all shots and how rough this floor is by them; the same for every shot of one book.
const books = new WeakMap();

function bookOf(rows, data) {
  if (!books.has(rows)) {
    const at = instruments(rows, data);
    const sites = rows
      .filter((o) => SURFACES.has(o.kind) && !o.struck && Number.isFinite(o.x_m) && Number.isFinite(o.reading_m) && at.has(o.setup))
      .map((o) => ({ ...o, height_m: at.get(o.setup) - o.reading_m }));
    const offs = sites.slice(-SAMPLE).map((o) => misfit(o, sites, data.floor)).filter((off) => off !== null);
    books.set(rows, { sites, spread: middle(offs.map(Math.abs)) });
  }
  return books.get(rows);
}

// Slips that people make on such a rod; the nearest one within reach is the likeliest.
const SLIPS = {
  "feet-inches": [[FOOT, "a whole foot"], [INCH, "one inch"]],
  tenths: [[FOOT, "a whole foot"], [FOOT / 10, "a tenth of a foot"]],
  metric: [[1, "a whole metre"], [0.1, "ten centimetres"], [0.01, "one centimetre"]],
};

function slipOf(convention, gap_m, tolerance_m) {
  const off = ([size]) => Math.abs(Math.abs(gap_m) - size);
  const near = SLIPS[convention].filter((slip) => off(slip) <= Math.min(tolerance_m, slip[0] / 3));
  const [met] = near.sort((a, b) => off(a) - off(b));
  return met ? { says: met[1], by_m: Math.sign(gap_m) * met[0] } : null;
}

// null when nothing is odd; else what to ask. gap_m: the reading less the one that would fit.
export function look(row, rows, data) {
  if (!Number.isFinite(row.reading_m) || row.struck) return null;
  return benchmarkMoved(row, rows, data) ?? readTwice(row, rows, data) ?? offTheFloor(row, rows, data);
}

function asked(row, gap_m, than, data, tolerance_m) {
  const slip = slipOf(data.rod, gap_m, tolerance_m);
  return { row, gap_m, fits_m: row.reading_m - gap_m, than, slip: slip?.says ?? "",
    instead_m: slip ? row.reading_m - slip.by_m : null };
}

function benchmarkMoved(row, rows, data) {
  if (!isCheck(row)) return null;
  const before = rows.filter((o) => isCheck(o) && o.point === row.point && o.setup === row.setup
    && o.id !== row.id && !o.struck && Number.isFinite(o.reading_m));
  if (!before.length) return null;
  const gap = row.reading_m - before[0].reading_m;
  return Math.abs(gap) > BENCHMARK_GAP
    ? { ...asked(row, gap, `${row.point} read before`, data, INCH / 4), benchmark: true } : null;
}

function readTwice(row, rows, data) {
  if (isCheck(row) || row.kind === "turn") return null;
  const before = rows.find((o) => o.point === row.point && o.setup === row.setup && o.kind === row.kind
    && o.id !== row.id && !o.struck && Number.isFinite(o.reading_m));
  const gap = before ? row.reading_m - before.reading_m : 0;
  return Math.abs(gap) > BENCHMARK_GAP
    ? asked(row, gap, `${row.point} read before`, data, INCH / 4) : null;
}

function offTheFloor(row, rows, data) {
  if (!SURFACES.has(row.kind) || !Number.isFinite(row.x_m)) return null;
  const { sites, spread } = bookOf(rows, data);
  const own = sites.find((o) => o.id === row.id);
  const off = own ? misfit(own, sites, data.floor) : null;
  // A rough floor is asked about less than a smooth one.
  const limit = Math.max(LEAST_GAP, TIMES_SPREAD * spread);
  return off !== null && Math.abs(off) > limit ? asked(row, -off, "the floor round it", data, limit) : null;
}

// Which benchmark is due, and why; null when none is.
export function checkDue(rows, data, setup, { putOff = 0, gridDone = false } = {}) {
  const names = (data?.benchmarks ?? []).map((b) => b.name);
  if (!names.length) return null;
  const here = rows.filter((row) => row.setup === setup && !row.struck && !row.refused);
  const seen = here.filter((row) => isCheck(row) && names.includes(row.point));
  const latest = here.findLastIndex((row) => isCheck(row) && names.includes(row.point));
  const since = here.length - 1 - latest;
  const tied = here.some((row) => row.kind === "turn");
  if (!seen.length && !(tied && since < putOff)) {
    if (since < putOff) return null;
    return { point: names[0], kind: "benchmark", why: `Set-up ${setup} begins: benchmark first` };
  }
  const point = seen[0]?.point ?? names[0];
  if (since >= EVERY && since >= putOff) {
    return { point, kind: "check", why: `${since} shots since the last check` };
  }
  if (gridDone && since > 0 && since >= putOff) return { point, kind: "check", why: "Grid full: closing check" };
  return null;
}
