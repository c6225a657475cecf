// Draws the outline of a green on a grid of metres, by pointer, keyboard or the phone's position. The text field with the
// corners stays what is saved: every change is written into it, and what is typed there is drawn. Needs no map.
import { txt } from "./texts.js";

const box = document.querySelector("[data-draw]");
const form = box?.closest("form");
const field = form?.elements.corners;
const svg = box?.querySelector("svg");
const said = box?.querySelector("[data-said]");
const NS = "http://www.w3.org/2000/svg";

// Radii of curvature of WGS 84 at a latitude make degrees of metres; good to a millimetre or so over a green, and only for the drawing.
const A = 6378137, E2 = 0.00669437999014, RAD = Math.PI / 180;
let origin = { lat: Number(box?.dataset.latitude || 0), lon: Number(box?.dataset.longitude || 0) };
const scale = () => {
  const s = Math.sin(origin.lat * RAD), w = Math.sqrt(1 - E2 * s * s);
  return { e: (A / w) * Math.cos(origin.lat * RAD) * RAD, n: ((A * (1 - E2)) / (w * w * w)) * RAD };
};
const toPlane = (lat, lon) => { const k = scale(); return { e: (lon - origin.lon) * k.e, n: (lat - origin.lat) * k.n }; };
const toEarth = (p) => { const k = scale(); return { lat: origin.lat + p.n / k.n, lon: origin.lon + p.e / k.e }; };

let rings = [{ kind: "", points: [] }]; // kind of the ring: "" for the first, "hole" or "part"
let at = { ring: 0, point: -1 };
let view = { e: 0, n: 0, half: 40 }; // middle and half width, m
let drag = null;

const latFirst = () => form.elements.order.value !== "lon";

function read() {
  const found = [{ kind: "", degrees: [] }];
  for (const raw of field.value.replaceAll("\u2212", "-").split("\n")) {
    const line = raw.trim().toLowerCase();
    if (line === "hole" || line === "part") { found.push({ kind: line, degrees: [] }); continue; }
    const two = line.split(/[\s,;]+/).filter(Boolean).map((w) => Number(w.replace("°", "")));
    if (two.length === 2 && two.every(Number.isFinite)) found.at(-1).degrees.push(latFirst() ? two : [two[1], two[0]]);
  }
  const first = found.flatMap((r) => r.degrees)[0];
  if (first) origin = { lat: first[0], lon: first[1] };
  rings = found.map((r) => ({ kind: r.kind, points: r.degrees.map(([lat, lon]) => toPlane(lat, lon)) }));
  for (const r of rings) {
    const a = r.points[0], z = r.points.at(-1);
    if (r.points.length > 1 && a.e === z.e && a.n === z.n) r.points.pop();
  }
  at = { ring: rings.length - 1, point: rings.at(-1).points.length - 1 };
}

function write() {
  field.value = rings.map((r) => (r.kind ? r.kind + "\n" : "") + r.points.map((p) => {
    const c = toEarth(p), lat = c.lat.toFixed(8), lon = c.lon.toFixed(8);
    return (latFirst() ? `${lat} ${lon}` : `${lon} ${lat}`) + "\n";
  }).join("")).join("");
  form.dispatchEvent(new Event("input")); // so that the draft is kept
}

const area = (points) => Math.abs(points.reduce((sum, p, i) => {
  const q = points[(i + 1) % points.length];
  return sum + p.e * q.n - q.e * p.n;
}, 0)) / 2;

function make(name, attributes, parent = svg) {
  const el = document.createElementNS(NS, name);
  for (const [k, v] of Object.entries(attributes)) el.setAttribute(k, v);
  parent.append(el);
  return el;
}

function draw() {
  svg.replaceChildren();
  svg.setAttribute("viewBox", `${view.e - view.half} ${-view.n - view.half} ${2 * view.half} ${2 * view.half}`);
  const step = [1, 2, 5, 10, 20, 50, 100].find((s) => view.half / s <= 8) ?? 200;
  const from = (v) => Math.ceil((v - view.half) / step) * step;
  for (let e = from(view.e); e <= view.e + view.half; e += step) make("line", { class: "gr", x1: e, x2: e, y1: -view.n - view.half, y2: -view.n + view.half, "vector-effect": "non-scaling-stroke" });
  for (let n = from(view.n); n <= view.n + view.half; n += step) make("line", { class: "gr", y1: -n, y2: -n, x1: view.e - view.half, x2: view.e + view.half, "vector-effect": "non-scaling-stroke" });
  const r = view.half / 36;
  rings.forEach((ring, i) => {
    if (ring.points.length > 1) make(ring.points.length > 2 ? "polygon" : "polyline", { class: "edge", points: ring.points.map((p) => `${p.e},${-p.n}`).join(" "), "vector-effect": "non-scaling-stroke" });
    ring.points.forEach((p, k) => make("circle", { class: i === at.ring && k === at.point ? "corner now" : "corner", cx: p.e, cy: -p.n, r, "data-ring": i, "data-point": k }));
  });
  const bar = make("text", { class: "scale", x: view.e - view.half * 0.96, y: -view.n + view.half * 0.95, "font-size": view.half / 14 });
  bar.textContent = txt("a square is %s m; north is up", step);
}

function say(more = "") {
  const whole = rings.reduce((sum, r) => sum + (r.kind === "hole" ? -1 : 1) * area(r.points), 0);
  const here = rings[at.ring]?.points[at.point];
  const spot = here ? `${txt("Corner %s of %s", at.point + 1, rings[at.ring].points.length)}${rings[at.ring].kind ? `, ${txt(rings[at.ring].kind)}` : ""}: ${metres(here.e, txt("east"), txt("west"))}, ${metres(here.n, txt("north"), txt("south"))}. ` : "";
  said.textContent = `${more}${spot}${whole > 0 ? txt("About %s m².", whole.toFixed(0)) : txt("A click sets a corner; drag one to move it.")}`;
}
const metres = (v, plus, minus) => `${Math.abs(v).toFixed(1)} m ${v < 0 ? minus : plus}`;

function changed(more) { write(); draw(); say(more); }

function fit() {
  const all = rings.flatMap((r) => r.points);
  if (all.length === 0) { view = { e: 0, n: 0, half: 40 }; return; }
  const es = all.map((p) => p.e), ns = all.map((p) => p.n);
  const low = { e: Math.min(...es), n: Math.min(...ns) }, high = { e: Math.max(...es), n: Math.max(...ns) };
  view = { e: (low.e + high.e) / 2, n: (low.n + high.n) / 2, half: Math.max(6, 0.65 * Math.max(high.e - low.e, high.n - low.n)) };
}

// A new corner goes after the selected one; a click goes into the nearest edge of a ring that has one.
function add(p, after = null) {
  const points = rings[at.ring].points;
  let i = after ?? points.length - 1;
  if (after === null && points.length > 2) {
    const far = points.map((a, k) => {
      const b = points[(k + 1) % points.length], dx = b.e - a.e, dy = b.n - a.n;
      const t = Math.min(1, Math.max(0, ((p.e - a.e) * dx + (p.n - a.n) * dy) / (dx * dx + dy * dy || 1)));
      return Math.hypot(p.e - a.e - t * dx, p.n - a.n - t * dy);
    });
    i = far.indexOf(Math.min(...far));
  }
  points.splice(i + 1, 0, p);
  at.point = i + 1;
}

function remove() {
  const points = rings[at.ring].points;
  if (at.point < 0) return;
  points.splice(at.point, 1);
  if (points.length === 0 && rings.length > 1) {
    rings.splice(at.ring, 1);
    if (rings[0].kind !== "") rings[0].kind = "";
    at.ring = rings.length - 1;
    at.point = rings[at.ring].points.length - 1;
    return;
  }
  at.point = points.length ? Math.max(0, at.point - 1) : -1;
}

function next(by) {
  const all = rings.flatMap((r, i) => r.points.map((_, k) => [i, k]));
  if (all.length === 0) return;
  const now = all.findIndex(([i, k]) => i === at.ring && k === at.point);
  [at.ring, at.point] = all[(now + by + all.length) % all.length];
}

function pointed(event) {
  const m = svg.getScreenCTM().inverse(), p = new DOMPoint(event.clientX, event.clientY).matrixTransform(m);
  return { e: p.x, n: -p.y };
}

// nearest is the corner within reach of a finger.
function nearest(p, event) {
  const reach = (event.pointerType === "touch" ? 22 : 10) * (2 * view.half / svg.getBoundingClientRect().width);
  let best = null;
  rings.forEach((r, i) => r.points.forEach((q, k) => {
    const d = Math.hypot(p.e - q.e, p.n - q.n);
    if (d <= reach && (!best || d < best.d)) best = { d, ring: i, point: k };
  }));
  return best;
}

const steps = {
  in: () => { view.half = Math.max(3, view.half / 1.5); }, out: () => { view.half = Math.min(500, view.half * 1.5); }, fit,
  hole: () => { rings.push({ kind: "hole", points: [] }); at = { ring: rings.length - 1, point: -1 }; },
  remove, clear: () => { rings = [{ kind: "", points: [] }]; at = { ring: 0, point: -1 }; },
};

// here adds a corner where the phone is, with how sure it is; the first one moves the drawing there.
function here(then) {
  const fix = box.querySelector("[data-fix]");
  if (!navigator.geolocation) { fix.textContent = txt("This device does not tell where it is."); return; }
  fix.textContent = txt("Asking the device where it is …");
  navigator.geolocation.getCurrentPosition((p) => {
    fix.textContent = p.coords.accuracy > 3 ? txt("Known to ± %s m: too coarse for an edge; tapes from fixed points or a survey are better.", p.coords.accuracy.toFixed(0)) : txt("Known to ± %s m: good enough to walk an edge.", p.coords.accuracy.toFixed(0));
    then(p.coords.latitude, p.coords.longitude);
  }, (e) => { fix.textContent = txt("The device did not say where it is (%s): type the corner instead.", e.message); }, { enableHighAccuracy: true, maximumAge: 0, timeout: 30000 });
}

if (box) {
  box.hidden = false;
  read(); fit(); draw(); say();
  field.addEventListener("input", () => { read(); fit(); draw(); say(); });
  form.elements.order.addEventListener("change", () => { write(); });
  for (const b of box.querySelectorAll("button[data-do]")) b.addEventListener("click", () => {
    if (b.dataset.do === "here") {
      here((lat, lon) => {
        if (rings.every((r) => r.points.length === 0)) origin = { lat, lon };
        add(toPlane(lat, lon), rings[at.ring].points.length - 1);
        fit(); changed(`${txt("Corner set where you stand.")} `);
      });
      return;
    }
    steps[b.dataset.do]();
    if (["remove", "clear", "hole"].includes(b.dataset.do)) changed(b.dataset.do === "hole" ? `${txt("The next corners are of a hole.")} ` : ""); else { draw(); say(); }
  });
  svg.addEventListener("pointerdown", (event) => {
    const p = pointed(event), hit = nearest(p, event);
    if (hit) at = { ring: hit.ring, point: hit.point }; else add(p);
    drag = event.pointerId;
    svg.setPointerCapture(drag);
    svg.focus({ preventScroll: true });
    event.preventDefault();
    changed();
  });
  svg.addEventListener("pointermove", (event) => {
    if (drag !== event.pointerId || at.point < 0) return;
    rings[at.ring].points[at.point] = pointed(event);
    changed();
  });
  for (const end of ["pointerup", "pointercancel"]) svg.addEventListener(end, () => { drag = null; });
  svg.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const far = event.shiftKey ? 5 : 0.5, p = rings[at.ring].points[at.point];
    const move = { ArrowLeft: [-far, 0], ArrowRight: [far, 0], ArrowUp: [0, far], ArrowDown: [0, -far] }[event.key];
    const key = event.key.toLowerCase();
    if (move && p) { p.e += move[0]; p.n += move[1]; } else if (key === "n") next(1); else if (key === "p") next(-1); else if (event.key === "Enter" || event.key === "Insert") {
      const points = rings[at.ring].points, q = points[(at.point + 1) % points.length] ?? { e: view.e, n: view.n };
      add(p && points.length > 1 ? { e: (p.e + q.e) / 2, n: (p.n + q.n) / 2 } : { e: (p?.e ?? view.e) + (p ? 5 : 0), n: p?.n ?? view.n }, at.point);
    } else if (event.key === "Delete" || event.key === "Backspace") remove(); else if (event.key === "+") steps.in(); else if (event.key === "-") steps.out(); else return;
    event.preventDefault();
    changed();
  });
  for (const b of document.querySelectorAll("button[data-point]")) {
    if (!navigator.geolocation) continue;
    b.hidden = false;
    b.addEventListener("click", () => here((lat, lon) => {
      const f = b.closest("form").elements;
      f[`lat-${b.dataset.point}`].value = lat.toFixed(7);
      f[`lon-${b.dataset.point}`].value = lon.toFixed(7);
      b.closest("form").dispatchEvent(new Event("input"));
    }));
  }
}

document.getElementById("errors")?.focus();
