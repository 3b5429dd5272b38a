// The field book as this phone sees it: every line, where it is now, and putting one right.
import { look } from "./check.js";
import { job, looksRight, RIGHT, startJob, watchJob } from "./data.js";
import { arrived } from "./fold.js";
import { keeper } from "./keeper.js";
import { FORMS, readRod, writeGap } from "./rod.js";
import { send } from "./send.js";
import { $, jobId, make, start } from "./status.js";

let picked = "";

function where(row) {
  if (row.struck) return "struck";
  if (row.refused) return `problem: ${keeper.marks.get(row.id)?.why ?? "in the office's tray"}`;
  const event = keeper.events.get(row.event);
  if (!event) return "at the laptop";
  return keeper.marks.get(event.id)?.have || arrived(job.data, event) ? "at the laptop" : "on this phone";
}

function doubt(row, right) {
  if (row.struck || row.refused || right.has(row.id)) return "";
  const own = look(row, job.rows, job.data);
  const told = job.suspects.find((one) => one.ids.includes(row.id) && Math.abs(one.reading_m - row.reading_m) < 1e-4);
  const gap = own?.gap_m ?? told?.gap_m;
  if (gap === undefined) return "";
  const slip = own?.slip || told?.slip;
  return `asked about: ${writeGap(job.data.rod, gap, job.data.step_m)} ${gap > 0 ? "more" : "less"} than would fit${slip ? `, ${slip}?` : ""}`;
}

function lineOf(row, right) {
  const line = make("tr", "", { class: row.struck ? "struck" : "" });
  const name = make("th", "", { scope: "row" });
  if (row.struck || row.refused) name.append(row.point);
  else name.append(make("button", row.point, { type: "button", class: "pick", onclick: () => pick(row) }));
  const odd = doubt(row, right);
  const what = make("td", `${row.kind}, set-up ${row.setup}${row.note ? `: ${row.note}` : ""} `);
  what.append(make("b", where(row)));
  if (odd) what.append(make("b", `▲ ${odd}`, { class: "odd" }));
  line.append(name, make("td", row.reading, { class: "figure" }), what);
  return line;
}

function show() {
  if (!job.known && !job.rows.length) return; // what the server wrote stays until there is better
  const right = looksRight();
  const rows = [...job.rows].reverse();
  $("readings").tBodies[0].replaceChildren(...rows.map((row) => lineOf(row, right)));
  const standing = rows.filter((row) => !row.struck && !row.refused).length;
  $("summary").textContent = `${standing} ${standing === 1 ? "reading stands" : "readings stand"}, the newest first.`;
}

function pick(row) {
  picked = row.id;
  $("amend").hidden = false;
  $("amend-name").textContent = `${row.point}, ${row.kind}, set-up ${row.setup}`;
  $("a-reading").value = row.reading;
  fault("");
  $("amend-name").focus();
  $("amend").scrollIntoView({ block: "nearest" });
}

function fault(words) {
  $("a-fault").hidden = !words;
  $("a-fault").textContent = words;
  if (words) $("a-reading").focus();
}

async function act(kind, body) {
  const kept = await keeper.keep(jobId, kind, body);
  if (!kept.in.length) return fault("This is NOT kept on this phone: write it on paper.");
  $("amend").hidden = true;
  send();
  return undefined;
}

$("amend-form").addEventListener("submit", (event) => {
  event.preventDefault();
  const row = job.rows.find((one) => one.id === picked);
  const reading = $("a-reading").value.trim();
  if (!Number.isFinite(readRod(job.data.rod, reading))) {
    fault(`${reading || "Nothing"} cannot be read as a rod reading. Write it like ${FORMS[job.data.rod]}.`);
    return;
  }
  const cells = Object.fromEntries(
    ["point", "x", "y", "grid", "setup", "kind", "note"].map((name) => [name, row[name]]).filter(([, text]) => text),
  );
  act("shot-replaced", { ...cells, reading, of: row.id });
});
$("amend-strike").addEventListener("click", () => act("shot-struck", { of: picked }));
$("amend-right").addEventListener("click", () => act("note-kept", { text: RIGHT, about: picked }));
$("amend-back").addEventListener("click", () => {
  $("amend").hidden = true;
});
watchJob(show);
await start({ isIdle: () => $("amend").hidden });
await startJob({ suspects: true });
