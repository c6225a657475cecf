// The log's form: says at once what an amount of sand comes to in the other units. Without this module the button
// "Work it out first" asks the server for the same sentence. How numbers read in other units than metric ones comes with the
// form (data-read), from the same table that the server reads by.
import { lang, txt } from "./texts.js";

const form = document.querySelector("form[data-amounts]");
const read = JSON.parse(form?.dataset.read ?? "{}");

const digits = (v, d) => v.toLocaleString(lang === "en" ? "en-GB" : lang, { minimumFractionDigits: d, maximumFractionDigits: d });
const round = (v, d) => Math.round(v * 10 ** d) / 10 ** d;

// reading writes a metric number with d decimals and its unit, as the reader has it.
function reading(v, d, metric) {
  const by = read[metric];
  if (!by) return `${digits(v, d)} ${metric}`;
  const said = round(v, d) * by.per; // what is converted is the metric reading
  let places = d + by.shift;
  while (places < by.most && Math.abs(round(said, places) - said) > by.slack * Math.abs(said)) places++;
  return `${digits(round(said, places), Math.max(places, 0))} ${by.unit}`;
}
const mass = (t) => reading(t, Math.abs(t) >= 100 ? 0 : Math.abs(t) >= 1 ? 1 : 2, "t");

function sentence() {
  const text = form.elements.amount.value.trim();
  const sand = form.elements.sand?.selectedOptions[0]?.dataset ?? {};
  const area = Number(form.elements.green?.selectedOptions[0]?.dataset.area ?? 0);
  const density = Number(sand.density);
  const unit = form.elements.unit.value;
  const amount = Number(text.replace(",", ".")) / (read[{ mm: "mm", kg_m2: "kg/m²", t: "t" }[unit]]?.per ?? 1);
  if (!text || !(amount > 0) || !(density > 0)) return "";
  const mm = { mm: amount, kg_m2: (amount / density) * 1000, t: area > 0 ? (amount * 1e6) / area / density : NaN }[unit];
  if (!(mm > 0)) return "";
  const parts = [txt("%s is %s", reading(mm, 2, "mm"), reading((mm * density) / 1000, 2, "kg/m²"))];
  if (area > 0) {
    const t = ((mm * density) / 1e6) * area;
    parts.push(txt("%s dry over %s", mass(t), reading(area, 0, "m²")));
    const water = Number(sand.moisture ?? 0);
    if (water > 0) parts.push(txt("%s as delivered at %s % moisture", mass(t * (1 + water / 100)), digits(water, 0)));
  }
  parts.push(txt("at %s", reading(density, 0, "kg/m³")));
  const said = parts.join(", ");
  return sand.taken ? txt("%s (taken, because the sand’s density is not written down).", said) : `${said}.`;
}

if (form) {
  form.querySelector("[data-plain]")?.remove();
  const line = form.querySelector("[data-live]");
  const show = () => { line.textContent = sentence(); };
  form.addEventListener("input", show);
  form.addEventListener("change", show);
  show();
}

document.getElementById("errors")?.focus();
