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

function touched(field) {
  if (field === document.activeElement) return true;
  if (field.type === "checkbox" || field.type === "radio") return field.checked !== field.defaultChecked;
  if (field.type === "file") return field.files.length > 0;
  if (field.tagName !== "SELECT") return field.value !== field.defaultValue;
  const meant = [...field.options].findIndex((option) => option.defaultSelected);
  return field.selectedIndex !== Math.max(0, meant);
}

// Nothing moves under a finger: the new answer is shown when the person asks for it, unless nothing
// on the page was touched.
function offerNew() {
  const fields = document.querySelectorAll("main form :is(input:not([type=hidden]), textarea, select)");
  // Whoever stands on a key of a form with the keyboard is about to press it.
  const held = document.activeElement?.closest("main form");
  if (!held && ![...fields].some(touched)) {
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
