// What is kept where, sending by hand, and the way that always works: a file.
import { keeper, stamp } from "./keeper.js";
import { startPhotos, waitingPhotos } from "./photo.js";
import { line, send, watchLine } from "./send.js";
import { $, make, start } from "./status.js";

function wordsOf(event) {
  const { point, reading, text, of } = event.body;
  const what = { "shot-kept": "shot", "shot-replaced": "put right", "shot-struck": "struck out", undone: "taken back",
    "note-kept": "note", "ticket-kept": "ticket", "photo-added": "photo", "finding-kept": "finding" }[event.kind] ?? event.kind;
  const about = keeper.events.get(of)?.body.point ?? "";
  return [what, point ?? about, reading ?? text ?? "", `at ${event.made_at.slice(11, 19)}`, event.who].filter(Boolean).join(", ");
}

function answer({ phone, laptop, problem }) {
  if (keeper.troubles.size === 2) return "This phone cannot keep anything now.";
  if (!phone && !problem) return laptop ? "Everything typed on this phone is at the laptop." : "Nothing was typed on this phone yet.";
  const stores = keeper.log.there && !keeper.troubles.size ? "in two stores of this phone" : "in one store of this phone";
  const left = phone ? `${phone} ${phone === 1 ? "entry waits" : "entries wait"}, safe ${stores}.` : "";
  const tray = problem ? `${problem} ${problem === 1 ? "lies" : "lie"} in the office's tray.` : "";
  return [left, tray].filter(Boolean).join(" ");
}

function list(box, holder, events, words) {
  $(holder).hidden = !events.length;
  $(box).replaceChildren(...events.slice(-200).reverse().map((event) => make("li", words(event))));
}

async function show() {
  const counts = keeper.counts();
  if ($("answer").textContent !== answer(counts)) $("answer").textContent = answer(counts);
  const photos = await waitingPhotos().catch(() => 0);
  const skew = Math.round(line.skew_ms / 1000);
  const facts = [
    ["on this phone", `${counts.phone}`], ["at the laptop", `${counts.laptop}`], ["problem", `${counts.problem}`],
    ["photos waiting", `${photos}`],
    ["first store, the log", keeper.log.there ? keeper.troubles.get("log") ?? "works" : "not on this address (plain http)"],
    ["second store", keeper.troubles.get("box") ?? "works"],
    ["opens without signal", navigator.serviceWorker?.controller ? "yes" : "no, keep the tab open"],
    ["this phone's clock", Math.abs(skew) < 120 ? "agrees with the laptop" : `${Math.abs(skew)} s ${skew > 0 ? "behind" : "ahead of"} the laptop`],
    ["this phone", keeper.device.slice(0, 8)], ["name", keeper.who || "not told yet"],
  ];
  $("facts").replaceChildren(...facts.flatMap(([name, text]) => [make("dt", name), make("dd", text)]));
  list("problem-list", "problems", keeper.problems(), (event) => `${wordsOf(event)}: ${keeper.marks.get(event.id).why} `);
  keeper.problems().slice(-200).reverse().forEach((event, i) => {
    $("problem-list").children[i].append(make("button", "Seen", { type: "button", onclick: () => keeper.seen(event.id) }));
  });
  list("unsent-list", "unsent", keeper.unsent(), wordsOf);
}

// The file is what would be sent, line for line; the laptop may take it in any number of times.
async function handOver(events) {
  const told = $("hand-over-told");
  if (!events.length) {
    told.textContent = "There is nothing to hand over.";
    return;
  }
  const name = `field-${keeper.device.slice(0, 8)}-${stamp().slice(0, 16).replace(/[:T]/g, "-")}.jsonl`;
  const text = `${events.map((event) => JSON.stringify(event)).join("\n")}\n`;
  const file = new File([text], name, { type: "application/x-ndjson" });
  const sharing = matchMedia("(pointer: coarse)").matches && navigator.canShare?.({ files: [file] });
  if (sharing) {
    try {
      await navigator.share({ files: [file], title: name });
      told.textContent = `${name} was handed on. It stays on this phone too.`;
      return;
    } catch {
      // Not shared after all: give it as a download.
    }
  }
  const link = make("a", "", { href: URL.createObjectURL(file), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  told.textContent = `${name} lies in the downloads, ${events.length} ${events.length === 1 ? "entry" : "entries"}. It stays on this phone too.`;
}

$("send-now").addEventListener("click", send);
$("hand-over").addEventListener("click", () => handOver(keeper.unsent()));
$("hand-over-all").addEventListener("click", () => handOver(keeper.ofJob()));
startPhotos();
await start();
keeper.watch(show);
watchLine(show);
