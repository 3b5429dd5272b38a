// The code that was scanned stands behind the # of the address, which no server ever sees. Put it
// into the form and out of the address, so that it is not left behind in the history.
const scanned = location.hash.slice(1);
if (scanned) {
  document.getElementById("token").value = scanned;
  document.getElementById("typed").hidden = true;
  history.replaceState(null, "", location.pathname);
}
