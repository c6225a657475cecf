// A page with something still being worked out looks again by itself and takes the new matter in, unless its reader is in the
// middle of it. Without this module a link on the page does the same.
const mark = "[data-working]";
let pause = 1500;
let rounds = 0;

async function look() {
  if (document.hidden) return again();
  try {
    const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
    if (!answer.ok) return again();
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.getElementById("main");
    const main = document.getElementById("main");
    const fewer = fresh && fresh.querySelectorAll(mark).length < main.querySelectorAll(mark).length;
    const busy = main.contains(document.activeElement) || String(getSelection()) !== "" || main.querySelector("details[open]");
    if (fewer && !busy) {
      main.replaceChildren(...fresh.childNodes);
      pause = 1500;
    }
  } catch {
    // the program may have been ended: the page stays as it is
  }
  again();
}

function again() {
  if (!document.querySelector(mark) || ++rounds > 400) return;
  setTimeout(look, pause);
  pause = Math.min(pause * 1.4, 15000);
}

again();
