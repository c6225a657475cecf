// The view switch without loading the page again. Without this module its buttons post a form that does the same.
const root = document.documentElement;
const form = document.querySelector("form.view");

function show(view) {
  if (view) root.dataset.view = view;
  else delete root.dataset.view;
  for (const b of form.elements) {
    if (!b.dataset?.set) continue;
    const on = b.dataset.set === view;
    b.setAttribute("aria-pressed", String(on));
    b.value = on ? "" : b.dataset.set;
  }
  document.cookie = `underfoot_view=${view}; path=/; samesite=lax; max-age=${view ? 400 * 24 * 3600 : 0}`;
}

form?.addEventListener("submit", (event) => {
  event.preventDefault();
  show(event.submitter?.value ?? "");
});

// Wide figures open at today's end on a narrow screen.
for (const el of document.querySelectorAll(".plot[data-end]")) el.scrollLeft = el.scrollWidth;
