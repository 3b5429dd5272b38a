// One job on this phone: the data from the laptop, and the field book made of it and of what was
// typed here.
import { answered, fold } from "./fold.js";
import { keeper } from "./keeper.js";
import { onSent } from "./send.js";
import { readLength, readRod } from "./rod.js";
import { fetchJson, jobId } from "./status.js";

export const RIGHT = "Looked at again: it is right.";
const EMPTY = { rod: "feet-inches", units: "feet-inches", step_m: 0.0254 / 16, benchmarks: [], grid: [],
  wanted: [], shots: [], notes: [], tickets: [], devices: {}, name: "", faults: 0,
  floor: { outline: [], holes: [], breaks: [], apart: [], doors: [] } };

export const job = { data: EMPTY, rows: [], known: false, suspects: [] };
const watchers = new Set();
let places = new Map();

export function watchJob(tell) {
  watchers.add(tell);
}

// Where a shot typed here lies; the laptop's own place wins where it has told one.
function placed(row) {
  if (row.x_m === undefined) {
    const label = row.grid || (["floor", "asbuilt"].includes(row.kind) ? row.point : "");
    const spot = row.x && row.y ? { x_m: readLength(row.x), y_m: readLength(row.y) } : places.get(label.toUpperCase());
    row.x_m = spot?.x_m ?? null;
    row.y_m = spot?.y_m ?? null;
  }
  if (row.reading_m === undefined) row.reading_m = readRod(job.data.rod, row.reading);
  return row;
}

export function refold() {
  const refused = new Set(keeper.refused(jobId).map((event) => event.id));
  job.rows = fold(job.data, keeper.ofJob(jobId), refused).map(placed);
  for (const tell of watchers) tell(job);
}

export const looksRight = () => answered(keeper.ofJob(jobId), job.data, RIGHT);

async function fetchData() {
  try {
    const data = await fetchJson(`/field/${jobId}/data.json`);
    // Never back to less than the phone had: an older copy is not taken.
    if (job.known && data.version < job.data.version) return;
    job.data = data;
    job.known = true;
    places = new Map(data.grid.map((point) => [point.label, point]));
    refold();
  } catch {
    // Out of reach and not on this phone yet: typing still works, the map stays empty.
  }
}

async function fetchSuspects() {
  try {
    const told = await fetchJson(`/field/${jobId}/suspects.json`);
    job.suspects = told.looked ? told.suspects : [];
    for (const tell of watchers) tell(job);
  } catch {
    // The phone's own look was taken; the laptop's comes when it is in reach.
  }
}

let soon = null;

export async function startJob({ suspects = false } = {}) {
  let looked = -1;
  const renew = async () => {
    await fetchData();
    if (suspects && job.known && looked !== job.data.version) {
      looked = job.data.version;
      fetchSuspects();
    }
  };
  keeper.watch(refold);
  await renew();
  // A little later, so that a run of shots asks once and not for each.
  onSent(() => {
    clearTimeout(soon);
    soon = setTimeout(renew, 1500);
  });
}
