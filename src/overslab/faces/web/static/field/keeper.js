// Both stores behind one door. An event is called kept only when both have it; at every start both
// are read, joined by id, and the poorer one is put right.
import * as box from "./box.js";

const PATIENCE_MS = 6000; // a store that has not answered by then counts as failed
const KEEP_DAYS = 30; // what the laptop has stays on the phone this long
const SHORTEN_AT = 4000; // events before the oldest are let go

export const hex = (bytes) => Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
// crypto.randomUUID and crypto.subtle do not exist on plain http; getRandomValues does.
export const freshId = () => hex(crypto.getRandomValues(new Uint8Array(16)));

// The phone's own clock with its zone. It is shown, and never decides an order.
export function stamp(date = new Date()) {
  const minutes = -date.getTimezoneOffset();
  const two = (n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  const local = new Date(date.getTime() + minutes * 60000).toISOString().slice(0, 23);
  return `${local}${minutes < 0 ? "-" : "+"}${two(minutes / 60)}:${two(minutes % 60)}`;
}

const patiently = (promise, what) =>
  Promise.race([
    promise,
    new Promise((_, reject) => setTimeout(() => reject(new Error(`${what} does not answer`)), PATIENCE_MS)),
  ]);

class Log {
  constructor() {
    this.there = Boolean(window.isSecureContext && navigator.storage?.getDirectory && window.Worker);
    this.waiting = new Map();
    this.n = 0;
    if (!this.there) return;
    // Asked for below /field/: a service worker gives a worker's script only within its own reach.
    this.worker = new Worker("/field/log.js");
    this.worker.onmessage = ({ data }) => {
      const [resolve, reject] = this.waiting.get(data.n) ?? [];
      this.waiting.delete(data.n);
      if (data.fault) reject?.(new Error(data.fault));
      else resolve?.(data.result);
    };
    this.worker.onerror = () => {
      for (const [, reject] of this.waiting.values()) reject(new Error("the log stopped"));
      this.waiting.clear();
    };
  }

  ask(op, more = {}) {
    this.n += 1;
    const n = this.n;
    return patiently(
      new Promise((resolve, reject) => {
        this.waiting.set(n, [resolve, reject]);
        this.worker.postMessage({ n, op, ...more });
      }),
      "the log",
    );
  }
}

class Keeper {
  constructor() {
    this.events = new Map();
    this.marks = new Map();
    this.troubles = new Map(); // what is wrong with a store, by its name
    this.log = new Log();
    this.device = "";
    this.who = "";
    this.ready = null;
    this.last = Promise.resolve();
    this.watchers = new Set();
    // Another tab kept or sent something: read it, so that both show the same.
    this.tabs = "BroadcastChannel" in window ? new BroadcastChannel("overslab-field") : null;
    if (this.tabs) this.tabs.onmessage = () => this.reread();
    box.onFresh(() => this.mend("box"));
  }

  watch(tell) {
    this.watchers.add(tell);
    tell(this);
  }

  changed({ tell = true } = {}) {
    for (const watcher of this.watchers) watcher(this);
    if (tell) this.tabs?.postMessage("changed");
  }

  async trying(store, promise) {
    try {
      const result = await patiently(promise, store === "box" ? "the second store" : "the log");
      this.troubles.delete(store);
      return result;
    } catch (trouble) {
      this.troubles.set(store, trouble?.message || trouble?.name || "unknown");
      return undefined;
    }
  }

  open() {
    this.ready ??= this.join();
    return this.ready;
  }

  // Both stores read and joined; each gets what only the other had.
  async join() {
    const [logged, boxed, marks] = await Promise.all([
      this.log.there ? this.trying("log", this.log.ask("read")) : [],
      this.trying("box", box.allEvents()),
      this.trying("box", box.allMarks()),
    ]);
    const good = (events) => (events ?? []).filter((e) => /^[0-9a-f]{32}$/.test(e?.id ?? "") && e.body);
    const [inLog, inBox] = [good(logged), good(boxed)];
    for (const event of [...inLog, ...inBox]) this.events.set(event.id, event);
    for (const mark of marks ?? []) this.marks.set(mark.id, mark);
    const has = (events) => new Set(events.map((e) => e.id));
    const [logIds, boxIds] = [has(inLog), has(inBox)];
    const missing = (ids) => [...this.events.values()].filter((e) => !ids.has(e.id));
    if (boxed && missing(boxIds).length) await this.mend("box", missing(boxIds));
    if (logged && this.log.there && missing(logIds).length) await this.mend("log", missing(logIds));
    await this.knowSelf();
    this.changed({ tell: false });
    this.letGo();
    return this;
  }

  async knowSelf() {
    const known = await this.trying("box", box.setting("device"));
    const fromEvents = [...this.events.values()].findLast((e) => e.device)?.device;
    this.device = known ?? fromEvents ?? freshId();
    this.who = (await this.trying("box", box.setting("who"))) ?? "";
    if (!known) await this.trying("box", box.setSetting("device", this.device));
  }

  async setWho(who) {
    if (!who || who === this.who) return;
    this.who = who;
    await this.trying("box", box.setSetting("who", who));
  }

  mend(store, events = [...this.events.values()]) {
    if (!events.length) return Promise.resolve();
    return store === "box"
      ? this.trying("box", box.putEvents(events, (e) => `${e.device} ${e.job}`))
      : this.trying("log", this.log.ask("append", { lines: events }));
  }

  async reread() {
    const [events, marks] = await Promise.all([
      this.trying("box", box.allEvents()),
      this.trying("box", box.allMarks()),
    ]);
    for (const event of events ?? []) this.events.set(event.id, event);
    for (const mark of marks ?? []) this.marks.set(mark.id, mark);
    this.changed({ tell: false });
  }

  highest(job) {
    let seq = 0;
    for (const e of this.events.values()) if (e.job === job && e.device === this.device) seq = Math.max(seq, e.seq);
    return seq;
  }

  // Gives { event, in: ["log", "box"], whole }. `whole` says that every store this page has took it.
  // The id is made at keep, never when a form opens: two tabs make two records.
  keep(job, kind, body, id = freshId()) {
    const made_at = stamp();
    const result = this.last.then(() => this.store({ id, job, kind, body, made_at }));
    this.last = result.catch(() => {});
    return result;
  }

  async store({ id, job, kind, body, made_at }) {
    await this.open();
    if (this.events.has(id)) return { event: this.events.get(id), in: ["log", "box"], whole: true };
    const make = (seq) => ({ id, job, device: this.device, seq, kind, body, made_at, who: this.who });
    const floor = this.highest(job);
    const boxed = await this.trying("box", box.keepEvent(`${this.device} ${job}`, floor, make));
    const event = boxed ?? make(floor + 1);
    this.events.set(id, event);
    let logged;
    if (this.log.there) {
      logged = await this.trying("log", this.log.ask("append", { lines: [event] }));
      // The file was empty though events are known: somebody took it away, so put all back.
      if (logged?.fresh && this.events.size > 1) {
        await this.mend("log", [...this.events.values()].filter((e) => e.id !== id));
      }
    }
    const took = [...(logged ? ["log"] : []), ...(boxed ? ["box"] : [])];
    this.changed();
    return { event, in: took, whole: Boolean(boxed) && (Boolean(logged) || !this.log.there) };
  }

  async acknowledge({ have = [], tray = [] }) {
    const at = Date.now();
    const marks = [
      ...have.map((id) => ({ id, have: true, at })),
      ...tray.map(({ id, code, why }) => ({ id, have: false, code, why, at })),
    ].filter((mark) => this.events.has(mark.id));
    for (const mark of marks) this.marks.set(mark.id, mark);
    await this.trying("box", box.putMarks(marks)); // lost marks only mean sending once more
    this.changed();
  }

  ofJob(job) {
    return [...this.events.values()].filter((e) => !job || e.job === job)
      .sort((a, b) => (a.job === b.job ? a.seq - b.seq || (a.made_at < b.made_at ? -1 : 1) : a.job < b.job ? -1 : 1));
  }

  unsent(job) {
    return this.ofJob(job).filter((event) => !this.marks.has(event.id));
  }

  refused(job) {
    return this.ofJob(job).filter((event) => this.marks.get(event.id)?.have === false);
  }

  // A problem that somebody has seen is the office's from then on; it stays on the phone all the same.
  problems(job) {
    return this.refused(job).filter((event) => !this.marks.get(event.id).seen);
  }

  async seen(id) {
    const mark = { ...this.marks.get(id), seen: true };
    this.marks.set(id, mark);
    await this.trying("box", box.putMarks([mark]));
    this.changed();
  }

  counts(job) {
    const [all, unsent] = [this.ofJob(job).length, this.unsent(job).length];
    return { phone: unsent, laptop: all - unsent - this.refused(job).length, problem: this.problems(job).length };
  }

  // Long after the laptop has them, the oldest are let go; never one that was not acknowledged.
  async letGo() {
    if (this.events.size < SHORTEN_AT) return;
    const before = Date.now() - KEEP_DAYS * 86400000;
    const newest = new Map(this.ofJob().map((e) => [`${e.device} ${e.job}`, e.id])); // holds the count
    const spared = new Set(newest.values());
    const old = [...this.marks.values()]
      .filter((m) => m.have && m.at < before && !spared.has(m.id)).map((m) => m.id);
    if (!old.length) return;
    if (this.log.there && (await this.trying("log", this.log.ask("shorten", { drop: old }))) === undefined
      && this.troubles.has("log")) return;
    await this.trying("box", box.dropEvents(old));
    old.forEach((id) => this.events.delete(id));
  }
}

export const keeper = new Keeper();
