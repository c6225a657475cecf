package web

import (
	"testing"

	"github.com/chromedp/chromedp"
)

func TestTypedTableInTheBrowser(t *testing.T) {
	ctx, s, url := browser(t, 1360)
	at := url + "/course/ostrelby/table/readings"
	value := func(name string) string {
		return eval[string](t, ctx, `document.querySelector("form[data-table]").elements["`+name+`"]?.value ?? "no field"`)
	}
	do(t, ctx, chromedp.Navigate(at), chromedp.WaitVisible("[data-rows]"))

	// Enter goes down and, at the foot, makes a row; what seldom changes is offered from the row above.
	do(t, ctx, chromedp.Focus("#f-r0-date"), keys("2026-11-02\r"), chromedp.SetValue("#f-r0-kind", "speed_m"))
	do(t, ctx, chromedp.Focus("#f-r1-value"), keys("2.71\r"))
	if d, k := value("r1-date"), value("r1-kind"); d != "2026-11-02" || k != "speed_m" {
		t.Errorf("offered %q and %q, want day and kind of the row above", d, k)
	}
	do(t, ctx, chromedp.Focus("#f-r4-value"), keys("\r"))
	if got := eval[string](t, ctx, `document.activeElement.name`); got != "r5-value" {
		t.Errorf("after Enter in the last row the focus is on %q, want a new row", got)
	}

	// A block from a spreadsheet fills rows; what has no place is named.
	pasteInto(t, ctx, "r2-green", "g01\t2026-11-02\tGreen speed, m\t2.8\r\ng02\t2026-11-02\tbounce\t2.9\r\n")
	seen(t, ctx, "“bounce”, row 4, What: one of these is allowed")
	do(t, ctx, keys("\r"))
	seen(t, ctx, "2 rows pasted into Green, Date, What, Value. Not put in: 1.")
	if got := value("r2-kind"); got != "speed_m" {
		t.Errorf("the pasted kind is %q, want speed_m", got)
	}

	// The page closes; what was typed is there again, and gone once it is stored.
	do(t, ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(at), chromedp.WaitVisible("[data-draft]"))
	if got := value("r3-value"); got != "2.9" {
		t.Errorf("after coming back row 4 holds %q, want 2.9", got)
	}
	eval[bool](t, ctx, `(() => { const e = document.querySelector("form[data-table]").elements;
		for (const [n, v] of Object.entries({"r0-green": "g01", "r0-value": "2.6", "r1-green": "g02", "r3-kind": "speed_m"})) e[n].value = v; return true })()`)
	do(t, ctx, chromedp.Click("button[value=save]"), chromedp.WaitVisible(".done"))
	seen(t, ctx, "Four rows of readings.")
	if got := eval[int](t, ctx, `localStorage.length`); got != 0 {
		t.Errorf("%d drafts are kept after storing", got)
	}
	if rs, err := s.app.Store.Records(t.Context(), "ostrelby"); err != nil || len(rs.Readings) != 4 {
		t.Errorf("%d readings stored, %v", len(rs.Readings), err)
	}
}
