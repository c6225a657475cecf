// A laboratory's sheet: whatever is pointed at, the page shows at once what it would bring. The form works by itself;
// this sends it after every choice and puts in the parts that follow from it.
const form = document.querySelector("form[data-sheet]");
if (form) {
  let turn = 0;
  let waiting;
  const show = async () => {
    const mine = turn;
    const data = new URLSearchParams(new FormData(form));
    data.set("do", "look");
    let text;
    try {
      const answer = await fetch(form.action, { method: "POST", body: data });
      text = await answer.text();
    } catch {
      return; // the button "Show again" is still there
    }
    if (mine !== turn) return; // another choice was made meanwhile
    const next = new DOMParser().parseFromString(text, "text/html");
    if (!next.querySelector("form[data-sheet]")) return;
    const focused = document.activeElement?.id;
    const scrolled = document.querySelector(".lab-grid")?.scrollLeft;
    for (const part of document.querySelectorAll("[data-live]")) {
      const fresh = next.getElementById(part.id);
      if (fresh) part.replaceWith(document.importNode(fresh, true));
    }
    if (focused) document.getElementById(focused)?.focus({ preventScroll: true });
    if (scrolled) document.querySelector(".lab-grid").scrollLeft = scrolled;
    form.dataset.shown = String(turn);
  };
  form.addEventListener("change", (event) => {
    if (event.target.name === "mapping") return; // a name changes nothing that is shown
    turn++; // an answer to what stood there before would undo this choice
    clearTimeout(waiting);
    waiting = setTimeout(show, 150);
  });
}
