// Photos: made smaller and stripped of the place they were taken at, kept apart from the readings and
// sent after them, in pieces that go on where they were cut off.
import * as box from "./box.js";
import { freshId, keeper } from "./keeper.js";
import { onSent, watchLine } from "./send.js";
import { sha256 } from "./sha256.js";
import { fetchJson } from "./status.js";

const LONG_SIDE = 2048;
const QUALITY = 0.85;
const PIECE = 256 * 1024;
const LEAST_FREE = 500 * 1024 * 1024;
const MOST_SHARE = 0.8;

// Readings always have room: photos stop long before the storage is full.
async function roomForPhotos() {
  const { quota = Infinity, usage = 0 } = (await navigator.storage?.estimate?.()) ?? {};
  return quota - usage > LEAST_FREE && usage < quota * MOST_SHARE;
}

// Drawing it anew leaves out everything but the picture: no place, no name of the phone.
async function smaller(file) {
  const image = await createImageBitmap(file, { imageOrientation: "from-image" });
  const by = Math.min(1, LONG_SIDE / Math.max(image.width, image.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(image.width * by));
  canvas.height = Math.max(1, Math.round(image.height * by));
  canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  return new Promise((resolve, reject) => {
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error("the photo cannot be drawn"))), "image/jpeg", QUALITY);
  });
}

// Gives the words to show.
export async function addPhoto(job, file, about) {
  if (!(await roomForPhotos())) return "This phone's storage is nearly full: no photo was kept. Readings go on.";
  let blob;
  try {
    blob = await smaller(file);
  } catch {
    return "This picture cannot be read on this phone. Take it as a plain photo (JPEG).";
  }
  const hash = sha256(new Uint8Array(await blob.arrayBuffer()));
  try {
    // The entry's id is made now, so that a photo cut off at the very end is still one photo.
    await box.putPhoto({ sha256: hash, job, blob, about, entry: freshId() });
  } catch {
    return "There was no room for the photo. Readings go on.";
  }
  sendPhotos();
  return "The photo is kept on this phone.";
}

async function sendOne(photo, token) {
  const address = `/field/${photo.job}/photos/${photo.sha256}`;
  let { have } = await fetchJson(address);
  let kept = "";
  while (!kept) {
    const piece = photo.blob.slice(have, have + PIECE);
    const answer = await fetch(`${address}?from=${have}&of=${photo.blob.size}`, {
      method: "POST",
      headers: { "Content-Type": "image/jpeg", "X-Form-Token": token },
      body: piece,
    });
    if (!answer.ok) throw new Error(`answer ${answer.status}`);
    const told = await answer.json();
    if (told.have <= have) throw new Error("the laptop takes no more of this photo");
    ({ have, kept = "" } = told);
  }
  // The laptop draws it anew and knows it by another hash; only what is there can be named.
  const body = { sha256: kept, ...(photo.about ? { about: photo.about } : {}) };
  await keeper.keep(photo.job, "photo-added", body, photo.entry);
  await box.dropPhoto(photo.sha256);
}

let sending = false;

// Readings first: photos wait until nothing else does.
export async function sendPhotos() {
  if (sending || keeper.unsent().length) return;
  sending = true;
  try {
    const photos = await box.allPhotos();
    if (photos.length) {
      const { token } = await fetchJson("/field/me.json");
      for (const photo of photos) await sendOne(photo, token);
    }
  } catch {
    // Cut off: the next time goes on from what the laptop has.
  }
  sending = false;
}

export const waitingPhotos = async () => (await box.allPhotos()).length;

export function startPhotos() {
  onSent(sendPhotos);
  watchLine(({ state }) => {
    if (state === "reached") sendPhotos();
  });
}
