// The work of a season plan: its rows, the ribbon that shows them, and what they would do, worked out again as soon as
// anything changes. It stands in the address. Without this module the button "Rehearse" loads the page with the same answer.
import { Ribbon, dayOf, iso } from "./ribbon.js";
import { txt } from "./texts.js";

const form = document.querySelector("form[data-rehearse]");
const ofRow = new RegExp(`, (${txt("new work")}|${txt("work %s", "\\d+")})$`);

// shortly is what was rehearsed without saying so.
const shortly = (said) => said.startsWith(txt("Rehearsed:")) ? said.slice(txt("Rehearsed:").length).trim().replace(/^./, (c) => c.toUpperCase()) : said;

if (form) {
  const part = document.getElementById("rehearsal");
  const body = form.querySelector(".season-rows tbody");
  const plain = document.getElementById("season-row");
  const root = form.querySelector("[data-ribbon]");
  const keys = new WeakMap(); // a number for each row, its own for good
  let next = 1;
  let running = null;
  let waiting = 0;
  const before = []; // what the rows were before each change

  // ---- rows ---------------------------------------------------------------------------------------
  const all = () => [...body.querySelectorAll("tr")];
  const fields = (tr) => ({ date: tr.querySelector("[name=date]"), op: tr.querySelector("[name=op]"), mm: tr.querySelector("[name=mm]") });
  const keyOf = (tr) => { if (!keys.has(tr)) keys.set(tr, next++); return keys.get(tr); };
  const rowOf = (key) => all().find((tr) => keyOf(tr) === key);
  const amount = (text) => (text === "" ? 0 : Number(text.replace(",", ".")));
  const unit = form.dataset.sandUnit ?? "mm", per = Number(form.dataset.sandPerMm ?? 1); // fields are in the reader's unit, all else in mm
  const inField = (mm) => (per === 1 ? String(mm) : String(Number((mm * per).toFixed(5))));
  const snapshot = () => all().slice(0, -1).map((tr) => { const f = fields(tr); return [f.date.value, f.op.value, f.mm.value, keyOf(tr)]; });

  // renumber names the fields of every row by its place, as the server does.
  const renumber = () => all().forEach((tr, i, list) => {
    const fresh = i === list.length - 1;
    tr.dataset.row = `row-${i}`;
    for (const el of tr.querySelectorAll("[id]")) el.id = el.id.replace(/\d+$/, i);
    for (const el of tr.querySelectorAll("[aria-describedby]")) el.setAttribute("aria-describedby", el.getAttribute("aria-describedby").replace(/\d+$/, i));
    for (const el of tr.querySelectorAll("[aria-label]")) el.setAttribute("aria-label", el.getAttribute("aria-label").replace(ofRow, fresh ? `, ${txt("new work")}` : `, ${txt("work %s", i + 1)}`));
    for (const el of tr.querySelectorAll("button[name=move]")) el.value = `${i} ${el.value.split(" ")[1]}`;
    for (const el of tr.querySelectorAll("button[name=remove]")) el.value = i;
  });

  const insert = (date, op, mm, key) => {
    const tr = plain.content.firstElementChild.cloneNode(true);
    body.insertBefore(tr, body.lastElementChild);
    const f = fields(tr);
    [f.date.value, f.op.value, f.mm.value] = [date, op, mm];
    if (key) keys.set(tr, key);
    return keyOf(tr);
  };
  const remember = () => { before.push(snapshot()); if (before.length > 50) before.shift(); ribbon?.undo.removeAttribute("disabled"); };

  // ---- what the ribbon asks of the rows --------------------------------------------------------------
  const host = {
    unit,
    range: (low, high) => `${txt("%s to %s", inField(low), inField(high))} ${unit}`,
    sand: (mm) => `${inField(mm)} ${unit}`,
    entries: () => all().flatMap((tr, index) => {
      const f = fields(tr), day = dayOf(f.date.value), mm = amount(f.mm.value) / per;
      return day == null || !f.op.value || !(mm >= 0) ? [] : [{ key: keyOf(tr), index, day, op: f.op.value, mm, text: f.mm.value }];
    }),
    change(key, { day, mm, text }) {
      remember();
      const f = fields(rowOf(key));
      if (day != null) f.date.value = iso(day);
      if (mm != null) f.mm.value = inField(mm);
      if (text != null) f.mm.value = text;
      ribbon.refresh();
      soon(60);
    },
    add({ day, op, mm }) {
      remember();
      const key = insert(iso(day), op, inField(mm));
      renumber();
      ribbon.refresh();
      soon(0);
      return key;
    },
    remove(key) {
      remember();
      rowOf(key).remove();
      renumber();
      ribbon.refresh();
      soon(0);
    },
    undo() {
      const rows = before.pop();
      if (!rows) return;
      for (const tr of all().slice(0, -1)) tr.remove();
      for (const row of rows) insert(...row);
      renumber();
      ribbon.refresh();
      ribbon.say(txt("Undone."));
      if (before.length === 0) {
        ribbon.undo.setAttribute("disabled", "");
        if (document.activeElement === document.body) ribbon.cursor.focus({ preventScroll: true });
      }
      soon(0);
    },
    chosen(key) { for (const tr of all()) tr.classList.toggle("is-chosen", keyOf(tr) === key); },
    remark(key) {
      const i = all().findIndex((tr) => keyOf(tr) === key);
      return ["mm", "date", "op", "row"].map((name) => document.getElementById(`e-${name}-${i}`)?.textContent ?? "").find(Boolean) ?? "";
    },
  };

  // ---- rehearsing -------------------------------------------------------------------------------------
  // What is wrong, and what is to be said of a row, stands beside its field.
  const place = () => {
    const slots = [...form.elements].map((el) => el.getAttribute("aria-describedby")?.split(" ")[0]).filter(Boolean);
    for (const id of [...slots, ...all().flatMap((_, i) => [`e-row-${i}`, `e-out-${i}`])]) {
      const slot = id === "e-scenario" ? null : document.getElementById(id);
      if (slot && /^e-/.test(id)) slot.textContent = "";
    }
    for (const el of form.elements) if (el.getAttribute("aria-invalid") === "true") el.setAttribute("aria-invalid", "false");
    for (const li of part.querySelectorAll("[data-faults] li")) {
      const slot = document.getElementById(`e-${li.dataset.for}`);
      if (slot) slot.textContent = li.textContent;
      if (!/^(row|out)-/.test(li.dataset.for)) document.getElementById(`f-${li.dataset.for}`)?.setAttribute("aria-invalid", "true");
    }
    for (const more of part.querySelectorAll("template[data-for]")) {
      document.getElementById(more.dataset.for)?.replaceChildren(more.content);
      more.remove();
    }
    const said = part.querySelector("[data-said]");
    const text = said?.textContent ?? part.querySelector(".note")?.textContent ?? "";
    document.getElementById("rehearsed").textContent = text;
    if (ribbon) ribbon.result.textContent = shortly(text);
    said?.remove();
  };

  const busy = (on) => { for (const id of ["rehearsal", "rehearsal-fan", "order-part"]) document.getElementById(id)?.setAttribute("aria-busy", on); };

  const rehearse = async () => {
    running?.abort();
    const mine = (running = new AbortController());
    const query = new URLSearchParams(new FormData(form)).toString();
    busy("true");
    try {
      const answer = await fetch(`${form.dataset.rehearse}?${query}`, { signal: mine.signal });
      if (!answer.ok) throw new Error(`status ${answer.status}`);
      const text = await answer.text();
      if (mine !== running) return; // a later question is on its way: its answer counts
      part.style.minHeight = `${part.offsetHeight}px`; // what stands below does not jump while something is mended
      part.innerHTML = text;
      if (!part.querySelector(":scope > .note.stop")) part.style.minHeight = "";
      place();
      ribbon?.showPanel();
      part.dataset.answers = Number(part.dataset.answers ?? 0) + 1;
      history.replaceState(null, "", `${new URL(form.action).pathname}?${query}#work`);
    } catch (fault) {
      if (fault.name === "AbortError" || mine !== running) return;
      const line = document.createElement("p");
      line.className = "error";
      line.textContent = txt("It could not be rehearsed just now. What you typed is still here; press Rehearse to try again.");
      part.replaceChildren(line);
      document.getElementById("rehearsed").textContent = line.textContent;
    }
    if (mine === running) busy("false");
  };

  const soon = (wait) => {
    clearTimeout(waiting);
    waiting = setTimeout(rehearse, wait);
  };

  const ribbon = root ? new Ribbon(root, JSON.parse(root.dataset.ribbon), host) : null;
  if (ribbon) ribbon.result.textContent = shortly(part.querySelector("[data-said]")?.textContent ?? "");

  document.addEventListener("input", (event) => {
    if (event.target.form !== form || !event.target.name || event.target.name === "scenario") return;
    ribbon?.refresh();
    soon(["mm", "storage", "lead", "deliver", "nitrogen"].includes(event.target.name) ? 120 : 40);
  });
  // a new row that has been filled in makes room for another
  body.addEventListener("focusout", (event) => {
    const last = body.lastElementChild;
    if (!last.contains(event.target) || last.contains(event.relatedTarget)) return;
    const f = fields(last);
    if (!f.date.value || !f.op.value) return;
    insert(f.date.value, f.op.value, f.mm.value, keyOf(last));
    keys.set(last, next++);
    [f.date.value, f.op.value, f.mm.value] = ["", "", ""];
    renumber();
    ribbon?.refresh();
    soon(0);
  });
  let held = false; // a press is under way: nothing may move under it
  document.addEventListener("pointerdown", () => { held = true; }, true);
  for (const end of ["pointerup", "pointercancel"]) document.addEventListener(end, () => { held = false; }, true);
  form.addEventListener("focusin", (event) => {
    const tr = event.target.closest(".season-rows tr");
    if (!tr || !host.entries().some((e) => e.key === keyOf(tr))) return;
    const choose = () => tr.isConnected && ribbon?.choose(keyOf(tr));
    if (held) document.addEventListener("pointerup", () => setTimeout(choose), { once: true });
    else choose();
  });
  form.addEventListener("submit", (event) => {
    const button = event.submitter;
    if (button?.name === "move") { // a week earlier or later, without loading the page again
      const [row, days] = button.value.split(" ").map(Number);
      const tr = all()[row], day = dayOf(fields(tr).date.value);
      if (day == null) return;
      event.preventDefault();
      host.change(keyOf(tr), { day: day + days });
    } else if (button?.name === "remove") {
      event.preventDefault();
      const tr = all()[Number(button.value)];
      const e = host.entries().find((x) => x.key === keyOf(tr));
      if (e && ribbon) ribbon.remove(e.key);
      else host.remove(keyOf(tr));
    } else if (button?.name === "do" && button.value === "rehearse") {
      event.preventDefault();
      soon(0);
    }
  });
  if (ribbon && matchMedia("(max-width: 640px)").matches && !part.querySelector("[data-faults] li[data-for^=date], [data-faults] li[data-for^=op], [data-faults] li[data-for^=mm]")) {
    form.querySelector(".season-list").open = false; // the ribbon does the same in less room
  }
}

document.getElementById("errors")?.focus();
