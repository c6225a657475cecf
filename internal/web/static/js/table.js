// Rows typed into a table: Enter goes down, a block copied from a spreadsheet fills rows, what seldom changes is offered
// from the row above, and what was typed is kept in this browser until it is stored. Without this module the same form
// works with its buttons.
const form = document.querySelector("form[data-table]");
const store = (() => { try { return window.localStorage; } catch { return null; } })();

if (form) {
  const key = "underfoot-table:" + form.dataset.table;
  const live = form.querySelector("[data-live]");
  const box = document.querySelector("[data-kept]");
  const fresh = form.querySelector("table[data-fresh] [data-rows]");
  const rowsOf = (body) => [...body.querySelectorAll("tr[data-row]")];
  const fieldsOf = (row) => [...row.querySelectorAll("[data-column]")];
  const named = () => [...form.elements].filter((e) => e.name && e.type !== "hidden" && e.tagName !== "BUTTON");
  const valueOf = (e) => (e.type === "checkbox" ? e.checked : e.value);
  const asStored = new Map(named().map((e) => [e.name, valueOf(e)]));
  if (document.querySelector(".done")) store?.removeItem(key); // it was stored

  function addRow() {
    const row = rowsOf(fresh).at(-1).cloneNode(true);
    const n = Number(form.elements.rows.value);
    row.dataset.row = n;
    row.firstElementChild.firstChild.textContent = String(n + 1);
    for (const e of fieldsOf(row)) {
      e.name = e.name.replace(/^r\d+-/, `r${n}-`);
      e.id = "f-" + e.name;
      e.removeAttribute("aria-invalid");
      e.removeAttribute("aria-describedby");
      e.setAttribute("aria-label", e.getAttribute("aria-label").replace(/^Row \d+/, `Row ${n + 1}`));
      e.value = "";
    }
    for (const e of row.querySelectorAll(".error")) e.remove();
    fresh.append(row);
    form.elements.rows.value = String(n + 1);
    return row;
  }

  // ---- kept in this browser
  let timer = 0, said = "", gone = false;
  function keep() {
    const changed = {};
    for (const e of named()) if (valueOf(e) !== (asStored.get(e.name) ?? (e.type === "checkbox" ? false : ""))) changed[e.name] = valueOf(e);
    const any = Object.keys(changed).length > 0;
    try {
      if (any) store?.setItem(key, JSON.stringify({ rows: rowsOf(fresh).length, values: changed }));
      else store?.removeItem(key);
      live.textContent = `${said} ${any ? "Kept in this browser as typed; not stored yet." : ""}`.trim();
    } catch {
      live.textContent = "This browser keeps nothing: store before you leave the page.";
    }
  }
  const soon = () => { clearTimeout(timer); timer = setTimeout(keep, 150); };

  function restore() {
    let draft;
    try { draft = JSON.parse(store?.getItem(key) ?? "null"); } catch { draft = null; }
    if (!draft?.values || typeof draft.values !== "object" || document.getElementById("errors")) return;
    while (rowsOf(fresh).length < Math.min(Number(draft.rows) || 0, 500)) addRow();
    let n = 0;
    for (const [name, value] of Object.entries(draft.values)) {
      const e = form.elements.namedItem(name);
      if (!e || e.type === "hidden" || valueOf(e) === value) continue;
      if (e.type === "checkbox") e.checked = value === true;
      else e.value = String(value);
      n++;
    }
    if (n === 0) return;
    box.hidden = false;
    box.querySelector("[data-kept-says]").textContent = `${n === 1 ? "One field was" : n + " fields were"} typed and not stored. They stand in the rows below again.`;
  }
  box.querySelector("[data-discard]")?.addEventListener("click", () => { gone = true; clearTimeout(timer); store?.removeItem(key); window.location.reload(); });
  window.addEventListener("pagehide", () => { if (!gone) keep(); });
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") keep(); });

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
    said = "";
    offer(field);
    down(field, event.shiftKey);
    soon();
  });
  form.addEventListener("keypress", (event) => { if (event.key === "Enter" && event.target.dataset?.column) event.preventDefault(); });
  form.addEventListener("change", (event) => { if (event.target.dataset?.column) offer(event.target); soon(); });
  form.addEventListener("input", soon);

  // ---- paste
  const match = (e, text) => {
    if (e.tagName !== "SELECT") return text;
    const t = text.trim().toLowerCase();
    return [...e.options].find((o) => o.value.toLowerCase() === t || o.text.trim().toLowerCase() === t)?.value;
  };
  form.addEventListener("paste", (event) => {
    const field = event.target;
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (!field.dataset?.column || !/[\t\n]/.test(text.trim())) return;
    event.preventDefault();
    const lines = text.replaceAll("\r\n", "\n").replaceAll("\r", "\n").split("\n").filter((l) => l.trim()).slice(0, 500);
    const body = field.closest("[data-rows]");
    const first = rowsOf(body).indexOf(field.closest("tr"));
    if (body === fresh) while (rowsOf(fresh).length < first + lines.length) addRow();
    const list = rowsOf(body);
    const start = fieldsOf(list[first]).indexOf(field);
    const lost = [];
    lines.forEach((line, i) => line.split("\t").forEach((cell, k) => {
      const value = cell.trim();
      if (!value) return;
      const e = list[first + i] && fieldsOf(list[first + i])[start + k];
      const put = e && match(e, value);
      if (put === undefined) lost.push(value);
      else e.value = put;
    }));
    said = `${lines.length === 1 ? "1 row" : lines.length + " rows"} pasted.` + (lost.length ? ` Not understood, or without a column: ${lost.slice(0, 5).join(", ")}${lost.length > 5 ? " and more" : ""}.` : "");
    keep();
  });

  restore();
}

document.getElementById("errors")?.focus();
