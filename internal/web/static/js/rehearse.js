// The work of a season plan: what it would do is worked out again as soon as an entry changes, and stands in the address.
// Without this module the button "Rehearse" loads the page with the same answer.
const form = document.querySelector("form[data-rehearse]");

if (form) {
  const part = document.getElementById("rehearsal");
  let running = null;
  let waiting = 0;

  // What is wrong, and what is to be said of a row, stands beside its field.
  const place = () => {
    for (const el of form.querySelectorAll("[id^=e-]")) if (/^e-(date|op|mm|row|out)-\d+$/.test(el.id)) el.textContent = "";
    for (const el of form.querySelectorAll("[aria-invalid=true]")) el.setAttribute("aria-invalid", "false");
    for (const li of part.querySelectorAll("[data-faults] li")) {
      const slot = document.getElementById(`e-${li.dataset.for}`);
      if (slot) slot.textContent = li.textContent;
      if (/^(date|op|mm)-/.test(li.dataset.for)) document.getElementById(`f-${li.dataset.for}`)?.setAttribute("aria-invalid", "true");
    }
  };

  const rehearse = async () => {
    running?.abort();
    const mine = (running = new AbortController());
    const query = new URLSearchParams(new FormData(form)).toString();
    part.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(`${form.dataset.rehearse}?${query}`, { signal: mine.signal });
      if (!answer.ok) throw new Error(`status ${answer.status}`);
      part.innerHTML = await answer.text();
      place();
      history.replaceState(null, "", `${new URL(form.action).pathname}?${query}#work`);
    } catch (fault) {
      if (fault.name === "AbortError") return;
      const line = document.createElement("p");
      line.className = "error";
      line.textContent = "It could not be rehearsed just now. What you typed is still here; press Rehearse to try again.";
      part.replaceChildren(line);
    }
    if (mine === running) part.setAttribute("aria-busy", "false");
  };

  const soon = (wait) => {
    clearTimeout(waiting);
    waiting = setTimeout(rehearse, wait);
  };
  form.addEventListener("input", (event) => soon(event.target.name === "mm" ? 120 : 40));
  form.addEventListener("submit", (event) => {
    const button = event.submitter;
    if (button?.name === "move") { // a week earlier or later, without loading the page again
      const [row, days] = button.value.split(" ").map(Number);
      const field = document.getElementById(`f-date-${row}`);
      if (!field?.valueAsDate) return;
      event.preventDefault();
      field.valueAsNumber += days * 864e5;
      soon(0);
      return;
    }
    if (button?.name !== "do" || button.value !== "rehearse") return;
    event.preventDefault();
    soon(0);
  });
}

document.getElementById("errors")?.focus();
