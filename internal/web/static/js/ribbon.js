// The ribbon of a plan: its weeks, with the work on them to be dragged, moved with keys, added to and taken from. The work
// itself is the rows of the form; the host given to it reads and changes those.
import { lang, txt } from "./texts.js";
const DAY = 864e5;
const dayText = new Intl.DateTimeFormat(lang === "en" ? "en-GB" : lang, { weekday: "short", day: "numeric", month: "short", year: "numeric", timeZone: "UTC" });
export const words = (day) => dayText.format(day * DAY).replace(",", "");
export const iso = (day) => new Date(day * DAY).toISOString().slice(0, 10);
export const dayOf = (text) => {
  const at = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : NaN;
  return Number.isNaN(at) ? null : Math.round(at / DAY);
};
const first = (year, month) => Math.round(Date.UTC(year, month, 1) / DAY);
const clamp = (v, low, high) => Math.min(Math.max(v, low), high);
const rounded = (v) => Math.round(v * 100) / 100;
const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"].map((m) => txt(m));

// make builds an element: attributes, then children.
export const make = (tag, attributes = {}, ...children) => {
  const el = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) el.setAttribute(name, "");
    else if (value !== false && value != null) el.setAttribute(name, value);
  }
  el.append(...children);
  return el;
};
const draw = (tag, attributes) => {
  const el = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) el.setAttribute(name, value);
  return el;
};

export class Ribbon {
  constructor(root, data, host) {
    Object.assign(this, { root, data, host, chosen: null, shown: undefined, marks: new Map(), rows: [], drag: null, week: null });
    this.ops = new Map(data.operations.map((o) => [o.id, o]));
    this.build();
    this.layout();
    new ResizeObserver(() => this.layout()).observe(this.body);
  }

  // ---- what stands still ------------------------------------------------------------------------
  build() {
    this.undo = make("button", { type: "button", class: "btn small", disabled: true }, txt("Undo"));
    this.undo.addEventListener("click", () => this.host.undo());
    const add = make("button", { type: "button", class: "btn small" }, txt("Add work"));
    add.addEventListener("click", () => this.openMenu(this.week, add));
    this.snap = make("input", { type: "checkbox" });
    this.snap.checked = matchMedia("(pointer: coarse)").matches;
    this.said = make("p", { class: "rib-say", role: "status" });
    this.tools = make("div", { class: "rib-tools" }, add, this.undo, make("label", { class: "rib-snap" }, this.snap, ` ${txt("Mondays only")}`), this.said);
    this.keys = make("div", { class: "rib-keys", "aria-hidden": "true" });
    for (const [kind, text] of [["growth", txt("growth")], ["sand", txt("sand")], ["tines", txt("surface opened")], ["shut", txt("closed or tournament")], ["slow", txt("too little growth for the chosen work")]]) {
      this.keys.append(make("span", {}, make("i", { class: `rib-key ${kind}` }), text));
    }
    this.body = make("div", { class: "rib-body" });
    this.result = make("p", { class: "rib-result", "aria-hidden": "true" }); // heard elsewhere
    this.panel = make("div", { class: "rib-panel", role: "group", "aria-label": txt("The chosen work") });
    this.menu = make("div", { class: "rib-menu", role: "dialog", "aria-modal": "false", "aria-label": txt("Add work"), hidden: true });
    const help = make("p", { class: "fine", id: "rib-help" },
      txt("Drag work along the weeks; drag the top of the chosen one for its amount; tap an empty week to add. Keys: ← → a day, with Shift a week, ↑ ↓ the amount, Delete removes; on the week mark, ← → and Enter adds."));
    this.cursor = make("div", { class: "rib-cursor", role: "slider", tabindex: "0", "aria-label": txt("Week to add work in"), "aria-valuemin": this.data.from, "aria-valuemax": this.data.until });
    this.cursor.addEventListener("keydown", (event) => this.cursorKey(event));
    this.cursor.addEventListener("keyup", () => {
      if (this.asked) this.openMenu(this.week, this.cursor);
      this.asked = false;
    });
    this.ghost = make("div", { class: "rib-ghost", hidden: true });
    this.flag = make("div", { class: "rib-flag", "aria-hidden": "true", hidden: true });
    this.dock = make("div", { class: "rib-dock" }, this.panel);
    this.root.append(this.tools, this.keys, this.body, this.dock, this.menu, help);
    this.root.classList.add("is-live");
    this.body.addEventListener("pointerdown", (event) => this.press(event));
    this.body.addEventListener("pointermove", (event) => this.pull(event));
    this.body.addEventListener("pointerup", (event) => this.release(event));
    this.body.addEventListener("pointercancel", () => this.cancel(txt("Not moved.")));
    this.body.addEventListener("lostpointercapture", () => this.cancel(txt("Not moved.")));
    document.addEventListener("keydown", (event) => {
      if (event.key !== "Escape") return;
      if (this.drag) this.cancel(txt("Left as it was."));
      else if (!this.menu.hidden) this.closeMenu(true);
      else return;
      event.preventDefault();
    });
    document.addEventListener("pointerdown", (event) => {
      if (!this.menu.hidden && !this.menu.contains(event.target) && !this.body.contains(event.target)) this.closeMenu(false);
    });
    this.root.addEventListener("keydown", (event) => {
      if ((event.ctrlKey || event.metaKey) && !event.shiftKey && event.key === "z" && !event.target.matches("input, select, textarea")) { event.preventDefault(); this.host.undo(); }
    });
  }

  // ---- rows of weeks ------------------------------------------------------------------------------
  // layout draws the rows anew: a year each, half a year or a quarter where there is less room.
  layout() {
    const wide = this.body.clientWidth || 1200;
    const months = wide < 620 ? 3 : wide < 960 ? 6 : 12;
    const spans = this.spans(months);
    const key = JSON.stringify([months, spans]);
    if (key !== this.shape) {
      this.shape = key;
      this.cancel("");
      if (months === 3) this.dock.prepend(make("div", { class: "rib-dock-head" }, this.said, this.undo)); // where the eye is
      else { this.dock.querySelector(".rib-dock-head")?.remove(); this.tools.append(this.undo, this.tools.querySelector(".rib-snap"), this.said); }
      this.body.replaceChildren();
      this.rows = spans.map((span) => this.row(span, months));
      this.body.append(...this.rows.map((row) => row.el));
      this.marks.clear();
    }
    this.refresh();
  }

  spans(months) {
    const { from, until } = this.data;
    const days = this.host.entries().map((e) => e.day);
    const list = [];
    for (let month = 0, year = new Date(from * DAY).getUTCFullYear(); first(year, month) <= until; month += months) {
      const span = { from: first(year, month), until: first(year, month + months) - 1 };
      if (span.until < from) continue;
      const left = Math.min(span.until, until) - Math.max(span.from, from) + 1;
      if (list.length === 0 && left < 60 && until - span.until > 60 && !days.some((d) => d <= span.until)) continue;
      list.push(span);
    }
    return list;
  }

  row(span, months) {
    const n = span.until - span.from + 1;
    const row = { ...span, n };
    row.plot = make("div", { class: "rib-plot", "data-days": `${span.from} ${span.until}` });
    const svg = draw("svg", { viewBox: `0 0 ${n} 100`, preserveAspectRatio: "none", "aria-hidden": "true" });
    const block = (from, until, style) => {
      const a = clamp(from, span.from, span.until + 1), b = clamp(until + 1, span.from, span.until + 1);
      if (b > a) svg.append(draw("rect", { x: a - span.from, y: 0, width: b - a, height: 100, class: style }));
    };
    block(-1e6, this.data.from - 1, "rib-off");
    block(this.data.until + 1, 1e6, "rib-off");
    const shut = (from, until) => {
      const a = Math.max(from, span.from), b = Math.min(until, span.until);
      if (b < a) return;
      const el = make("i", { class: "rib-shut" });
      el.style.left = `${(100 * (a - span.from)) / n}%`;
      el.style.width = `${(100 * (b - a + 1)) / n}%`;
      row.plot.append(el);
    };
    const points = this.data.growth.map((v, i) => [this.data.from + 7 * i - span.from, 100 - 70 * v]).filter(([x]) => x >= -7 && x <= n + 7);
    if (points.length > 1) svg.append(draw("polyline", { points: points.map((p) => p.join(",")).join(" "), class: "rib-growth" }));
    for (const [from, until] of this.data.closed) shut(from, until);
    for (const t of this.data.tournaments) shut(t.day - t.before, t.day);
    row.plot.append(svg);
    const axis = make("div", { class: "rib-months", "aria-hidden": "true" });
    const begin = new Date(span.from * DAY);
    for (let m = 0; m < months; m++) {
      const at = first(begin.getUTCFullYear(), begin.getUTCMonth() + m);
      const label = make("span", {}, MONTHS[(begin.getUTCMonth() + m) % 12]);
      label.style.left = `${(100 * (at - span.from)) / n}%`;
      axis.append(label);
    }
    const named = (day, until, text) => {
      if (day > span.until || until < span.from) return;
      const label = make("span", { class: "rib-named", title: text }, text);
      label.style.left = `${(100 * (clamp((day + until) / 2 + 0.5, span.from, span.until) - span.from)) / n}%`;
      row.plot.append(label);
    };
    for (const [from, until] of this.data.closed) named(from, until, txt("closed"));
    for (const t of this.data.tournaments) {
      named(t.day - t.before, t.day, txt("tournament"));
      if (t.day >= span.from && t.day <= span.until) svg.append(draw("line", { x1: t.day - span.from + 0.5, x2: t.day - span.from + 0.5, y1: 0, y2: 100, class: "rib-event" }));
    }
    row.bars = make("div", { class: "rib-bars", "aria-hidden": "true" });
    row.plot.append(row.bars);
    const year = begin.getUTCFullYear();
    const grows = Math.max(0, ...points.map(([, y]) => (100 - y) / 70));
    row.el = make("div", { class: months === 3 && grows < 0.25 ? "rib-row is-winter" : "rib-row" }, make("span", { class: "rib-year" }, months === 12 ? `${year}` : `${MONTHS[begin.getUTCMonth()]}–${MONTHS[begin.getUTCMonth() + months - 1]} ${year}`), row.plot, axis);
    return row;
  }

  rowOf(day) { return this.rows.find((r) => day >= r.from && day <= r.until); }
  share(row, day) { return `${(100 * (day + 0.5 - row.from)) / row.n}%`; }
  most() { return Math.max(1, ...this.host.entries().map((e) => e.mm)) * 1.1; }
  height(mm) { return `${clamp((72 * mm) / this.scale, 0, 74)}%`; }

  // ---- the work -----------------------------------------------------------------------------------
  // refresh puts every piece of work where its row says.
  refresh() {
    const entries = this.host.entries();
    if (entries.some((e) => e.day >= this.data.from && e.day <= this.data.until && !this.rowOf(e.day))) { this.shape = ""; this.layout(); return; }
    this.scale = this.drag ? this.scale : this.most();
    const focused = document.activeElement;
    const here = new Set(entries.map((e) => e.key));
    for (const [key, mark] of this.marks) if (!here.has(key)) { mark.el.remove(); this.marks.delete(key); }
    if (this.chosen && !here.has(this.chosen)) this.chosen = null;
    for (const e of [...entries].sort((a, b) => a.day - b.day)) {
      let mark = this.marks.get(e.key);
      if (!mark) this.marks.set(e.key, (mark = this.mark(e.key)));
      this.put(mark, e, e.day, e.mm);
    }
    if (focused && focused !== document.activeElement && this.root.contains(focused)) focused.focus({ preventScroll: true });
    if (this.week == null) this.week = this.free(this.data.from + 7 * Math.max(1, this.data.growth.findIndex((v) => v >= 0.3)));
    this.putCursor();
    this.showPanel();
    this.showBars();
  }

  mark(key) {
    const grip = make("span", { class: "rib-grip" });
    const bar = make("span", { class: "rib-bar" });
    const el = make("div", { class: "rib-work", role: "slider", tabindex: "0", "aria-describedby": "rib-help", "aria-valuemin": this.data.from, "aria-valuemax": this.data.until }, bar, grip);
    el.addEventListener("focus", () => this.choose(key));
    el.addEventListener("keydown", (event) => this.key(event, key));
    return { key, el, bar, grip };
  }

  // put draws a mark at a day with an amount.
  put(mark, e, day, mm) {
    const row = this.rowOf(day);
    const op = this.ops.get(e.op);
    mark.el.hidden = !row;
    if (!row) return;
    if (mark.el.parentNode !== row.plot || !this.drag) {
      if (this.drag) row.plot.append(mark.el);
      else if (row.plot.lastElementChild !== mark.el) row.plot.append(mark.el);
    }
    mark.el.style.left = this.share(row, day);
    mark.el.style.setProperty("--high", mm > 0 ? this.height(mm) : "0%");
    mark.bar.hidden = !(mm > 0);
    mark.el.classList.toggle("opens", Boolean(op?.opens));
    mark.el.classList.toggle("is-chosen", this.chosen === mark.key);
    mark.el.classList.toggle("is-bad", Boolean(this.barred(op, day)?.hard));
    mark.el.setAttribute("aria-label", `${op?.name ?? txt("Work")}, ${this.host.sand(mm)}`);
    mark.el.setAttribute("aria-valuenow", day);
    mark.el.setAttribute("aria-valuetext", words(day));
    mark.el.dataset.day = iso(day);
    mark.el.dataset.row = e.index;
  }

  barred(op, day) { return op?.bars.find((b) => day >= b.from && day <= b.until); }
  entry(key) { return this.host.entries().find((e) => e.key === key); }

  choose(key) {
    if (this.chosen === key) return;
    this.chosen = key;
    for (const mark of this.marks.values()) mark.el.classList.toggle("is-chosen", mark.key === key);
    this.showPanel();
    this.showBars();
    this.host.chosen(key);
  }

  // showBars shades the days that speak against the chosen work.
  showBars(op = this.chosen && this.ops.get(this.entry(this.chosen)?.op)) {
    for (const row of this.rows) {
      row.bars.replaceChildren();
      for (const b of op?.bars ?? []) {
        const from = Math.max(b.from, row.from), until = Math.min(b.until, row.until);
        if (until < from) continue;
        const el = make("i", { class: b.hard ? "no" : "slow" });
        el.style.left = `${(100 * (from - row.from)) / row.n}%`;
        el.style.width = `${(100 * (until - from + 1)) / row.n}%`;
        row.bars.append(el);
      }
    }
  }

  // ---- dragging -----------------------------------------------------------------------------------
  press(event) {
    if (event.button !== 0 || this.drag) return;
    const plot = event.target.closest(".rib-plot");
    if (!plot) return;
    const mark = this.near(plot, event);
    this.tap = { x: event.clientX, y: event.clientY, plot, hit: Boolean(mark) };
    if (!mark) return;
    event.preventDefault();
    this.closeMenu(false);
    mark.el.focus({ preventScroll: true });
    this.choose(mark.key);
    const e = this.entry(mark.key);
    const grip = event.target.closest(".rib-grip") === mark.grip;
    this.drag = { id: event.pointerId, mark, e, day: e.day, mm: e.mm, grip, moved: false, edge: 0, x: event.clientX, y: event.clientY };
    this.body.setPointerCapture(event.pointerId);
  }

  // near is the work nearest to a press, within the width of a finger or a pointer.
  near(plot, event) {
    const reach = event.pointerType === "mouse" ? 12 : 24;
    let best = null, far = reach;
    for (const mark of this.marks.values()) {
      if (mark.el.parentNode !== plot) continue;
      const box = mark.el.getBoundingClientRect();
      const d = Math.abs(event.clientX - (box.left + box.right) / 2);
      if (d <= far) { best = mark; far = d; }
    }
    return best;
  }

  dayAt(x, y) {
    let row = null, far = Infinity;
    for (const r of this.rows) {
      const box = r.plot.getBoundingClientRect();
      const d = y < box.top ? box.top - y : y > box.bottom ? y - box.bottom : 0;
      if (d < far) { far = d; row = r; }
    }
    const box = row.plot.getBoundingClientRect();
    return clamp(row.from + Math.floor(((x - box.left) / box.width) * row.n), row.from, row.until);
  }

  // snapped is a day of the plan, a Monday (the plan's weekday) where weeks are asked for.
  snapped(day, weeks) {
    const { from, until, weekday } = this.data;
    day = clamp(day, from, until);
    if (!weeks) return day;
    const over = (((day + 4 - weekday) % 7) + 7) % 7;
    let to = over > 3 ? day - over + 7 : day - over;
    if (to < from) to += 7;
    if (to > until) to -= 7;
    return to;
  }

  pull(event) {
    const d = this.drag;
    if (!d || event.pointerId !== d.id) return;
    if (!d.moved && Math.hypot(event.clientX - d.x, event.clientY - d.y) < 4) return;
    if (!d.moved) {
      d.moved = true;
      d.mark.el.classList.add("is-dragged");
      this.root.classList.add("is-dragging");
      const row = this.rowOf(d.e.day);
      row.plot.append(this.ghost);
      this.ghost.hidden = false;
      this.ghost.style.left = this.share(row, d.e.day);
      this.ghost.style.height = this.height(Math.max(d.e.mm, 0.1 * this.scale));
    }
    const op = this.ops.get(d.e.op);
    if (d.grip) {
      const box = d.mark.el.getBoundingClientRect();
      const mm = ((box.bottom - event.clientY) / box.height) * (this.scale / 0.72);
      d.mm = clamp(Math.round(mm / 0.05) * 0.05, op?.sand ? 0.05 : 0, 20);
      d.mm = rounded(d.mm);
    } else {
      d.day = this.snapped(this.dayAt(event.clientX, event.clientY), this.snap.checked !== event.shiftKey);
    }
    const edge = d.grip ? 0 : event.clientY < 56 ? -1 : event.clientY > innerHeight - 56 ? 1 : 0;
    if (edge !== d.edge) {
      clearInterval(d.scrolls);
      d.edge = edge;
      if (edge) d.scrolls = setInterval(() => { scrollBy(0, 12 * edge); this.pull(d.last); }, 30);
    }
    d.last = event;
    this.put(d.mark, d.e, d.day, d.mm);
    const bar = d.grip ? null : this.barred(op, d.day);
    this.raise(d.day, d.grip ? this.host.sand(d.mm) : bar?.hard ? `${words(d.day)}: ${bar.why}` : words(d.day), bar?.hard);
  }

  raise(day, text, bad) {
    const row = this.rowOf(day);
    row.plot.append(this.flag);
    this.flag.hidden = false;
    this.flag.textContent = text;
    this.flag.classList.toggle("bad", Boolean(bad));
    const part = (day + 0.5 - row.from) / row.n;
    this.flag.style.left = `${100 * part}%`;
    this.flag.style.transform = `translateX(${-100 * part}%)`;
  }

  release(event) {
    const d = this.drag;
    if (d && event.pointerId === d.id) {
      this.settle();
      if (!d.moved) return;
      const name = this.ops.get(d.e.op)?.name ?? txt("work");
      if (d.grip) { this.amount(d.mark.key, d.mm); return; }
      const bar = this.barred(this.ops.get(d.e.op), d.day);
      if (bar?.hard) {
        this.refresh();
        this.say(txt("Not moved to %s. %s %s stays on %s.", words(d.day), bar.why, sentence(name), words(d.e.day)), true);
        return;
      }
      this.move(d.mark.key, d.day);
      return;
    }
    const t = this.tap;
    this.tap = null;
    if (!t || t.hit || event.button !== 0 || Math.hypot(event.clientX - t.x, event.clientY - t.y) > 8) return;
    const day = this.snapped(this.dayAt(event.clientX, event.clientY), true);
    this.week = day;
    this.putCursor();
    this.openMenu(day, this.cursor);
  }

  // settle ends a drag, whatever becomes of it.
  settle() {
    const d = this.drag;
    this.drag = null;
    this.tap = null;
    if (!d) return;
    clearInterval(d.scrolls);
    d.mark.el.classList.remove("is-dragged");
    this.root.classList.remove("is-dragging");
    this.ghost.hidden = this.flag.hidden = true;
    if (this.body.hasPointerCapture(d.id)) this.body.releasePointerCapture(d.id);
  }

  cancel(text) {
    if (!this.drag) return;
    const moved = this.drag.moved;
    this.settle();
    this.refresh();
    if (moved && text) this.say(text);
  }

  // ---- changes --------------------------------------------------------------------------------------
  move(key, day) {
    const e = this.entry(key);
    if (!e || e.day === day) { this.refresh(); return; }
    this.host.change(key, { day });
    const bar = this.barred(this.ops.get(e.op), day);
    this.say(txt("%s moved to %s.", sentence(this.ops.get(e.op)?.name ?? txt("work")), words(day)) + (bar ? ` ${bar.why}` : ""));
  }

  amount(key, mm) {
    const e = this.entry(key);
    if (!e || e.mm === mm) { this.refresh(); return; }
    this.host.change(key, { mm });
    this.say(txt("%s of %s: %s.", sentence(this.ops.get(e.op)?.name ?? txt("work")), words(e.day), this.host.sand(mm)));
  }

  remove(key) {
    const e = this.entry(key);
    if (!e) return;
    const order = this.host.entries().sort((a, b) => a.day - b.day).map((x) => x.key);
    const next = order[order.indexOf(key) + 1] ?? order[order.indexOf(key) - 1];
    this.host.remove(key);
    this.say(txt("%s of %s removed. Undo brings it back.", sentence(this.ops.get(e.op)?.name ?? txt("work")), words(e.day)));
    (next ? this.marks.get(next)?.el : this.cursor)?.focus({ preventScroll: true });
  }

  // step is the next day that is not barred, some days on.
  step(op, from, days) {
    let day = from + days;
    let skipped = null;
    while (day >= this.data.from && day <= this.data.until) {
      const bar = this.barred(op, day);
      if (!bar?.hard) return { day, skipped };
      skipped = bar;
      day += Math.sign(days);
    }
    return { day: null, skipped };
  }

  key(event, key) {
    const e = this.entry(key);
    const op = this.ops.get(e?.op);
    if (!e || event.altKey || event.ctrlKey || event.metaKey) return;
    const by = { ArrowLeft: -1, ArrowRight: 1, PageUp: -7, PageDown: 7 }[event.key];
    if (by) {
      event.preventDefault();
      const { day, skipped } = this.step(op, e.day, by * (event.shiftKey && Math.abs(by) === 1 ? 7 : 1));
      if (day == null) { this.say(skipped ? skipped.why : txt("The plan runs from %s to %s.", words(this.data.from), words(this.data.until)), true); return; }
      this.move(key, day);
      if (skipped) this.say(txt("Moved past closed days to %s: %s", words(day), skipped.why));
    } else if (event.key === "ArrowUp" || event.key === "ArrowDown") {
      event.preventDefault();
      this.amount(key, rounded(clamp(e.mm + (event.key === "ArrowUp" ? 1 : -1) * (event.shiftKey ? 0.25 : 0.05), op?.sand ? 0.05 : 0, 20)));
    } else if (event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      this.remove(key);
    } else if (event.key === "Enter") {
      event.preventDefault();
      this.panel.querySelector("input")?.focus();
    }
  }

  // ---- the week mark and the menu -----------------------------------------------------------------
  free(day) { return this.snapped(day, true); }

  putCursor() {
    const row = this.rowOf(this.week) ?? this.rows[0];
    this.week = clamp(this.week, Math.max(row.from, this.data.from), Math.min(row.until, this.data.until));
    if (this.cursor.parentNode !== row.plot) {
      const had = document.activeElement === this.cursor;
      row.plot.prepend(this.cursor);
      if (had) this.cursor.focus({ preventScroll: true });
    }
    this.cursor.style.left = `${(100 * (this.week - row.from)) / row.n}%`;
    this.cursor.style.width = `${700 / row.n}%`;
    this.cursor.setAttribute("aria-valuenow", this.week);
    this.cursor.setAttribute("aria-valuetext", txt("Week of %s", words(this.week)));
  }

  cursorKey(event) {
    const by = { ArrowLeft: -7, ArrowRight: 7, PageUp: -28, PageDown: 28 }[event.key];
    if (by) {
      event.preventDefault();
      const to = this.free(clamp(this.week + by, this.data.from, this.data.until));
      this.week = this.rowOf(to) ? to : this.week;
      this.putCursor();
    } else if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.asked = true; // the menu opens when the key comes up, so that it does not choose the first of it as well
    }
  }

  openMenu(day, from) {
    this.menuFrom = from;
    const date = make("input", { type: "date", value: iso(day), min: iso(this.data.from), max: iso(this.data.until), "aria-label": txt("Day of the new work") });
    const list = make("ul", {});
    const fill = () => {
      const at = dayOf(date.value);
      list.replaceChildren(...this.data.operations.map((op) => {
        const bar = at == null || at < this.data.from || at > this.data.until ? { why: txt("Outside the plan."), hard: true } : this.barred(op, at);
        const button = make("button", { type: "button", disabled: Boolean(bar?.hard), "data-op": op.id }, make("b", {}, sentence(op.name)), make("small", {}, bar ? bar.why : op.opens ? txt("opens the surface") : this.host.range(op.low, op.high)));
        button.addEventListener("click", () => this.add(op, at));
        return make("li", {}, button);
      }));
      this.menu.setAttribute("aria-label", txt("Add work on %s", at == null ? txt("a day") : words(at)));
    };
    date.addEventListener("input", fill);
    date.addEventListener("change", fill);
    fill();
    const close = make("button", { type: "button", class: "link" }, txt("Close"));
    close.addEventListener("click", () => this.closeMenu(true));
    this.menu.replaceChildren(make("p", { class: "rib-menu-head" }, make("b", {}, `${txt("Add on")} `), date, close), list);
    this.menu.onkeydown = (event) => {
      const by = { ArrowDown: 1, ArrowUp: -1 }[event.key];
      if (!by || event.target === date) return;
      event.preventDefault();
      const all = [...list.querySelectorAll("button:not([disabled])")];
      all[(all.indexOf(document.activeElement) + by + all.length) % all.length]?.focus();
    };
    this.menu.hidden = false;
    this.place(day);
    (list.querySelector("button:not([disabled])") ?? date).focus({ preventScroll: true });
    this.menu.scrollIntoView({ block: "nearest" });
  }

  // place sets the menu below its week, within the ribbon.
  place(day) {
    const row = this.rowOf(day) ?? this.rows[0];
    const box = row.plot.getBoundingClientRect(), whole = this.root.getBoundingClientRect();
    const x = box.left - whole.left + ((day - row.from) / row.n) * box.width;
    this.menu.style.left = `${clamp(x - this.menu.offsetWidth / 2, 0, Math.max(0, whole.width - this.menu.offsetWidth))}px`;
    this.menu.style.top = `${box.bottom - whole.top + 6}px`;
  }

  closeMenu(back) {
    if (this.menu.hidden) return;
    this.menu.hidden = true;
    if (back) this.menuFrom?.focus({ preventScroll: true });
  }

  add(op, day) {
    const same = this.host.entries().filter((e) => e.op === op.id && e.mm > 0).pop();
    const mm = same ? same.mm : rounded(Math.round((op.low + op.high) / 2 / 0.05) * 0.05);
    this.closeMenu(false);
    const key = this.host.add({ day, op: op.id, mm });
    this.choose(key);
    this.marks.get(key)?.el.focus({ preventScroll: true });
    this.say(txt("%s, %s, added on %s.", sentence(op.name), this.host.sand(mm), words(day)));
  }

  // ---- the panel ------------------------------------------------------------------------------------
  showPanel() {
    const e = this.chosen && this.entry(this.chosen);
    if (!e) {
      if (this.shown !== null) this.panel.replaceChildren(make("p", { class: "quiet" }, txt("Choose a piece of work to see and change it here.")), this.result);
      this.shown = null;
      this.dock.classList.remove("has-work");
      return;
    }
    if (this.shown !== this.chosen) {
      const key = (this.shown = this.chosen);
      const press = (text, label, act) => {
        const b = make("button", { type: "button", class: "btn small", "aria-label": label }, text);
        b.addEventListener("click", act);
        return b;
      };
      const shift = (days) => () => {
        const now = this.entry(key);
        const { day, skipped } = this.step(this.ops.get(now.op), now.day, days);
        if (day == null) this.say(skipped?.why ?? txt("The plan runs from %s to %s.", words(this.data.from), words(this.data.until)), true);
        else this.move(key, day);
      };
      const more = (by) => () => {
        const now = this.entry(key);
        this.amount(key, rounded(clamp(now.mm + by, this.ops.get(now.op)?.sand ? 0.05 : 0, 20)));
      };
      this.what = make("b", { class: "rib-what" });
      this.when = make("span", { class: "rib-when" });
      this.mm = make("input", { class: "n", inputmode: "decimal", autocomplete: "off", "aria-label": txt("Sand on the surface, %s", this.host.unit) });
      this.mm.addEventListener("change", () => this.host.change(key, { text: this.mm.value.trim() }));
      this.mm.addEventListener("keydown", (event) => {
        if (event.key === "Enter") { event.preventDefault(); this.mm.dispatchEvent(new Event("change")); }
      });
      this.remark = make("p", { class: "rib-remark" });
      this.panel.replaceChildren(
        make("p", { class: "rib-title" }, this.what, this.when),
        make("div", { class: "rib-set" }, press("−7 d", txt("−7 d, a week earlier"), shift(-7)), press("−1 d", txt("−1 d, a day earlier"), shift(-1)), press("+1 d", txt("+1 d, a day later"), shift(1)), press("+7 d", txt("+7 d, a week later"), shift(7))),
        make("div", { class: "rib-set" }, press("−", txt("Less sand"), more(-0.05)), this.mm, make("span", { class: "u" }, this.host.unit), press("+", txt("More sand"), more(0.05))),
        press(txt("Remove"), txt("Remove it"), () => this.remove(key)), this.result, this.remark);
    }
    this.dock.classList.add("has-work");
    this.what.textContent = sentence(this.ops.get(e.op)?.name ?? txt("work"));
    this.when.textContent = words(e.day);
    if (document.activeElement !== this.mm) this.mm.value = e.text;
    const bar = this.barred(this.ops.get(e.op), e.day);
    this.remark.textContent = this.host.remark(e.key) || bar?.why || "";
  }

  say(text, bad = false) {
    this.said.textContent = text;
    this.said.classList.toggle("bad", bad);
  }
}

const sentence = (text) => text.charAt(0).toUpperCase() + text.slice(1);
