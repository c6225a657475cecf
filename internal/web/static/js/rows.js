// Rows of a form that are typed into one below another.
export const rowsOf = (body) => [...body.querySelectorAll("tr[data-row]")];

// addRow adds an empty row at the foot of a body, named as the next of the form.
export function addRow(form, body) {
  const last = rowsOf(body).at(-1);
  const row = last.cloneNode(true);
  const n = Number(form.elements.rows.value);
  row.dataset.row = n;
  delete row.dataset.key;
  row.firstElementChild.firstChild.textContent = String(n + 1);
  for (const e of row.querySelectorAll("[name]")) {
    e.name = e.name.replace(/^r\d+-/, `r${n}-`);
    if (e.id) e.id = "f-" + e.name;
    for (const a of ["aria-invalid", "aria-describedby", "placeholder"]) if (a !== "placeholder" || e.dataset.kind !== "date") e.removeAttribute(a);
    const label = e.getAttribute("aria-label");
    if (label) e.setAttribute("aria-label", label.replace(/\d+/, n + 1));
    if (e.type === "checkbox") e.checked = e.defaultChecked = false;
    else if (e.tagName === "SELECT") {
      for (const o of e.options) o.defaultSelected = o.value === (e.dataset.blank ?? "");
      e.value = e.dataset.blank ?? "";
    } else e.value = e.defaultValue = "";
  }
  for (const e of row.querySelectorAll(".error, .hint")) e.remove();
  body.append(row);
  form.elements.rows.value = String(n + 1);
  return row;
}
