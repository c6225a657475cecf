// The page that puts reports together: the preview and the links follow what is picked and typed. Without this module the
// button "Keep and show" does the same.
const form = document.querySelector("form[data-builder]");
const targets = document.querySelectorAll("[data-report]");

function query() {
  const q = new URLSearchParams();
  for (const [name, value] of new FormData(form)) {
    if (["kind", "section", "for", "by", "note", "paper"].includes(name) && value !== "") q.append(name, value);
  }
  if (form.elements.no_logo?.checked) q.set("logo", "no");
  q.set("built", "1");
  return q;
}

// count asks how many pages the PDF takes; of several questions the last one is answered.
let asked = 0;
async function count(q) {
  const place = document.querySelector("[data-pages]"), mine = ++asked;
  if (!place) return;
  try {
    const answer = await fetch(`${place.dataset.pages}?${q}`);
    if (answer.ok && mine === asked) place.innerHTML = await answer.text();
  } catch {
    if (mine === asked) place.textContent = ""; // what it said before is no longer true
  }
}

function follow() {
  if (!form.querySelector("input[name=section]:checked")) return; // nothing is picked: the server says so
  const q = query().toString();
  count(q);
  for (const t of targets) {
    const to = `${t.dataset.report}?${q}${t.dataset.frame ? "&frame=1" : ""}`;
    if (t.tagName === "IFRAME") {
      if (t.getAttribute("src") === to) continue;
      t.setAttribute("aria-busy", "true");
      t.contentWindow.location.replace(to); // no step in the history for every letter
      t.dataset.at = to;
    } else {
      t.setAttribute("href", to);
    }
  }
}

if (form) {
  for (const t of targets) t.addEventListener("load", () => t.removeAttribute("aria-busy"));
  if (form.querySelector("[data-draft]:not([hidden])")) follow(); // what was typed before stands in it again
  let wait = 0;
  form.addEventListener("input", () => {
    clearTimeout(wait);
    wait = setTimeout(follow, 500);
  });
}
