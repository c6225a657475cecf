// The sheet of a furnace run: Enter and Tab go down the column, a block copied from a spreadsheet fills rows, and what a
// balance types is read as a number. Without this module the same form works with its buttons.
import { keepDraft } from "./drafts.js";
import { pasting } from "./paste.js";
import { addRow as another, rowsOf } from "./rows.js";

const sheet = document.querySelector("form[data-sheet]");

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
  const body = sheet.querySelector("[data-rows]");
  const rows = () => rowsOf(body);
  const columns = [...rows()[0].querySelectorAll("[data-column]")].map((f) => f.dataset.column);
  const at = (row, column) => row?.querySelector(`[data-column="${column}"]`);
  const tidy = (e) => {
    if (!e.classList?.contains("mass") || !e.value.trim()) return;
    const v = readMass(e.value);
    if (v !== null) e.value = v;
  };

  function addRow() {
    const row = another(sheet, body);
    row.querySelector("[data-om]").value = "";
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

  const filled = () => { for (const row of rows()) { lost(row); offer(row); } };
  const grow = (n) => { while (rows().length < n) addRow(); };
  const draft = keepDraft(sheet, { grow: (n) => { while (body.querySelectorAll("tr[data-row]:not([data-key])").length < n) addRow(); }, filled });

  // Columns a block seldom has are left out when it has no room for them.
  function order(all, from, block) {
    const wide = Math.max(...block.map((c) => c.length));
    let to = all.slice(all.indexOf(from));
    for (const spare of ["dry_again_g", "ash_again_g", "kind", "moist_g"]) {
      const kinds = spare === "kind" && block.some((c) => c.some((v) => ["sample", "blank", "control", "duplicate"].includes(v)));
      if (spare !== from && !kinds && (to.length > wide || spare === "kind" || spare.includes("again"))) to = to.filter((c) => c !== spare);
    }
    return to;
  }

  pasting(sheet, {
    rows: rowsOf, grows: () => true, grow: (_, n) => grow(n), order,
    read: (kind, text) => {
      if (kind !== "mass") return null;
      const v = readMass(text);
      return v !== null ? { value: v } : /\d\s*[mk]g$/.test(text) ? { value: text } : { why: "number" }; // mg and kg are read by the server, which loses no digit
    },
    filled: (sentence) => { filled(); draft.says(sentence); },
  });

  // ---- keys -----------------------------------------------------------------------
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
    draft.quiet();
    if (event.key !== "Enter" && event.key !== "Tab") return;
    tidy(field);
    lost(field.closest("tr"));
    const gone = on(field, event.shiftKey);
    if (event.key === "Enter" || gone) event.preventDefault(); // Enter never sends the form: a balance ends its line with it
    draft.soon();
  });

  body.addEventListener("keypress", (event) => { if (event.key === "Enter" && event.target.dataset?.column) event.preventDefault(); });

  body.addEventListener("focusout", (event) => {
    const was = event.target.value;
    tidy(event.target);
    const row = event.target.closest?.("tr[data-row]");
    if (row) { lost(row); offer(row); }
    if (event.target.value !== was) draft.soon();
  });

  filled();
}

document.getElementById("errors")?.focus();
