// The plan somebody works on stands in the address of its page. The last one of a course is remembered in this browser, and offered
// where the page is opened without one.
import { lang } from "./texts.js";

const note = document.querySelector("[data-resume]");
const store = (() => { try { return window.localStorage; } catch { return null; } })();

if (note && store) {
  const key = "underfoot-plan:" + note.dataset.resume;
  const query = () => { const q = new URLSearchParams(location.search); q.delete("done"); return q; };
  if (query().has("from")) {
    const remember = () => { try { store.setItem(key, JSON.stringify({ at: new Date().toISOString(), query: query().toString() })); } catch { /* it is in the history of the browser */ } };
    window.addEventListener("pagehide", remember);
    document.addEventListener("visibilitychange", () => { if (document.visibilityState === "hidden") remember(); });
  } else {
    let last;
    try { last = JSON.parse(store.getItem(key) ?? "null"); } catch { last = null; }
    if (typeof last?.query === "string") {
      const at = new Date(last.at);
      note.querySelector("[data-says]").textContent = note.dataset.when.replace("{when}", at.toLocaleString(lang === "en" ? "en-GB" : lang, { day: "numeric", month: "long", hour: "2-digit", minute: "2-digit" }));
      note.querySelector("a").href = `${location.pathname}?${last.query}#work`;
      note.querySelector("[data-forget]").addEventListener("click", () => { store.removeItem(key); note.hidden = true; });
      note.hidden = false;
    }
  }
}
