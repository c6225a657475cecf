// The log's form: says at once what an amount of sand comes to in the other units. Without this module the button
// "Work it out first" asks the server for the same sentence.
const form = document.querySelector("form[data-amounts]");

const digits = (v, d) => v.toLocaleString("en-GB", { minimumFractionDigits: d, maximumFractionDigits: d });
const mass = (t) => digits(t, Math.abs(t) >= 100 ? 0 : Math.abs(t) >= 1 ? 1 : 2);

function sentence() {
  const text = form.elements.amount.value.trim();
  const amount = Number(text);
  const sand = form.elements.sand?.selectedOptions[0]?.dataset ?? {};
  const area = Number(form.elements.green?.selectedOptions[0]?.dataset.area ?? 0);
  const density = Number(sand.density);
  if (!text || !(amount > 0) || !(density > 0)) return "";
  const mm = { mm: amount, kg_m2: (amount / density) * 1000, t: area > 0 ? (amount * 1e6) / area / density : NaN }[form.elements.unit.value];
  if (!(mm > 0)) return "";
  let s = `${digits(mm, 2)} mm is ${digits((mm * density) / 1000, 2)} kg/m²`;
  if (area > 0) {
    const t = ((mm * density) / 1e6) * area;
    s += `, ${mass(t)} t dry over ${digits(area, 0)} m²`;
    const water = Number(sand.moisture ?? 0);
    if (water > 0) s += `, ${mass(t * (1 + water / 100))} t as delivered at ${digits(water, 0)} % moisture`;
  }
  s += `, at ${digits(density, 0)} kg/m³`;
  if (sand.taken) s += " (taken, because the sand’s density is not written down)";
  return s + ".";
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
