// The upload: files may be dropped on the frame, and while they travel a line says so.
import { txt } from "./texts.js";

const form = document.querySelector("form[data-upload]");
if (form) {
  const drop = form.querySelector(".drop");
  const field = form.elements.files;
  for (const kind of ["dragenter", "dragover"]) {
    drop.addEventListener(kind, (event) => { event.preventDefault(); drop.classList.add("is-over"); });
  }
  for (const kind of ["dragleave", "drop"]) drop.addEventListener(kind, () => drop.classList.remove("is-over"));
  drop.addEventListener("drop", (event) => {
    event.preventDefault();
    if (event.dataTransfer.files.length > 0) field.files = event.dataTransfer.files;
  });
  form.addEventListener("submit", () => {
    const bytes = [...field.files].reduce((sum, f) => sum + f.size, 0);
    const count = field.files.length;
    if (count > 0) form.querySelector("[data-working]").textContent = count === 1 ? txt("Sending one file, %s MB. It is read as soon as it is here.", Math.ceil(bytes / 1e6)) : txt("Sending %s files, %s MB. They are read as soon as they are here.", count, Math.ceil(bytes / 1e6));
  });
}
