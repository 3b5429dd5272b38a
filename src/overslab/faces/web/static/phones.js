// While a code is shown: look whether a phone has come, and then show the page where it is let in.
const offer = document.getElementById("offer");

async function look() {
  try {
    const answer = await fetch(offer.dataset.waiting, { headers: { Accept: "application/json" } });
    if (answer.ok && (await answer.json()).waiting.length > 0) {
      location.href = "/phones";
      return;
    }
  } catch {
    // The laptop is busy or away; the next look will tell.
  }
  setTimeout(look, 1500);
}

if (offer) setTimeout(look, 1500);
