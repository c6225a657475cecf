// Rows typed into a table: Enter goes down, a block copied from a spreadsheet fills rows, and what seldom changes is offered
// from the row above. Without this module the same form works with its buttons.
import { keepDraft } from "./drafts.js";
import { pasting } from "./paste.js";
import { addRow as another, rowsOf } from "./rows.js";

const form = document.querySelector("form[data-table]");

if (form) {
  const fresh = form.querySelector("table[data-fresh] [data-rows]");
  const fieldsOf = (row) => [...row.querySelectorAll("[data-column]")];
  const addRow = () => another(form, fresh);
  const grow = (n) => { while (rowsOf(fresh).length < n) addRow(); };
  const draft = keepDraft(form, { grow });
  pasting(form, {
    rows: rowsOf, grows: (body) => body === fresh, grow: (body, n) => { if (body === fresh) grow(n); }, filled: draft.says,
  });

  // ---- keys
  function down(field, back) {
    const body = field.closest("[data-rows]");
    const list = rowsOf(body);
    const at = list.indexOf(field.closest("tr")) + (back ? -1 : 1);
    if (at < 0) return;
    const row = list[at] ?? (body === fresh ? addRow() : null);
    const next = row?.querySelector(`[data-column="${field.dataset.column}"]`);
    next?.focus();
    next?.select?.();
  }

  // What seldom changes is offered from the row above once something is typed into a new row.
  function offer(field) {
    const row = field.closest("tr");
    const above = rowsOf(fresh)[rowsOf(fresh).indexOf(row) - 1];
    if (row.parentElement !== fresh || !above || !field.value) return;
    for (const e of fieldsOf(row)) {
      if (e.dataset.ditto && !e.value && e !== field) e.value = above.querySelector(`[data-column="${e.dataset.column}"]`).value;
    }
  }

  form.addEventListener("keydown", (event) => {
    const field = event.target;
    if (event.key !== "Enter" || !field.dataset?.column || event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    draft.quiet();
    offer(field);
    down(field, event.shiftKey);
    draft.soon();
  });
  form.addEventListener("keypress", (event) => { if (event.key === "Enter" && event.target.dataset?.column) event.preventDefault(); });
  form.addEventListener("change", (event) => { if (event.target.dataset?.column) offer(event.target); });
}

document.getElementById("errors")?.focus();
