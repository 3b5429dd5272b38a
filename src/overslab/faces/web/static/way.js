// On a phone the order of work runs off the side: bring the page that is open into sight.
const way = document.querySelector(".way");
const here = way?.querySelector(".here");
if (here) way.scrollLeft = here.offsetLeft - way.offsetLeft - (way.clientWidth - here.offsetWidth) / 2;
