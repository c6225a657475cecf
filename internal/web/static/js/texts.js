// Texts of scripts in the reader's language. The page brings them where it is not English; a text without one stays as it is
// written here. %s stands for what is put in, %[2]s for the second of it where another language orders them anew.
const block = document.getElementById("script-texts");
const texts = block ? JSON.parse(block.textContent) : {};

export const lang = document.documentElement.lang || "en";

export function txt(text, ...args) {
  let next = 0;
  return (texts[text] ?? text).replace(/%(?:\[(\d)\])?s/g, (_, n) => args[n ? n - 1 : next++] ?? "");
}
