// The key "/" goes to the field that finds things, unless something is being typed. Without this module the field works just the same.
document.addEventListener("keydown", (event) => {
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
  const at = document.activeElement;
  if (at && (at.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(at.tagName))) return;
  const field = document.getElementById("q") ?? document.getElementById("find");
  if (!field) return;
  event.preventDefault();
  if (field.offsetParent === null) location.href = "/search";
  else {
    field.focus();
    field.select();
  }
});
