// Notes, tickets and photos, kept like shots: on this phone first.
import { job, RIGHT, startJob, watchJob } from "./data.js";
import { arrived } from "./fold.js";
import { keeper } from "./keeper.js";
import { addPhoto, startPhotos } from "./photo.js";
import { send } from "./send.js";
import { $, jobId, make, start } from "./status.js";

const words = (kind, body) => {
  if (kind === "note-kept") return body.about ? `${body.text} (${body.about})` : body.text;
  if (kind === "photo-added") return `Photo${body.about ? `: ${body.about}` : ""}`;
  return `Ticket: ${Object.entries(body).map(([name, text]) => `${name.replace("_", " ")} ${text}`).join(", ")}`;
};

function show() {
  const here = keeper.ofJob(jobId).filter((e) => ["note-kept", "ticket-kept", "photo-added"].includes(e.kind));
  const own = new Set(here.map((event) => event.id));
  const told = [
    ...job.data.notes.map((one) => ["note-kept", one, { text: one.text, about: one.about }]),
    ...job.data.tickets.map(({ id, struck, who, ...body }) =>
      ["ticket-kept", { id, struck, who }, Object.fromEntries(Object.entries(body).filter(([, text]) => text))]),
  ].filter(([, one]) => !one.struck && !own.has(one.id));
  const lines = [
    ...told.map(([kind, , body]) => [kind, body, "at the laptop"]),
    ...here.map((event) => {
      const mark = keeper.marks.get(event.id);
      const there = mark?.have || arrived(job.data, event);
      return [event.kind, event.body, mark?.have === false ? `problem: ${mark.why}` : there ? "at the laptop" : "on this phone"];
    }),
  ].filter(([, body]) => body.text !== RIGHT); // answers about shots stand with their shots
  if (!lines.length && !job.known) return;
  $("kept").replaceChildren(...lines.reverse().map(([kind, body, where]) => {
    const item = make("li", `${words(kind, body)} `);
    item.append(make("b", where));
    return item;
  }));
}

function tell(text) {
  $("told").hidden = false;
  $("told").textContent = text;
}

for (const form of [$("note-form"), $("ticket-form")]) {
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const body = {};
    for (const field of form.querySelectorAll("input:not([type=hidden]), textarea")) {
      if (field.value.trim()) body[field.name] = field.value.trim();
    }
    if (!Object.keys(body).length) return tell("There is nothing in it yet.");
    const kept = await keeper.keep(jobId, form.dataset.kind, body);
    if (!kept.in.length) return tell("This is NOT kept on this phone: write it on paper.");
    form.reset();
    tell("Kept on this phone.");
    send();
    return undefined;
  });
}

$("p-file").addEventListener("change", async () => {
  const [file] = $("p-file").files;
  if (!file) return;
  $("photo-told").textContent = "Making it smaller.";
  $("photo-told").textContent = await addPhoto(jobId, file, $("p-about").value.trim());
  $("p-file").value = "";
  send();
});

watchJob(show);
startPhotos();
const halfTyped = () => [...document.querySelectorAll("form input:not([type=hidden]), textarea")].some((field) => field.value);
await start({ isIdle: () => !halfTyped() });
await startJob();
