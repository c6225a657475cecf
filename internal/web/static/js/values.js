// Values of pictures: one stop of the Tab key a picture, arrows along its marks, Home and End, Escape leaves; a tap or the
// pointer shows the value in a label near the mark. Without this module each mark takes focus and shows its value in the
// picture, and the table beneath holds all.
const label = document.createElement("p");
label.className = "value-label";
label.hidden = true;
label.setAttribute("aria-hidden", "true"); // the mark itself is read out
document.body.append(label);
document.documentElement.classList.add("labels");

let shown = null;

function show(mark) {
  shown = mark;
  label.textContent = mark.getAttribute("aria-label");
  label.hidden = false;
  const at = mark.getBoundingClientRect();
  const own = label.getBoundingClientRect();
  const wide = document.documentElement.clientWidth;
  const left = Math.min(Math.max(6, at.left + at.width / 2 - own.width / 2), Math.max(6, wide - own.width - 6));
  const above = at.top - own.height - 6;
  label.style.left = `${left + scrollX}px`;
  label.style.top = `${(above > 0 ? above : at.bottom + 6) + scrollY}px`;
}

function hide() {
  shown = null;
  label.hidden = true;
}

const markOf = (event) => event.target.closest?.(".mark") ?? null;

// along gives the marks of a picture in the order of reading: as they are drawn.
const along = (mark) => [...mark.ownerSVGElement.querySelectorAll(".mark")];

function prepare(root) {
  for (const svg of root.querySelectorAll("svg.chart")) {
    const marks = svg.querySelectorAll(".mark");
    marks.forEach((m, i) => m.setAttribute("tabindex", i === 0 ? "0" : "-1"));
  }
}

function go(from, to) {
  from.setAttribute("tabindex", "-1");
  to.setAttribute("tabindex", "0");
  to.focus();
}

document.addEventListener("focusin", (event) => {
  const mark = markOf(event);
  if (mark) show(mark);
  else if (shown) hide();
});
document.addEventListener("focusout", (event) => {
  if (markOf(event)) hide();
});
document.addEventListener("pointerover", (event) => {
  const mark = markOf(event);
  if (mark) show(mark);
  else if (shown && document.activeElement !== shown) hide();
});
document.addEventListener("pointermove", (event) => { // over a mark that was scrolled under the pointer, or whose label was put away
  const mark = markOf(event);
  if (mark && mark !== shown) show(mark);
}, { passive: true });
document.addEventListener("click", (event) => {
  const mark = markOf(event);
  if (!mark) return;
  const stop = along(mark).find((m) => m.getAttribute("tabindex") === "0") ?? mark;
  go(stop, mark);
  show(mark);
});
document.addEventListener("keydown", (event) => {
  const mark = markOf(event);
  if (event.key === "Escape" && shown) {
    hide();
    mark?.blur();
    return;
  }
  if (!mark || event.altKey || event.ctrlKey || event.metaKey) return;
  const marks = along(mark);
  const i = marks.indexOf(mark);
  const to = { ArrowRight: i + 1, ArrowDown: i + 1, ArrowLeft: i - 1, ArrowUp: i - 1, Home: 0, End: marks.length - 1 }[event.key];
  if (to === undefined) return;
  event.preventDefault();
  if (marks[to]) go(mark, marks[to]);
});
addEventListener("scroll", () => shown && document.activeElement !== shown && hide(), { passive: true });

prepare(document);
new MutationObserver((list) => {
  for (const change of list) for (const node of change.addedNodes) if (node.querySelectorAll) prepare(node);
}).observe(document.getElementById("main") ?? document.body, { childList: true, subtree: true });
