// The second store: IndexedDB. A browser can lose all of it at once, so nothing is called kept
// until the log has it too, and whatever is missing here is put back from there.

const NAME = "overslab-field";
const VERSION = 1;
let opening = null;
let whenFresh = () => {};

// Told when the database had to be made anew, so that its content can be put back.
export function onFresh(tell) {
  whenFresh = tell;
}

function open() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    let fresh = false;
    request.onupgradeneeded = () => {
      fresh = true;
      const made = request.result;
      made.createObjectStore("events", { keyPath: "id" }).createIndex("job", "job");
      made.createObjectStore("marks", { keyPath: "id" });
      made.createObjectStore("counters");
      made.createObjectStore("settings");
      made.createObjectStore("photos", { keyPath: "sha256" });
    };
    request.onblocked = () => reject(new Error("the store is held by another tab"));
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const base = request.result;
      // Somebody deletes or renews the store behind our back: let go, and open anew when needed.
      base.onversionchange = () => {
        base.close();
        opening = null;
      };
      base.onclose = () => {
        opening = null;
      };
      resolve(base);
      if (fresh) whenFresh();
    };
  });
  opening.catch(() => {
    opening = null;
  });
  return opening;
}

async function within(stores, mode, work) {
  const base = await open();
  let transaction;
  try {
    transaction = base.transaction(stores, mode, { durability: "strict" });
  } catch (trouble) {
    if (trouble.name !== "InvalidStateError") throw trouble;
    opening = null; // closed under us: once more with a new connection
    transaction = (await open()).transaction(stores, mode, { durability: "strict" });
  }
  return new Promise((resolve, reject) => {
    let result;
    transaction.oncomplete = () => resolve(result);
    transaction.onabort = () => reject(transaction.error ?? new Error("the store gave up"));
    work(transaction, (value) => {
      result = value;
    });
  });
}

const read = (store, ask) => within([store], "readonly", (t, give) => {
  const request = ask(t.objectStore(store));
  request.onsuccess = () => give(request.result);
});

// Numbers the event and stores it in one transaction, so that two tabs never share a number.
// `floor` is the highest number this page has seen, should the counters be lost.
export const keepEvent = (counter, floor, make) =>
  within(["events", "counters"], "readwrite", (t, give) => {
    const counters = t.objectStore("counters");
    const last = counters.get(counter);
    last.onsuccess = () => {
      const seq = Math.max(last.result ?? 0, floor) + 1;
      const event = make(seq);
      counters.put(seq, counter);
      t.objectStore("events").put(event);
      give(event);
    };
  });

export const putEvents = (events, counterOf) =>
  within(["events", "counters"], "readwrite", (t) => {
    for (const event of events) {
      t.objectStore("events").put(event);
      const key = counterOf(event);
      const last = t.objectStore("counters").get(key);
      last.onsuccess = () => {
        if (event.seq > (last.result ?? 0)) t.objectStore("counters").put(event.seq, key);
      };
    }
  });

export const putMarks = (marks) =>
  within(["marks"], "readwrite", (t) => marks.forEach((mark) => t.objectStore("marks").put(mark)));

export const dropEvents = (ids) =>
  within(["events", "marks"], "readwrite", (t) =>
    ids.forEach((id) => {
      t.objectStore("events").delete(id);
      t.objectStore("marks").delete(id);
    }),
  );

export const allEvents = () => read("events", (s) => s.getAll());
export const allMarks = () => read("marks", (s) => s.getAll());
export const allPhotos = () => read("photos", (s) => s.getAll());
export const setting = (name) => read("settings", (s) => s.get(name));
export const setSetting = (name, value) =>
  within(["settings"], "readwrite", (t) => t.objectStore("settings").put(value, name));
export const putPhoto = (photo) =>
  within(["photos"], "readwrite", (t) => t.objectStore("photos").put(photo));
export const dropPhoto = (sha256) =>
  within(["photos"], "readwrite", (t) => t.objectStore("photos").delete(sha256));
