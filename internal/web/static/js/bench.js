// The sheet of a furnace run: Enter and Tab go down the column, a block copied from a spreadsheet fills rows, what a
// balance types is read as a number, and what was typed is kept in this browser until it is stored. Without this module
// the same form works with its buttons.
const sheet = document.querySelector("form[data-sheet]");
const store = (() => { try { return window.localStorage; } catch { return null; } })();
const prefix = "underfoot-sheet:";

// What was stored need not be kept any more.
for (const done of document.querySelectorAll("[data-stored-sheet]")) {
  if (document.querySelector(".done")) store?.removeItem(prefix + done.dataset.storedSheet);
}

// readMass reads "S S     29.1034 g", "+ 29.1034 g" or "29,1034" as a number in grams; null when it is none. The server
// reads it again and says what is wrong.
export function readMass(text) {
  const t = text.replaceAll("−", "-").replaceAll("\u00a0", " ").trim();
  const m = t.match(/^((?:[A-Za-z]+[\s,:;]*)*)([+-]?)\s*(\d+(?:[.,]\d+)?|\.\d+)\s*(mg|kg|g)?(?:\s+[SNG])?$/);
  if (!m) return null;
  const marks = m[1].toUpperCase().split(/[\s,:;]+/).filter(Boolean);
  const calm = ["S", "ST", "N", "G", "GS", "NT", "GROSS", "NET", "TARE", "T", "A", "M", "WT", "MASS"];
  if (marks.some((w) => !calm.includes(w))) return null;
  let digits = m[3].replace(",", ".");
  if (m[4] === "mg" || m[4] === "kg") return null; // the server moves the point without losing a digit
  if (digits.startsWith(".")) digits = "0" + digits;
  digits = digits.replace(/^0+(?=\d)/, "");
  return (m[2] === "-" && Number(digits) !== 0 ? "-" : "") + digits;
}

if (sheet) {
  const key = prefix + sheet.dataset.sheet;
  const body = sheet.querySelector("[data-rows]");
  const live = sheet.querySelector("[data-live]");
  const rows = () => [...body.querySelectorAll("tr[data-row]")];
  const fields = (row) => [...row.querySelectorAll("[data-column]")];
  const columns = fields(rows()[0]).map((f) => f.dataset.column);
  const at = (row, column) => row?.querySelector(`[data-column="${column}"]`);
  const named = () => [...sheet.elements].filter((e) => e.name && e.type !== "hidden" && e.tagName !== "BUTTON" && e.name !== "block");
  const valueOf = (e) => (e.type === "checkbox" ? e.checked : e.value);
  const asStored = new Map(named().map((e) => [e.name, valueOf(e)]));

  function addRow() {
    const last = rows().at(-1);
    const row = last.cloneNode(true);
    const n = rows().length;
    row.dataset.row = n;
    row.firstElementChild.firstChild.textContent = String(n + 1);
    for (const e of row.querySelectorAll("[name]")) {
      e.name = e.name.replace(/^r\d+-/, `r${n}-`);
      if (e.id) e.id = "f-" + e.name;
      e.removeAttribute("aria-invalid");
      e.removeAttribute("aria-describedby");
      e.removeAttribute("placeholder");
      const label = e.getAttribute("aria-label");
      if (label) e.setAttribute("aria-label", label.replace(/^Row \d+/, `Row ${n + 1}`));
      if (e.type === "checkbox") e.checked = false;
      else if (e.tagName !== "SELECT") e.value = "";
      else e.value = "sample";
    }
    for (const e of row.querySelectorAll(".error,.hint")) e.remove();
    row.querySelector("[data-om]").value = "";
    last.after(row);
    sheet.elements.rows.value = String(rows().length);
    return row;
  }

  // What the crucible lost, as it is typed.
  function lost(row) {
    const mass = (c) => { const t = at(row, c)?.value.trim(); const v = t ? readMass(t) : null; return v === null ? NaN : Number(v); };
    const again = (c) => { const v = mass(c.replace("_g", "_again_g")); return Number.isNaN(v) ? mass(c) : v; };
    const tare = mass("tare_g"), dry = again("dry_g"), ash = again("ash_g");
    const v = ((dry - ash) / (dry - tare)) * 100;
    row.querySelector("[data-om]").value = at(row, "kind")?.value !== "blank" && dry > tare && Number.isFinite(v) ? v.toFixed(2).replace("-", "−") : "";
  }

  function offer(row) {
    const name = at(row, "crucible")?.value;
    const known = [...document.querySelectorAll("#crucibles option")].find((o) => o.value === name);
    if (known?.dataset.tare) at(row, "tare_g").placeholder = known.dataset.tare;
  }

  // ---- kept in this browser -------------------------------------------------------
  let timer = 0;
  let pasted = ""; // what the last paste came to, until a key is pressed
  function keep() {
    const changed = {};
    for (const e of named()) if (valueOf(e) !== (asStored.get(e.name) ?? (e.tagName === "SELECT" ? "sample" : e.type === "checkbox" ? false : ""))) changed[e.name] = valueOf(e);
    try {
      if (Object.keys(changed).length === 0) store?.removeItem(key);
      else store?.setItem(key, JSON.stringify({ at: new Date().toISOString(), rows: rows().length, values: changed }));
      live.textContent = `${pasted} ${Object.keys(changed).length ? "Kept in this browser as typed; not stored yet." : ""}`.trim();
    } catch {
      live.textContent = "This browser keeps nothing: store before you leave the page.";
    }
  }
  const soon = () => { clearTimeout(timer); timer = setTimeout(keep, 150); };

  function restore() {
    let draft;
    try { draft = JSON.parse(store?.getItem(key) ?? "null"); } catch { draft = null; }
    if (!draft?.values || typeof draft.values !== "object") return;
    while (rows().length < Math.min(Number(draft.rows) || 0, 500)) addRow();
    let n = 0;
    for (const [name, value] of Object.entries(draft.values)) {
      const e = sheet.elements.namedItem(name);
      if (!e || e.type === "hidden" || valueOf(e) === value) continue;
      if (e.type === "checkbox") e.checked = value === true;
      else e.value = String(value);
      n++;
    }
    if (n === 0) return;
    const box = document.querySelector("[data-kept]");
    const when = new Date(draft.at);
    box.hidden = false;
    box.querySelector("[data-kept-says]").textContent = `${n === 1 ? "One field" : n + " fields"} typed ${Number.isNaN(when.getTime()) ? "" : "on " + when.toLocaleString("en-GB", { day: "numeric", month: "long", hour: "2-digit", minute: "2-digit" }) + " "}were not stored. They are in the sheet below again.`;
  }

  document.querySelector("[data-discard]")?.addEventListener("click", () => { clearTimeout(timer); store?.removeItem(key); });
  window.addEventListener("pagehide", keep);
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") keep(); });

  // ---- keys -----------------------------------------------------------------------
  const tidy = (e) => {
    if (!e.classList?.contains("mass") || !e.value.trim()) return;
    const v = readMass(e.value);
    if (v !== null) e.value = v;
  };

  // on goes down the column, and from its foot to the head of the next.
  function on(field, back) {
    const list = rows();
    const row = list.indexOf(field.closest("tr"));
    const column = columns.indexOf(field.dataset.column);
    let r = row + (back ? -1 : 1), c = column;
    if (r >= list.length) { r = 0; c++; }
    if (r < 0) { r = list.length - 1; c--; }
    const next = columns[c] && at(list[r], columns[c]);
    if (!next) return false;
    next.focus();
    next.select?.();
    return true;
  }

  body.addEventListener("keydown", (event) => {
    const field = event.target;
    if (!field.dataset?.column || event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return;
    pasted = "";
    if (event.key !== "Enter" && event.key !== "Tab") return;
    tidy(field);
    lost(field.closest("tr"));
    const gone = on(field, event.shiftKey);
    if (event.key === "Enter" || gone) event.preventDefault(); // Enter never sends the form: a balance ends its line with it
    soon();
  });

  body.addEventListener("keypress", (event) => { if (event.key === "Enter" && event.target.dataset?.column) event.preventDefault(); });

  body.addEventListener("focusout", (event) => {
    tidy(event.target);
    const row = event.target.closest?.("tr[data-row]");
    if (row) { lost(row); offer(row); }
    soon();
  });

  // ---- paste ----------------------------------------------------------------------
  body.addEventListener("paste", (event) => {
    const field = event.target;
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (!field.dataset?.column || !/[\t\n]/.test(text.trim())) return;
    event.preventDefault();
    const lines = text.replaceAll("\r\n", "\n").replaceAll("\r", "\n").split("\n").filter((l) => l.trim()).slice(0, 500);
    const cells = lines.map((l) => l.split("\t").map((c) => c.trim()));
    const wide = Math.max(...cells.map((c) => c.length));
    const start = columns.indexOf(field.dataset.column);
    // Columns a block seldom has are left out when it has no room for them.
    let to = columns.slice(start);
    for (const spare of ["dry_again_g", "ash_again_g", "kind", "moist_g"]) {
      const kinds = spare === "kind" && cells.some((c) => c.some((v) => ["sample", "blank", "control", "duplicate"].includes(v)));
      if (spare !== field.dataset.column && !kinds && (to.length > wide || spare === "kind" || spare.includes("again"))) to = to.filter((c) => c !== spare);
    }
    const first = rows().indexOf(field.closest("tr"));
    while (rows().length < first + lines.length) addRow();
    const list = rows();
    let beyond = 0;
    cells.forEach((line, i) => line.forEach((value, k) => {
      const e = to[k] && at(list[first + i], to[k]);
      if (!e) { if (value) beyond++; return; }
      if (value === "") return;
      e.value = value;
      tidy(e);
    }));
    for (const row of list) lost(row);
    pasted = `${lines.length === 1 ? "1 row" : lines.length + " rows"} pasted into ${to.slice(0, wide).map((c) => c.replace("_g", "")).join(", ")}.` + (beyond ? ` ${beyond} cells had no column.` : "");
    keep();
  });

  sheet.addEventListener("input", soon);
  sheet.addEventListener("change", soon);
  restore();
  for (const row of rows()) { lost(row); offer(row); }
}

document.getElementById("errors")?.focus();
