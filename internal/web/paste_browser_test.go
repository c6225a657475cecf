package web

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// pasteInto pastes a text into a field, as the clipboard would.
func pasteInto(t *testing.T, ctx context.Context, name, text string) {
	t.Helper()
	block, err := json.Marshal(text)
	if err != nil {
		t.Fatal(err)
	}
	eval[bool](t, ctx, `(() => { const f = document.querySelector("[name='`+name+`']"); f.focus(); const d = new DataTransfer(); d.setData("text/plain", `+string(block)+`);
		return f.dispatchEvent(new ClipboardEvent("paste", { clipboardData: d, bubbles: true, cancelable: true })) })()`)
}

// A block copied from a spreadsheet is shown before it is put in: where it goes, what is not understood and why, what it takes the
// place of. Escape leaves everything as it was, Enter puts it in, one step takes it out again.
func TestPasteInTheBrowser(t *testing.T) {
	ctx, _, home := browser(t, 1360)
	value := func(name string) string {
		return eval[string](t, ctx, `[...document.querySelectorAll("[name]")].find((e) => e.name === "`+name+`")?.value ?? "no field"`)
	}
	row := func(n string, columns ...string) string {
		var out []string
		for _, c := range columns {
			out = append(out, value("r"+n+"-"+c))
		}
		return strings.Join(out, " | ")
	}
	open := func() bool { return eval[bool](t, ctx, `document.querySelector("dialog.paste").open`) }
	focused := func() string {
		return eval[string](t, ctx, `document.activeElement.name || document.activeElement.innerText`)
	}
	forEverybody := func(where string) {
		t.Helper()
		do(t, ctx, chromedp.Evaluate[chromedp.Void](axeSource), chromedp.Evaluate[chromedp.Void](everybodySource))
		for _, f := range axe(t, ctx, false) {
			t.Errorf("the paste, %s: %s (%s)\n\t%s\n\t%s", where, f.Help, f.Rule, f.At, f.Why)
		}
		for _, fault := range eval[[]string](t, ctx, `everybody.over()`) {
			t.Errorf("the paste, %s: %s", where, fault)
		}
	}

	// Headings lead to their fields in whatever order; semicolons, decimal commas, days as they are written, names for keys.
	do(t, ctx, chromedp.Navigate(home+"/course/varrowmere/table/readings"), chromedp.WaitVisible("tr[data-row]"), chromedp.SendKeys("#f-r1-value", "9.9"))
	block := "Value;Green;Date;Rolls;What\r\n2,81;g01;02.11.2026;3;Green speed, m\r\n\"2,93\";g02;3 November 2026;4;bounce\r\nlong;g77;31.2.2026;;Green speed, m\r\n"
	pasteInto(t, ctx, "r0-date", block)
	seen(t, ctx, "3 rows and 5 columns, for rows 1 to 3.")
	for _, words := range []string{
		"Not put in: 4", "“bounce”, row 2, What: one of these is allowed: Firmness, g (drop hammer)", "“long”, row 3, Value: no number", "“31.2.2026”, row 3, Date: no day; write it as 2026-10-08",
		"“Rolls”, heading: no field is called so", "Takes the place of what stands there: 1", "row 2, Value: 9.9 becomes 2.93", "Not on record: 1", "“g77”, row 3, Green: nothing on record is called so",
		"2,81 as 2.81, row 1, Value", "02.11.2026 as 2026-11-02, row 1, Date",
	} {
		seen(t, ctx, words)
	}
	if got := focused(); !strings.HasPrefix(got, "Put it in") {
		t.Errorf("the focus is on %q, want the button that puts it in", got)
	}
	if got := eval[string](t, ctx, `[...document.querySelectorAll("dialog.paste select")].map((e) => e.value).join(" ")`); got != "value green date  kind" {
		t.Errorf("the columns go into %q", got)
	}
	forEverybody("1360 px")
	do(t, ctx, keys("\x1b"))
	if got := row("0", "green", "date", "kind", "value"); open() || got != " |  |  | " || value("r1-value") != "9.9" || focused() != "r0-date" {
		t.Errorf("after Escape the dialog is open: %v, the rows hold %q and %q, the focus is on %q", open(), got, value("r1-value"), focused())
	}

	// On a phone; the column nobody knew is given a field, then it is put in and taken out.
	do(t, ctx, chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	pasteInto(t, ctx, "r0-date", block)
	seen(t, ctx, "3 rows and 5 columns")
	forEverybody("390 px")
	for _, fault := range eval[[]string](t, ctx, `everybody.small(44).filter((x) => x.includes("dialog"))`) {
		t.Errorf("the paste on a phone, smaller than 44 px: %s", fault)
	}
	eval[bool](t, ctx, `(() => { const e = document.querySelector("#paste-3"); e.value = "n"; return e.dispatchEvent(new Event("change", { bubbles: true })) })()`)
	do(t, ctx, keys("\r"))
	if got := row("0", "green", "date", "kind", "value", "n"); open() || got != "g01 | 2026-11-02 | speed_m | 2.81 | 3" {
		t.Errorf("row 1 holds %q", got)
	}
	if got := row("1", "green", "date", "kind", "value", "n"); got != "g02 | 2026-11-03 |  | 2.93 | 4" {
		t.Errorf("row 2 holds %q", got)
	}
	seen(t, ctx, "3 rows pasted into Green, Date, What, Value, Readings averaged. Not put in: 3.")
	do(t, ctx, chromedp.SetValue("#f-r0-value", "2.85"), chromedp.Click("[data-paste-undo]"))
	if got := row("0", "green", "date", "kind", "value"); got != " |  |  | 2.85" || value("r1-value") != "9.9" {
		t.Errorf("after taking it out row 1 holds %q and row 2 %q; what was typed since has to stay", got, value("r1-value"))
	}
	seen(t, ctx, "The paste is taken out again.")

	// The sheet of the bench: commas apart, the headings of a laboratory, more rows than there are; the key takes it out.
	do(t, ctx, chromedp.EmulateViewport(1360, 900), chromedp.Navigate(home+"/course/ostrelby/bench/enter"), chromedp.WaitVisible("tr[data-row]"))
	n := eval[int](t, ctx, `document.querySelectorAll("tr[data-row]").length`)
	var lines []string
	for range n + 2 {
		lines = append(lines, "e1,79.100,40.100,80.200")
	}
	pasteInto(t, ctx, "r0-crucible", "Dish,Burnt (g),Tare (g),Oven-dry (g)\n"+strings.Join(lines, "\n")+"\n")
	do(t, ctx, keys("\r"))
	if got := eval[int](t, ctx, `document.querySelectorAll("tr[data-row]").length`); got != n+2 {
		t.Errorf("%d rows, want %d", got, n+2)
	}
	if got := row("0", "crucible", "tare_g", "dry_g", "ash_g"); got != "e1 | 40.100 | 80.200 | 79.100" {
		t.Errorf("row 1 holds %q", got)
	}
	eval[bool](t, ctx, `document.activeElement.dispatchEvent(new KeyboardEvent("keydown", { key: "z", ctrlKey: true, bubbles: true, cancelable: true }))`)
	if got := row("0", "crucible", "tare_g", "dry_g", "ash_g"); got != " |  |  | " {
		t.Errorf("after taking it out row 1 holds %q", got)
	}

	// A line for one field stays a text.
	pasteInto(t, ctx, "r0-crucible", "c01")
	if open() {
		t.Error("a single word was taken for a block")
	}
}
