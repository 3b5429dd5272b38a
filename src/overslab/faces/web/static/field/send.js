// Sends what the laptop does not have yet. Sending twice is harmless, so in doubt it is sent again;
// nothing leaves the phone's list until the laptop has said that it has it.
import { keeper } from "./keeper.js";

const MOST_EVENTS = 100;
const MOST_BYTES = 256 * 1024;
const EVERY_MS = 20000;
const LONGEST_WAIT_MS = 60000;
const ANSWER_MS = 15000;
export const SKEW_MS = 120000;

// What the screen says about the way to the laptop.
export const line = { state: "unknown", says: "", skew_ms: 0, changed_at: 0 };
const watchers = new Set();
let timer = null;
let misses = 0;
let running = false;
let again = false;
let most = MOST_EVENTS;

export function watchLine(tell) {
  watchers.add(tell);
  tell(line);
}

function says(state, words = "") {
  if (line.state === state && line.says === words) return;
  Object.assign(line, { state, says: words, changed_at: Date.now() });
  for (const tell of watchers) tell(line);
}

function batch() {
  const events = [];
  let bytes = 0;
  for (const event of keeper.unsent()) {
    const size = JSON.stringify(event).length + 1;
    if (events.length && (events.length >= most || bytes + size > MOST_BYTES)) break;
    events.push(event);
    bytes += size;
  }
  return events;
}

const REFUSALS = {
  401: "This phone is not let in any more. Pair it again; nothing is lost.",
  403: "This phone is not let in any more. Pair it again; nothing is lost.",
  421: "The laptop's address has changed. Open the new address; hand over by file what is left here.",
  507: "The laptop's disk is full. Tell the office; everything stays on this phone.",
};

async function post(events) {
  const asked = Date.now();
  const answer = await fetch("/sync", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ device: keeper.device, events }),
    signal: AbortSignal.timeout(ANSWER_MS),
  });
  if (answer.status === 413 && most > 1) {
    most = Math.max(1, Math.floor(most / 2));
    return true;
  }
  if (!answer.ok) {
    const refusal = new Error(REFUSALS[answer.status] ?? "The laptop is there and cannot take it now.");
    refusal.told = true;
    throw refusal;
  }
  const { have, tray, now } = await answer.json();
  const middle = (asked + Date.now()) / 2;
  line.skew_ms = Date.parse(now) - middle; // shown only; no clock decides an order
  await keeper.acknowledge({ have, tray });
  // An answer that speaks of none of these events would make an endless loop.
  return events.some((event) => keeper.marks.has(event.id));
}

async function round() {
  for (let events = batch(); events.length; events = batch()) {
    says("sending");
    if (!(await post(events))) throw new Error("The laptop's answer cannot be read.");
  }
}

async function run() {
  try {
    await keeper.open();
    const was = keeper.unsent().length;
    if (was) await round();
    else await ping();
    misses = 0;
    says("reached");
    if (was) for (const tell of afterSend) tell();
  } catch (trouble) {
    misses += 1;
    says(trouble.told ? "refused" : "away", trouble.told ? trouble.message : "");
  }
}

const afterSend = new Set();
export function onSent(tell) {
  afterSend.add(tell);
}

// With nothing to send, an empty batch tells whether the laptop is in reach.
async function ping() {
  if (!navigator.onLine) throw new Error("no network");
  await post([]);
}

function plan() {
  clearTimeout(timer);
  if (document.visibilityState === "hidden") return;
  const wait = misses ? Math.min(LONGEST_WAIT_MS, 1000 * 2 ** (misses - 1)) : EVERY_MS;
  timer = setTimeout(send, wait * (0.75 + Math.random() / 2));
}

export async function send() {
  if (running) {
    again = true;
    return;
  }
  running = true;
  do {
    again = false;
    // Two tabs need not both send; it would be harmless.
    if (navigator.locks) {
      await navigator.locks.request("overslab-send", { ifAvailable: true }, (lock) => (lock ? run() : null));
    } else await run();
  } while (again && !misses);
  running = false;
  plan();
}

export function startSending() {
  addEventListener("online", () => {
    misses = 0;
    send();
  });
  addEventListener("offline", () => says("away"));
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") {
      misses = 0;
      send();
    }
  });
  navigator.serviceWorker?.addEventListener("message", ({ data }) => {
    if (data === "send") send();
  });
  // Background Sync, where it exists, sends on even when this page is closed.
  keeper.watch(async (k) => {
    if (!k.ready || !k.unsent().length) return;
    try {
      const registration = await navigator.serviceWorker?.getRegistration("/field/");
      await registration?.sync?.register("overslab-send");
    } catch {
      // Not given by this browser: the page sends while it is open.
    }
  });
  send();
}
