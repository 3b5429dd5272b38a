// The list of jobs: as the server wrote it, or from what the phone has.
import { keeper } from "./keeper.js";
import { $, fetchJson, make, start } from "./status.js";

function show(lines) {
  $("jobs").replaceChildren(
    ...lines.map((line) => {
      const item = make("li");
      const link = make("a", "", { href: `/field/${line.id}` });
      const waiting = keeper.counts(line.id).phone;
      const shots = `${line.shots} ${line.shots === 1 ? "shot" : "shots"}${line.sample ? ", a made-up sample" : ""}`;
      link.append(make("b", line.name), make("span", waiting ? `${shots}; ${waiting} still on this phone` : shots));
      item.append(link);
      return item;
    }),
  );
  $("no-jobs").hidden = lines.length > 0;
}

await start();
try {
  const { jobs } = await fetchJson("/field/jobs.json");
  show(jobs);
  keeper.watch(() => show(jobs));
} catch {
  if (!$("jobs").children.length) $("no-jobs").textContent = "The list is not on this phone yet; come once within reach of the laptop.";
}
