package web

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// keys types into the field that has the focus.
func keys(text string) chromedp.Action[chromedp.Void] { return chromedp.KeyEvent(text) }

const inSheet = `(name) => document.querySelector("form[data-sheet]").elements[name].value`

func TestSheetInTheBrowser(t *testing.T) {
	ctx, s, url := browser(t, 1360)
	at := url + "/course/ostrelby/bench/enter?run=os-2026-autumn-1"
	do(t, ctx, chromedp.Navigate(at), chromedp.WaitVisible("[data-rows]"))
	n := eval[int](t, ctx, `document.querySelectorAll("tr[data-row]").length`)

	// A balance types a line and ends it with Enter: the field takes the number and the next crucible has the focus.
	do(t, ctx, chromedp.Focus("#f-r0-ash_again_g"), keys("S S     43.2200 g\r"))
	if got := eval[string](t, ctx, `(`+inSheet+`)("r0-ash_again_g")`); got != "43.2200" {
		t.Errorf("what the balance typed was read as %q, want 43.2200", got)
	}
	if got := eval[string](t, ctx, `document.activeElement.name`); got != "r1-ash_again_g" {
		t.Errorf("after Enter the focus is on %q, want the next crucible", got)
	}
	do(t, ctx, keys("\t"))
	if got := eval[string](t, ctx, `document.activeElement.name`); got != "r2-ash_again_g" {
		t.Errorf("after Tab the focus is on %q, want the next crucible", got)
	}

	// A block from a spreadsheet fills rows from the field on, and adds what is missing.
	first := eval[string](t, ctx, `[...document.querySelectorAll("tr[data-row]")].find(r => !r.querySelector("[data-column=crucible]").value).querySelector("[data-column=crucible]").name`)
	pasteInto(t, ctx, first, "d01\tos-2026-autumn-g01-0-20\t40.100\t80.200\t79.100\r\nd02\tos-2026-autumn-g02-0-20\t41,100\t81,200\t80,100\r\nd03\tx\t1\t2\t1\r\nd04\tx\t1\t2\t1\r\nd05\tx\t1\t2\t1\r\n")
	seen(t, ctx, "5 rows and 5 columns")
	do(t, ctx, keys("\r"))
	if got := eval[int](t, ctx, `document.querySelectorAll("tr[data-row]").length`); got != n+1 {
		t.Errorf("%d rows after pasting five into four free ones, want %d", got, n+1)
	}
	seen(t, ctx, "5 rows pasted into Crucible, Composite or control, Empty, Dry, Ash.")
	second := `[...document.querySelectorAll("tr[data-row]")].find(r => r.querySelector("[data-column=crucible]").value === "d02")`
	if got := eval[string](t, ctx, second+`.querySelector("[data-column=dry_g]").value + " " + `+second+`.querySelector("[data-om]").value`); got != "81.200 2.74" {
		t.Errorf("the second pasted row holds dry mass and loss %q, want 81.200 2.74", got)
	}

	// The page closes; what was typed is there again.
	do(t, ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(at), chromedp.WaitVisible("[data-draft]"))
	seen(t, ctx, "were not stored. They stand in their places again.")
	if got := eval[string](t, ctx, second+`?.querySelector("[data-column=ash_g]").value ?? "gone"`); got != "80.100" {
		t.Errorf("after coming back the pasted ash is %q, want 80.100", got)
	}

	// It is refused with what is wrong beside the fields, and still there on another day.
	do(t, ctx, chromedp.Click("button[value=save]"), chromedp.WaitVisible("#errors"))
	seen(t, ctx, `Composite "x" is not on this course`)
	if s.weighing("ostrelby", "os-2026-autumn-1", "d01") != nil {
		t.Error("a refused sheet was stored")
	}
	eval[bool](t, ctx, `(() => { localStorage.clear(); return true })()`)
	do(t, ctx, chromedp.Navigate("about:blank"), chromedp.Navigate(at), chromedp.WaitVisible("main > .note.kept"))
	seen(t, ctx, "could not be stored. It stands below with what is wrong.")

	// Set right and stored; then nothing is kept any more.
	eval[bool](t, ctx, `(() => { for (const r of document.querySelectorAll("tr[data-row]")) { const c = r.querySelector("[data-column=crucible]"); if (/^d0[345]$/.test(c.value)) for (const f of r.querySelectorAll("input[data-column]")) f.value = "";
		if (/^d0[12]$/.test(c.value)) r.querySelector("[data-column=kind]").value = "duplicate" } return true })()`)
	do(t, ctx, chromedp.Click("button[value=save]"), chromedp.WaitVisible(".done"))
	seen(t, ctx, "Wrote down furnace run os-2026-autumn-1.")
	if w := s.weighing("ostrelby", "os-2026-autumn-1", "d02"); w == nil || w.AshG.Value != 80.1 || w.Kind != "duplicate" {
		t.Errorf("stored %+v", w)
	}
	if got := eval[int](t, ctx, `localStorage.length`); got != 0 {
		t.Errorf("%d drafts are kept after storing", got)
	}
	do(t, ctx, chromedp.Click(".done button"), chromedp.WaitVisible(".done"))
	seen(t, ctx, "Do it again")
	if s.weighing("ostrelby", "os-2026-autumn-1", "d02") != nil {
		t.Error("the undo did not take the row out")
	}
}

func TestSheetWithoutScript(t *testing.T) {
	ctx, s, url := browser(t, 390)
	do(t, ctx, scripts(false), chromedp.Navigate(url+"/course/ostrelby/bench/enter"), chromedp.WaitVisible("[data-rows]"))
	do(t, ctx, chromedp.SendKeys("#f-furnace_run", "plain-1"), chromedp.SendKeys("#f-r0-crucible", "d01"), chromedp.SetValue("#f-r0-kind", "duplicate"),
		chromedp.SendKeys("#f-r0-sample", "os-2026-autumn-g01-0-20"), chromedp.SendKeys("#f-r0-tare_g", "40,1"), chromedp.SendKeys("#f-r0-dry_g", "N + 80.2 g"),
		chromedp.Click("button[value=save]"), chromedp.WaitVisible(".done"))
	if w := s.weighing("ostrelby", "plain-1", "d01"); w == nil || w.TareG.Value != 40.1 || w.DryG.Value != 80.2 || w.AshG.Known {
		t.Errorf("stored %+v", w)
	}
}

func TestReleaseInTheBrowser(t *testing.T) {
	ctx, s, url := browser(t, 1360)
	do(t, ctx, chromedp.Navigate(url+"/course/varrowmere/bench?run="+failControl(t, s)), chromedp.WaitVisible("#held"), chromedp.Click("button[value=release]"),
		chromedp.WaitVisible(`.release [aria-invalid=true]`))
	seen(t, ctx, "A name is needed: held results are released by a person")
	do(t, ctx, chromedp.SendKeys("#f-by", "A. Tester"), chromedp.SendKeys("#f-reason", "the control jar stood open"), chromedp.Click("button[value=release]"), chromedp.WaitVisible(".done"))
	seen(t, ctx, "Released by A. Tester on 2026-11-25: The control jar stood open.")
	do(t, ctx, chromedp.Click(".done button"), chromedp.WaitVisible(".done"))
	seen(t, ctx, "is held: its checks failed.")
}
