// What is typed into a form is kept in this browser until it is stored, and stands in the form again after the page was left,
// loaded again or could not be sent. A form takes part by its hidden field "draft", which names what is kept. The server says
// in a cookie which one it stored. Rows of a table are known by what they are on record, not by where they stand.
const store = (() => { try { return window.localStorage; } catch { return null; } })();
const prefix = "underfoot-draft:";
const letGo = "underfoot-let-go:"; // in this tab alone, until the page is left: it can be brought back
const cookie = "underfoot_stored";

const read = (key) => {
  try {
    const d = JSON.parse(store?.getItem(prefix + key) ?? "null");
    return d && typeof d.values === "object" && typeof d.bases === "object" ? d : null;
  } catch { return null; }
};

// forget lets go of what the server says it stored; what belongs to rows of another page stays.
function forget() {
  const said = document.cookie.split("; ").find((c) => c.startsWith(cookie + "="));
  if (!said) return;
  document.cookie = `${cookie}=; path=/; max-age=0; samesite=lax`;
  for (const key of decodeURIComponent(said.slice(cookie.length + 1).replaceAll("+", " ")).split("\n")) {
    const draft = read(key);
    if (draft?.away?.length) {
      const only = (of) => Object.fromEntries(draft.away.filter((n) => n in of).map((n) => [n, of[n]]));
      store.setItem(prefix + key, JSON.stringify({ ...draft, rows: 0, values: only(draft.values), bases: only(draft.bases) }));
    } else store?.removeItem(prefix + key);
  }
}

const rowOf = (e) => e.closest("tr[data-row]");
const ticked = (e) => e.type === "checkbox" || e.type === "radio";
const valueOf = (e) => (ticked(e) ? e.checked : e.value);
const standing = (e) => (ticked(e) ? e.defaultChecked : e.tagName === "SELECT" ? ([...e.options].find((o) => o.defaultSelected) ?? e.options[0])?.value ?? "" : e.defaultValue);

// keepDraft keeps what is typed into one form. hooks.grow(n) makes rows until there are n new ones; hooks.filled() follows after
// fields were filled. It gives back soon(), to be called after a script has changed a field, and says().
export function keepDraft(form, hooks = {}) {
  const key = form.elements.draft.value;
  const box = form.querySelector("[data-draft]");
  const text = (name, put = {}) => Object.entries(put).reduce((t, [k, v]) => t.replaceAll(`{${k}}`, v), box.dataset[name] ?? "");
  const live = form.querySelector("[data-draft-live]");
  const echo = document.documentElement.dataset.echo === key; // the form comes back with what was sent
  const server = form.hasAttribute("data-server-kept"); // it holds what the server kept of an earlier try
  const before = read(key);
  let touched = echo && before !== null, gone = false, sent = false, away = [], asking = new Map();

  const news = () => [...form.querySelectorAll("tr[data-row]:not([data-key])")];
  const fields = () => [...form.elements].filter((e) => e.name && !["hidden", "submit", "button", "file", "password", "fieldset", "output"].includes(e.type));
  const named = () => {
    const rows = new Map(news().map((r, i) => [r, `new ${i}`]));
    return new Map(fields().map((e) => {
      const row = rowOf(e);
      const name = row ? `${row.dataset.key ?? rows.get(row)}|${e.name.replace(/^r\d+-/, "")}` : e.name;
      return [ticked(e) ? `${name}=${e.value}` : name, e];
    }));
  };
  // base is what stands on record for a field: where the form came back, what stood there before it was typed.
  const base = (name, e) => {
    if (!echo && !server) return standing(e);
    if (before && name in before.bases) return before.bases[name];
    const row = rowOf(e);
    if (!row || row.dataset.key) return standing(e);
    return ticked(e) ? false : e.tagName === "SELECT" ? e.dataset.blank ?? "" : "";
  };

  let timer = 0, said = "";
  function keep() {
    clearTimeout(timer);
    if (gone || !touched) return;
    const values = {}, bases = {};
    for (const [name, e] of named()) {
      const v = valueOf(e), b = base(name, e);
      if (asking.has(name)) { values[name] = asking.get(name); bases[name] = before.bases[name]; } else if (v !== b) { values[name] = v; bases[name] = b; }
    }
    const any = Object.keys(values).length > 0;
    for (const name of away) { values[name] = before.values[name]; bases[name] = before.bases[name]; }
    try {
      if (any || away.length) {
        const same = before && JSON.stringify(before.values) === JSON.stringify(values);
        store.setItem(prefix + key, JSON.stringify({ at: same ? before.at : new Date().toISOString(), rows: news().length, values, bases, away }));
      } else store.removeItem(prefix + key);
      if (live) live.textContent = `${said} ${any ? text("keeps") : ""}`.trim();
    } catch {
      if (live) live.textContent = text("none");
    }
  }
  const soon = () => { touched = true; clearTimeout(timer); timer = setTimeout(keep, 150); };

  function put(e, value) {
    if (ticked(e)) e.checked = value === true;
    else e.value = String(value);
    e.closest("details")?.setAttribute("open", "");
    e.dispatchEvent(new Event("input", { bubbles: true }));
  }
  const shown = (v) => (v === true ? "✓" : v === false || v === "" ? "–" : String(v));
  const nameOf = (e) => e.getAttribute("aria-label") ?? e.labels?.[0]?.innerText.trim().replace(/\s+/g, " ") ?? e.name;
  function line(words, list) {
    const p = document.createElement("p");
    p.textContent = words;
    box.querySelector("[data-says]").append(p);
    if (!list?.length) return;
    const ul = document.createElement("ul");
    for (const item of list) ul.append(Object.assign(document.createElement("li"), { textContent: item }));
    box.querySelector("[data-says]").append(ul);
  }

  function restore() {
    if (echo || !before) return;
    hooks.grow?.(Math.min(Number(before.rows) || 0, 500));
    const all = named();
    let n = 0;
    for (const [name, value] of Object.entries(before.values)) {
      const e = all.get(name);
      if (!e) { if (name.includes("|")) away.push(name); continue; }
      if (valueOf(e) === value) continue; // it stands there
      if (!server && before.bases[name] !== standing(e)) { asking.set(name, value); continue; }
      put(e, value);
      n++;
    }
    if (n + away.length + asking.size === 0) { store?.removeItem(prefix + key); return; }
    touched = true;
    hooks.filled?.();
    const at = new Date(before.at);
    const when = Number.isNaN(at.getTime()) ? "" : at.toLocaleString(document.documentElement.lang === "en" ? "en-GB" : document.documentElement.lang, { day: "numeric", month: "long", hour: "2-digit", minute: "2-digit" });
    if (n) line(text(n === 1 ? "one" : "many", { n, when }));
    if (asking.size) {
      line(text("older", { when }), [...asking].map(([name, v]) => text("olderLine", { field: nameOf(all.get(name)), typed: shown(v), stored: shown(standing(all.get(name))), before: shown(before.bases[name]) })));
      for (const b of box.querySelectorAll("[data-put], [data-leave]")) b.hidden = false;
    }
    if (away.length) line(text("away", { n: away.length }), away.map((name) => `${name.replace(/[[\]"]/g, "").replace("|", ", ").replaceAll("_", " ")}: ${shown(before.values[name])}`));
    box.hidden = false;
    keep();
  }
  const decide = (mine) => {
    const all = named(), list = [...asking];
    asking = new Map();
    if (mine) for (const [name, v] of list) put(all.get(name), v);
    for (const b of box.querySelectorAll("[data-put], [data-leave]")) b.hidden = true;
    box.querySelector("[data-says]").replaceChildren();
    line(text(mine ? "wasPut" : "wasLeft"));
    box.tabIndex = -1;
    box.focus();
    hooks.filled?.();
    touched = true;
    keep();
  };
  const drop = () => {
    keep();
    const raw = store?.getItem(prefix + key);
    gone = true;
    store?.removeItem(prefix + key);
    try { if (raw) window.sessionStorage.setItem(letGo + key, raw); } catch { /* then it is gone */ }
  };
  // offerBack says what was let go a moment ago, and brings it back.
  function offerBack() {
    let raw = null;
    try { raw = window.sessionStorage.getItem(letGo + key); window.sessionStorage.removeItem(letGo + key); } catch { return; }
    if (!raw || read(key)) return;
    const server = document.querySelector("button[value=bring-back]"); // it kept a copy too: both come back together
    if (server) { server.addEventListener("click", () => store.setItem(prefix + key, raw)); return; }
    line(text("gone"));
    box.hidden = false;
    box.querySelector("[data-let-go]").hidden = true;
    const back = box.querySelector("[data-bring-back]");
    back.hidden = false;
    back.addEventListener("click", () => { gone = true; store.setItem(prefix + key, raw); window.location.reload(); });
  }
  box.querySelector("[data-put]").addEventListener("click", () => decide(true));
  box.querySelector("[data-leave]").addEventListener("click", () => decide(false));
  box.querySelector("[data-let-go]").addEventListener("click", () => { drop(); window.location.reload(); });
  for (const b of document.querySelectorAll("[data-discard]")) b.addEventListener("click", drop);

  form.addEventListener("input", soon);
  form.addEventListener("change", soon);
  form.addEventListener("submit", () => { sent = true; keep(); });
  window.addEventListener("pagehide", keep);
  document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") keep(); });
  // The back button may bring the page as it was left: what was stored since must not look as if it were not.
  window.addEventListener("pageshow", (event) => {
    if (!event.persisted) return;
    forget();
    if (sent && !read(key)) { gone = true; window.location.reload(); }
  });

  // A browser fills fields by itself after Back and Reload, stored or not; what is kept here is what was typed and not stored.
  const came = performance.getEntriesByType("navigation")[0]?.type;
  if (store && !echo && (came === "back_forward" || came === "reload")) { form.reset(); hooks.filled?.(); }
  restore();
  offerBack();
  return { soon, keep, says: (words) => { said = words; touched = true; keep(); }, quiet: () => { said = ""; } };
}

forget();
for (const named of document.getElementsByName("draft")) if (!named.form.querySelector("[data-rows]")) keepDraft(named.form);
