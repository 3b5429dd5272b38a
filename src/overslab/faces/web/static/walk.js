// The line above a page of a job: says what is being worked out, and when something new is there.
const line = document.getElementById("walk-state");
let tag = line ? line.dataset.tag : "";
let settled = line ? line.classList.contains("state-fresh") : true;
let wait = 700;

async function look() {
  try {
    const answer = await fetch(`/jobs/${line.dataset.job}/state`, {
      headers: { Accept: "application/json", "If-None-Match": `"${tag}"` },
    });
    if (answer.status === 200) {
      const told = await answer.json();
      const before = tag;
      tag = told.tag;
      line.className = `state state-${told.state}`;
      line.textContent = told.says;
      if (told.settled && before !== tag) offerNew();
      settled = told.settled;
    }
  } catch {
    // No signal; what is shown stays.
  }
  wait = settled ? Math.min(wait * 1.5, 15000) : 700;
  setTimeout(look, wait);
}

// Nothing moves under a finger: the new answer is shown when the person asks for it, unless the
// page holds nothing that was typed.
function offerNew() {
  if (!document.querySelector("main form :is(input:not([type=hidden]), textarea, select)")) {
    location.reload();
    return;
  }
  const again = document.createElement("button");
  again.className = "quiet";
  again.textContent = "Show the new answer";
  again.addEventListener("click", () => location.reload());
  line.className = "state state-stale";
  line.append(" ", again);
}

if (line && line.dataset.job) setTimeout(look, wait);
