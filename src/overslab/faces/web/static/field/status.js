// What every field page has: the three state words, the look, the banner, the kept copy of the pages.
import { keeper } from "./keeper.js";
import { line, SKEW_MS, startSending, watchLine } from "./send.js";

export const jobId = (location.pathname.match(/^\/field\/([0-9a-f]{32})/) ?? [])[1] ?? "";
export const $ = (id) => document.getElementById(id);

// An element with its words; text only, so that nothing typed can become markup.
export function make(tag, words = "", more = {}) {
  const made = document.createElement(tag);
  made.textContent = words;
  for (const [name, value] of Object.entries(more)) {
    if (name === "class") made.className = value;
    else if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else made.setAttribute(name, value);
  }
  return made;
}

const ASK_AGAIN_MS = 3000;
const WAYS = {
  unknown: "Looking for the laptop.",
  sending: "Sending to the laptop.",
  reached: "The laptop is in reach.",
  away: "The laptop is out of reach. Go on typing; it is sent later.",
  refused: "",
};

function showCounts() {
  const counts = keeper.counts();
  for (const box of document.querySelectorAll("[data-count]")) {
    const count = counts[box.dataset.count];
    box.querySelector("b").textContent = count;
    box.classList.toggle("some", count > 0);
  }
  document.body.classList.toggle("has-problem", counts.problem > 0 || keeper.troubles.size > 0);
}

function showLine() {
  const words = line.says || WAYS[line.state] || "";
  if ($("line-words").textContent !== words) $("line-words").textContent = words;
  document.body.dataset.line = line.state;
  showBanner();
}

// One banner, the worst thing first. It lies over the head of the page, so that no key ever moves.
function showBanner() {
  const said = [];
  for (const [store, why] of keeper.troubles) {
    said.push(store === "log"
      ? `The first store of this phone fails (${why}); the second one keeps what is typed.`
      : `The second store of this phone fails (${why}); the first one keeps what is typed.`);
  }
  if (keeper.troubles.size === 2) said.unshift("Nothing can be kept on this phone now: write on paper and free some storage.");
  if (line.says) said.push(line.says);
  if (Math.abs(line.skew_ms) > SKEW_MS) said.push("This phone's clock is off; the laptop's clock is taken.");
  const words = said.join(" ");
  if ($("banner-words").textContent === words) return;
  $("banner-words").textContent = words;
  $("banner").hidden = !words;
}

function startLook() {
  const button = $("look");
  const root = document.documentElement;
  const set = (look) => {
    root.dataset.look = look;
    button.setAttribute("aria-pressed", String(look === "night"));
    button.textContent = look === "night" ? "Sun" : "Dark";
  };
  set(localStorage.getItem("field-look") ?? root.dataset.look);
  button.addEventListener("click", () => {
    const look = root.dataset.look === "night" ? "sun" : "night";
    localStorage.setItem("field-look", look);
    set(look);
  });
}

// The kept copy of the pages. A new one waits beside the old until nothing is half typed.
export async function startWorker(isIdle = () => true) {
  if (!navigator.serviceWorker) return;
  try {
    const registration = await navigator.serviceWorker.register("/field/sw.js", { scope: "/field/" });
    const take = () => {
      if (registration.waiting && isIdle()) registration.waiting.postMessage("take over");
    };
    take();
    // Asked again while it waits: what was half typed is kept by then, or the old one was busy.
    setInterval(take, ASK_AGAIN_MS);
    registration.addEventListener("updatefound", () => {
      registration.installing?.addEventListener("statechange", take);
    });
  } catch {
    // No worker: the page lives as long as its tab, and the banner has said so.
    showBanner();
  }
}

export async function fetchJson(address, { method = "GET" } = {}) {
  const answer = await fetch(address, { method, headers: { Accept: "application/json" } });
  if (!answer.ok) throw Object.assign(new Error(`answer ${answer.status}`), { status: answer.status });
  return answer.json();
}

async function knowWho() {
  try {
    const { who } = await fetchJson("/field/me.json");
    await keeper.setWho(who);
  } catch {
    // Out of reach: the name known from before stands in what is typed now.
  }
}

export function setWays(job) {
  for (const way of document.querySelectorAll("[data-way]")) way.href = `/field/${job}${way.dataset.way}`;
}

export async function start({ isIdle } = {}) {
  document.documentElement.classList.add("script");
  // Before anything else: this line stays, and what stands under it must not move later.
  $("plain-http").hidden = window.isSecureContext;
  $("banner-seen").addEventListener("click", () => {
    $("banner").hidden = true;
  });
  startLook();
  if (jobId) setWays(jobId);
  watchLine(showLine);
  keeper.watch(() => {
    showCounts();
    showBanner();
  });
  await keeper.open();
  knowWho();
  startSending();
  startWorker(isIdle);
  // Asked once; browsers answer by themselves and often say no, so nothing is built on it.
  navigator.storage?.persist?.();
}
