// The first store, in a worker of its own: a file that is only ever added to, one JSON line an
// event, flushed before anything is called kept. It survived where IndexedDB was lost.

const FILES = ["overslab-log-a.jsonl", "overslab-log-b.jsonl"];
const encoder = new TextEncoder();
const decoder = new TextDecoder();

async function handleOf(name) {
  const folder = await navigator.storage.getDirectory();
  const file = await folder.getFileHandle(name, { create: true });
  return file.createSyncAccessHandle();
}

// One tab at a time holds the file; opened for each line, so that a killed tab leaves nothing locked.
function alone(work) {
  return navigator.locks ? navigator.locks.request("overslab-log", work) : work();
}

async function add(name, lines) {
  const handle = await handleOf(name);
  try {
    const size = handle.getSize();
    const last = new Uint8Array(1);
    if (size) handle.read(last, { at: size - 1 });
    // A line torn by a kill is closed off, so that it cannot swallow the next one.
    const torn = size && last[0] !== 10 ? "\n" : "";
    const bytes = encoder.encode(`${torn}${lines.map((line) => `${JSON.stringify(line)}\n`).join("")}`);
    if (handle.write(bytes, { at: size }) !== bytes.length) throw new Error("the phone's storage is full");
    handle.flush();
    return { fresh: size === 0 };
  } finally {
    handle.close();
  }
}

async function linesOf(name) {
  const handle = await handleOf(name);
  try {
    const bytes = new Uint8Array(handle.getSize());
    handle.read(bytes, { at: 0 });
    return decoder.decode(bytes).split("\n").flatMap((text) => {
      try {
        return text ? [JSON.parse(text)] : [];
      } catch {
        return []; // a torn line was never called kept
      }
    });
  } finally {
    handle.close();
  }
}

const readAll = async () => (await Promise.all(FILES.map(linesOf))).flat();

async function sizeOf(name) {
  const handle = await handleOf(name);
  const size = handle.getSize();
  handle.close();
  return size;
}

// Shortens the longer file. What stays goes into the other file and is flushed before the longer
// one is emptied: a kill in between leaves both, and the union of both is right.
async function shorten(drop) {
  const [from, to] = (await sizeOf(FILES[0])) >= (await sizeOf(FILES[1])) ? FILES : [...FILES].reverse();
  const gone = new Set(drop);
  const stay = (await linesOf(from)).filter((event) => !gone.has(event.id));
  if (stay.length) await add(to, stay);
  const handle = await handleOf(from);
  try {
    handle.truncate(0);
    handle.flush();
  } finally {
    handle.close();
  }
}

const work = {
  append: ({ lines }) => add(FILES[0], lines),
  read: readAll,
  shorten: ({ drop }) => shorten(drop),
};

onmessage = async ({ data }) => {
  try {
    const result = await alone(() => work[data.op](data));
    postMessage({ n: data.n, result });
  } catch (trouble) {
    postMessage({ n: data.n, fault: trouble.message || trouble.name });
  }
};
