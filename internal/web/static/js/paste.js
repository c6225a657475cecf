// A block copied from a spreadsheet is shown before anything is put into fields: how many rows and columns, which column goes
// into which field, what is not understood and why, what it takes the place of. Enter puts it in, Escape leaves it; afterwards
// it can be taken out again in one go.
import { cells, marks, readDay, readNumber, words } from "./block.js";

const dialog = document.querySelector("dialog[data-paste]");
const text = (name, put = {}) => Object.entries(put).reduce((t, [k, v]) => t.replaceAll(`{${k}}`, v), dialog.dataset[name] ?? "");
const part = (name) => dialog.querySelector(`[data-${name}]`);
const make = (tag, props = {}, ...kids) => { const e = Object.assign(document.createElement(tag), props); e.append(...kids); return e; };
const most = 500, shownRows = 6, shownLines = 8;

// pasting takes blocks pasted into the fields of a form's rows. hooks: rows(body) gives the rows of a body; grow(body, n) makes
// rows until there are n, where it can; order(columns, from, block) the columns a block without headings goes into; read(kind,
// text) reads what the program's own fields understand; filled(sentence) follows after fields were filled.
export function pasting(form, hooks) {
  let undo = null;
  const button = form.querySelector("[data-paste-undo]");
  const fieldsOf = (row) => [...row.querySelectorAll("[data-column]")];
  const columnsOf = (row) => fieldsOf(row).map((e) => ({
    name: e.dataset.column, label: e.getAttribute("aria-label").replace(/^[^,]*, /, ""), kind: e.dataset.kind ?? (e.tagName === "SELECT" ? "select" : "text"),
    heads: new Set([e.dataset.column, e.getAttribute("aria-label").replace(/^[^,]*, /, ""), ...(e.dataset.heads ?? "").split("|")].flatMap((h) => [words(h), words(h.replace(/,.*$/, "")), h.trim().toLowerCase()]).filter(Boolean)),
    unit: e.dataset.unit ?? "", field: e,
  }));

  form.addEventListener("paste", (event) => {
    const field = event.target;
    const pasted = event.clipboardData?.getData("text/plain") ?? "";
    const lines = pasted.trim().split(/\r\n|\r|\n/).length;
    if (!field.dataset?.column) return;
    const block = cells(pasted);
    const wide = Math.max(0, ...block.map((r) => r.length));
    if (!block.length) return;
    if (lines < 2 && !pasted.includes("\t") && !(wide > 2 && pasted.includes(";"))) return; // a text for one field
    event.preventDefault();
    show(field, block.slice(0, most), block.length - most);
  });

  function show(field, block, beyond) {
    const body = field.closest("[data-rows]");
    const first = hooks.rows(body).indexOf(field.closest("tr"));
    const columns = columnsOf(field.closest("tr"));
    const byName = new Map(columns.map((c) => [c.name, c]));
    const how = marks(block);
    const headOf = (cell) => columns.find((c) => c.heads.has(words(cell)) || c.heads.has(cell.trim().toLowerCase()))?.name ?? "";
    const heads = block[0].map((c) => (c ? headOf(c) : ""));
    const known = heads.filter(Boolean).length, filled = block[0].filter(Boolean).length;
    const canHead = block.length > 1 && known > 0 && known * 2 >= filled && !block[0].some((c) => /^[-+−]?\d+([.,]\d+)?$/.test(c));
    let headed = canHead;
    const wide = Math.max(...block.map((r) => r.length));
    let to = [];
    const assign = () => {
      if (headed) to = heads.map((h, k) => (h && heads.indexOf(h) === k ? h : ""));
      else to = hooks.order ? hooks.order(columns.map((c) => c.name), field.dataset.column, block) : columns.map((c) => c.name).slice(columns.findIndex((c) => c.name === field.dataset.column));
      to = Array.from({ length: wide }, (_, k) => to[k] ?? "");
    };
    assign();

    // read gives what a cell puts into a field, or why it is not understood.
    function read(cell, column, e) {
      if (e.tagName === "SELECT") {
        const t = cell.toLowerCase();
        const o = [...e.options].find((x) => x.value.toLowerCase() === t || x.text.trim().toLowerCase() === t);
        return o ? { value: o.value, says: o.text.trim() } : { why: text("whyChoice", { allowed: [...e.options].map((x) => x.text.trim()).filter(Boolean).join(", ") }) };
      }
      const own = hooks.read?.(column.kind, cell);
      const got = own ?? (column.kind === "number" ? readNumber(cell, how, column.unit) : column.kind === "date" ? readDay(cell, dialog.dataset.dates === "month") : null);
      if (got) return got.why ? { why: text({ comma: "whyComma", point: "whyPoint", day: "whyDay" }[got.why] ?? "whyNumber") } : got;
      if (column.kind === "list" && e.list) {
        const t = cell.toLowerCase();
        const options = [...e.list.options];
        const o = options.find((x) => x.value.toLowerCase() === t) ?? options.find((x) => x.text.trim().toLowerCase() === t);
        return o ? { value: o.value } : { value: cell, unknown: e.dataset.open === undefined };
      }
      return { value: cell };
    }

    // plan says what would be put where.
    function plan() {
      const lines = headed ? block.slice(1) : block;
      const list = hooks.rows(body);
      const p = { lines, puts: [], bad: [], over: [], read: [], unknown: [], grid: [] };
      lines.forEach((line, i) => {
        const row = list[first + i];
        const grown = row ?? (hooks.grows(body) ? list.at(-1) : null);
        p.grid.push(Array.from({ length: wide }, (_, k) => {
          const cell = line[k] ?? "", column = byName.get(to[k]);
          if (!cell) return { cell };
          const where = { row: first + i + 1, column: column?.label ?? "", cell };
          if (!column) {
            if (!headed || !(block[0][k] ?? "")) p.bad.push({ ...where, why: text("whyColumn", { n: k + 1 }) });
            return { cell, out: true };
          }
          if (!grown) { p.bad.push({ ...where, why: text("whyRow") }); return { cell, bad: true }; }
          const e = grown.querySelector(`[data-column="${column.name}"]`);
          const got = read(cell, column, e);
          if (got.why) { p.bad.push({ ...where, why: got.why }); return { cell, bad: true }; }
          const now = row ? e.value : "";
          const idle = e.dataset.blank !== undefined && now === e.dataset.blank;
          if (now && !idle && now !== got.value) p.over.push({ ...where, from: e.tagName === "SELECT" ? e.selectedOptions[0].text.trim() : now, to: got.says ?? got.value });
          if (got.value !== cell && !got.says) p.read.push({ ...where, to: got.value });
          if (got.unknown) p.unknown.push(where);
          p.puts.push({ i, column: column.name, value: got.value });
          return { cell, value: got.says ?? got.value, over: now && !idle && now !== got.value ? now : "" };
        }));
      });
      if (headed) block[0].forEach((h, k) => { if (h && !to[k]) p.bad.push({ row: 0, cell: h, why: text(heads[k] ? "whyTwice" : "whyHead") }); });
      return p;
    }

    function list(name, title, items) {
      const box = part(name);
      box.hidden = items.length === 0;
      if (!items.length) { box.replaceChildren(); return; }
      const ul = make("ul", {}, ...items.slice(0, shownLines).map((t) => make("li", { textContent: t })));
      if (items.length > shownLines) ul.append(make("li", { textContent: text("andMore", { n: items.length - shownLines }) }));
      box.replaceChildren(make("h3", { textContent: title }), ul);
    }

    function draw() {
      const p = plan();
      const n = p.lines.length;
      part("sum").textContent = text(n === 1 ? "sumOne" : "sum", { rows: n, columns: wide, from: first + 1, to: first + n }) + (beyond > 0 ? " " + text("beyond", { n: beyond }) : "");
      const head = make("tr");
      for (let k = 0; k < wide; k++) {
        const select = make("select", { id: `paste-${k}` });
        select.append(make("option", { value: "", textContent: text("nowhere") }), ...columns.map((c) => make("option", { value: c.name, textContent: c.label, selected: c.name === to[k] })));
        select.addEventListener("change", () => {
          to = to.map((x, j) => (j !== k && x === select.value ? "" : x));
          to[k] = select.value;
          draw();
          document.getElementById(`paste-${k}`).focus();
        });
        const label = make("label", { htmlFor: `paste-${k}`, className: "lab", textContent: headed && block[0][k] ? block[0][k] : text("column", { n: k + 1 }) });
        head.append(make("th", { scope: "col" }, label, select));
      }
      part("head").replaceChildren(head);
      part("lines").replaceChildren(...p.grid.slice(0, shownRows).map((line) => make("tr", {}, ...line.map((c) => {
        const td = make("td", { textContent: c.bad || c.out ? "" : c.value ?? "" });
        if (c.bad || c.out) td.append(make("s", { textContent: c.cell }));
        if (c.bad) td.append(make("span", { className: "error", textContent: text("not") }));
        if (c.over) td.append(make("span", { className: "over-was", textContent: text("instead", { was: c.over }) }));
        return td;
      }))));
      part("rest").textContent = n > shownRows ? text("rest", { n: n - shownRows }) : "";
      part("headed").closest("label").hidden = !canHead;
      part("headed").checked = headed;
      const at = (x) => (x.row ? text("at", { row: x.row, column: x.column }) : text("heading")) ;
      list("bad", text("bad", { n: p.bad.length }), p.bad.map((x) => text("badLine", { cell: x.cell, at: at(x), why: x.why })));
      list("over", text("over", { n: p.over.length }), p.over.map((x) => text("overLine", { at: at(x), from: x.from, to: x.to })));
      list("unknown", text("unknown", { n: p.unknown.length }), p.unknown.map((x) => text("badLine", { cell: x.cell, at: at(x), why: text("whyUnknown") })));
      list("read", text("read"), p.read.map((x) => text("readLine", { cell: x.cell, to: x.to, at: at(x) })));
      part("yes").disabled = p.puts.length === 0;
      return p;
    }

    function put() {
      const p = plan();
      dialog.close();
      hooks.grow(body, first + p.lines.length);
      const rows = hooks.rows(body);
      undo = p.puts.map(({ i, column, value }) => {
        const e = rows[first + i].querySelector(`[data-column="${column}"]`);
        const was = e.value;
        e.value = value;
        return { e, was, value: e.value };
      });
      const names = columns.filter((c) => p.puts.some((x) => x.column === c.name)).map((c) => c.label.replace(/,.*$/, ""));
      hooks.filled(text(p.lines.length === 1 ? "doneOne" : "done", { rows: p.lines.length, columns: names.join(", "), bad: p.bad.length }) + (p.bad.length ? " " + text("doneBad", { n: p.bad.length }) : ""));
      button.hidden = false;
      field.focus();
    }

    draw();
    part("headed").onchange = (event) => { headed = event.target.checked; assign(); draw(); };
    part("yes").onclick = put;
    part("no").onclick = () => dialog.close();
    dialog.onkeydown = (event) => {
      if (event.key !== "Enter" || event.isComposing || event.target === part("no")) return;
      event.preventDefault();
      if (!part("yes").disabled) put();
    };
    dialog.onclose = () => field.focus();
    dialog.showModal();
    (part("yes").disabled ? part("no") : part("yes")).focus();
  }

  // back takes the last paste out; what was typed over it since stays.
  function back() {
    for (const { e, was, value } of undo) if (e.value === value) e.value = was;
    undo = null;
    button.hidden = true;
    hooks.filled(text("undone"));
  }
  button.addEventListener("click", () => { const e = undo[0]?.e; back(); e?.focus(); });
  let typed = false;
  form.addEventListener("input", (event) => { if (event.isTrusted) typed = true; });
  form.addEventListener("paste", () => { typed = false; });
  form.addEventListener("keydown", (event) => {
    if (event.key.toLowerCase() !== "z" || !(event.ctrlKey || event.metaKey) || event.shiftKey || event.altKey || !undo || typed) return;
    event.preventDefault();
    back();
  });
}
