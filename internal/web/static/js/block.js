// Reading a block copied from a spreadsheet: its cells, and what a cell says to a field. Nothing here touches a page.

// cells splits a block: by tabs, else semicolons, else commas where they do not stand in numbers, else two or more blanks. A
// cell in quotes may hold any of them. Lines without anything are passed over.
export function cells(text) {
  const t = text.replaceAll("\r\n", "\n").replaceAll("\r", "\n").replace(/\n+$/, "");
  const lines = t.split("\n").filter((l) => l.trim());
  const plain = lines.map((l) => l.replace(/"(?:[^"]|"")*"/g, ""));
  const count = (l, c) => l.split(c).length - 1;
  let by = "";
  if (t.includes("\t")) by = "\t";
  else if (plain.length && plain.every((l) => l.includes(";"))) by = ";";
  else if (plain.length && plain.every((l) => count(l, ",") > 0 && count(l, ",") === count(plain[0], ",")) && !lines.every((l) => /^\s*[-+−]?\d+,\d+\s*$/.test(l))) by = ",";
  if (!by) return lines.map((l) => l.trim().split(/ {2,}/).map((c) => c.trim()));
  const rows = [[]], quote = String.fromCharCode(34);
  let cell = "", quoted = false, begun = false;
  const end = () => { rows.at(-1).push(cell.trim()); cell = ""; begun = false; };
  for (let i = 0; i < t.length; i++) {
    const c = t[i];
    if (quoted) {
      if (c === quote && t[i + 1] === quote) { cell += quote; i++; } else if (c === quote) quoted = false;
      else cell += c === "\n" ? " " : c;
    } else if (c === quote && !begun && cell.trim() === "") { quoted = true; begun = true; cell = ""; } else if (c === by) end();
    else if (c === "\n") { end(); rows.push([]); } else { cell += c; if (c.trim()) begun = true; }
  }
  end();
  return rows.filter((r) => r.some((c) => c !== ""));
}

// marks says how a block writes its numbers: whether a point or a comma stands before decimals somewhere beyond doubt.
export function marks(rows) {
  const all = rows.flat();
  return { point: all.some((c) => /^[-+−]?\d*\.\d+$/.test(c) && !/^[-+−]?\d{1,3}\.\d{3}$/.test(c)), comma: all.some((c) => /^[-+−]?\d*,\d+$/.test(c) && !/^[-+−]?\d{1,3},\d{3}$/.test(c)) };
}

// readNumber reads a number with a decimal point or comma and thousands apart: {value} as the program writes it, or {why}.
export function readNumber(text, how, unit) {
  let t = text.replaceAll("−", "-").replace(/[\s\u00a0\u202f’']/g, "");
  for (const u of [unit, "%"]) if (u && t.toLowerCase().endsWith(u.toLowerCase().replace(/\s/g, ""))) t = t.slice(0, -u.replace(/\s/g, "").length);
  const point = t.includes("."), comma = t.includes(",");
  if (point && comma) t = t.lastIndexOf(".") > t.lastIndexOf(",") ? t.replaceAll(",", "") : t.replaceAll(".", "").replace(",", ".");
  else if (comma) {
    if (/^[-+]?\d{1,3}(,\d{3}){2,}$/.test(t)) t = t.replaceAll(",", "");
    else if (/^[-+]?[1-9]\d{0,2},\d{3}$/.test(t) && how.point) return { why: "comma" };
    else t = t.replace(",", ".");
  } else if (point) {
    if (/^[-+]?\d{1,3}(\.\d{3}){2,}$/.test(t)) t = t.replaceAll(".", "");
    else if (/^[-+]?[1-9]\d{0,2}\.\d{3}$/.test(t) && how.comma) return { why: "point" };
  }
  t = t.replace(/^\+/, "").replace(/^(-?)\./, "$10.");
  return /^-?\d+(\.\d+)?([eE][-+]?\d+)?$/.test(t) ? { value: t } : { why: "number" };
}

const months = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

// readDay reads a day as 2026-10-08, 8.10.2026, 8/10/2026 in the order of the reader, 8 October 2026 or Oct 8, 2026: {value}
// with the year first, or {why}.
export function readDay(text, monthFirst) {
  const t = text.trim().toLowerCase().replace(/,/g, " ").replace(/\s+/g, " ");
  const month = (w) => months.indexOf(w.slice(0, 3)) + 1;
  let m, y, mo, d;
  if ((m = t.match(/^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[t ]00:00(:00)?)?$/))) [y, mo, d] = [m[1], m[2], m[3]];
  else if ((m = t.match(/^(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})$/))) [d, mo, y] = [m[1], m[2], m[3]];
  else if ((m = t.match(/^(\d{1,2})[/-](\d{1,2})[/-](\d{4})$/))) {
    [d, mo, y] = monthFirst ? [m[2], m[1], m[3]] : [m[1], m[2], m[3]];
    if (Number(mo) > 12 && Number(d) <= 12) [d, mo] = [mo, d]; // it can be read one way only
  } else if ((m = t.match(/^(?:[a-z]+ )?(\d{1,2})\.?[ -]([a-z]{3,9})\.?[ -](\d{4})$/))) [d, mo, y] = [m[1], month(m[2]), m[3]];
  else if ((m = t.match(/^([a-z]{3,9})\.? (\d{1,2}) (\d{4})$/))) [mo, d, y] = [month(m[1]), m[2], m[3]];
  else return { why: "day" };
  const at = new Date(Date.UTC(Number(y), Number(mo) - 1, Number(d)));
  if (at.getUTCMonth() !== Number(mo) - 1 || at.getUTCDate() !== Number(d)) return { why: "day" };
  return { value: at.toISOString().slice(0, 10) };
}

// words makes headings comparable: small letters, without unit, brackets and points.
export const words = (s) => s.toLowerCase().replace(/[([].*?[)\]]/g, " ").replace(/,[^,]*$/, "").replace(/[^\p{L}\p{N}%]+/gu, " ").trim();
