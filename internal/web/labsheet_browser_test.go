package web

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"

	"underfoot"
)

// A person points at the columns of a sheet, with JavaScript and without: asked what can be read in two ways, shown what
// it would bring, brought in, put back.
func TestLabSheetInTheBrowser(t *testing.T) {
	for _, script := range []bool{true, false} {
		t.Run(fmt.Sprintf("JavaScript %v", script), func(t *testing.T) {
			ctx, s, url := browser(t, 1360)
			file := keep(t, filepath.Join(t.TempDir(), "sheets"), "autumn.csv", "x,Green,Depth,Date,LOI\nL1,Green 3,0-2 cm,03/11/2026,4.4\nL2,Clock,0-2 cm,04/11/2026,3.9\n")
			again := func() {
				if !script {
					eval[string](t, ctx, `document.documentElement.dataset.before = "yes"`) // the page that gives way
					do(t, ctx, chromedp.Click("button[value=look]"), chromedp.WaitVisible("html:not([data-before]) #sheet-grid"))
				}
			}
			choose := func(id, value string) {
				if script {
					eval[bool](t, ctx, fmt.Sprintf(`(() => { const e = document.getElementById(%q); e.value = %q; return e.dispatchEvent(new Event("change", {bubbles: true})) })()`, id, value))
				} else {
					do(t, ctx, chromedp.SetValue("#"+id, value))
				}
				again()
			}
			do(t, ctx, scripts(script), chromedp.Navigate(url+"/import"), chromedp.SetUploadFiles("#f-files", []string{file}), chromedp.Click("form[data-upload] button"), chromedp.WaitVisible("#sheet-grid"))
			seen(t, ctx, "Which day is 03/11/2026?")
			choose("f-course", "varrowmere")
			choose("f-dates", "dmy")
			seen(t, ctx, `"Clock" is no green of this course`)
			choose("c1-field", "sample")
			seen(t, ctx, "L1 g03 0–20 mm 2026-11-03 4.4 %")
			choose("f-green-2", "g01")
			seen(t, ctx, "Two rows of organic matter results ready to bring in.")
			choose("f-fixed-method", "scooped")
			seen(t, ctx, "scooped: another quantity, kept out of trends")
			do(t, ctx, chromedp.SendKeys("#f-mapping", "autumn table"), chromedp.Click("button[value=store]"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Brought in organic matter results from autumn.csv.")
			if r, err := s.app.Store.Get(t.Context(), underfoot.Results, underfoot.Key{"varrowmere", "L2"}); err != nil || r.(*underfoot.Result).Method != "scooped" {
				t.Errorf("L2 is %+v, %v", r, err)
			}
			if _, err := s.app.Store.Get(t.Context(), underfoot.Mappings, underfoot.Key{"varrowmere", "autumn table"}); err != nil {
				t.Errorf("the mapping was not kept: %v", err)
			}
			do(t, ctx, chromedp.Click(".done button"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Do it again")
			if _, err := s.app.Store.Get(t.Context(), underfoot.Samples, underfoot.Key{"varrowmere", "L1"}); underfoot.KindOf(err) != underfoot.NotFound {
				t.Errorf("after the undo the sample is there: %v", err)
			}
		})
	}
}

// The page fits a phone, its targets are large enough for a thumb, and every field has a name.
func TestLabSheetOnAPhone(t *testing.T) {
	ctx, _, url := browser(t, 390)
	file := keep(t, filepath.Join(t.TempDir(), "sheets"), "autumn.csv", "Sample;Green;Depth;Date;LOI;Remarks of the bench, which are long\nL1;Green 3;0-2 cm;03.11.2026;4,4;a\nL2;Clock;0-2 cm;04.11.2026;<3;b\n")
	do(t, ctx, chromedp.Navigate(url+"/import"), chromedp.SetUploadFiles("#f-files", []string{file}), chromedp.Click("form[data-upload] button"), chromedp.WaitVisible("#sheet-grid"))
	if over := eval[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		t.Errorf("the page runs %d px over", over)
	}
	for _, e := range eval[[]string](t, ctx, `[...document.querySelectorAll("main button,main select,main input:not([type=hidden])")].filter(e => e.checkVisibility())
		.filter(e => (e.type === "checkbox" ? e.closest("label") : e).getBoundingClientRect().height < 44).map(e => e.outerHTML.slice(0, 120))`) {
		t.Errorf("too small for a thumb: %s", e)
	}
	for _, e := range eval[[]string](t, ctx, `[...document.querySelectorAll("main button,main select,main input:not([type=hidden])")].filter(e => !(e.labels?.length || e.textContent.trim())).map(e => e.outerHTML.slice(0, 120))`) {
		t.Errorf("no name: %s", e)
	}
	// by keyboard: the first column's select is reached and changed, and keeps the focus when the page is shown again
	do(t, ctx, chromedp.Focus("#c6-field"), chromedp.SendKeys("#c6-field", "Pos"))
	seen(t, ctx, "L1")
	for range 50 {
		if eval[bool](t, ctx, `document.querySelector("form[data-sheet]").dataset.shown !== undefined`) {
			break
		}
		do(t, ctx, chromedp.Sleep(100*1e6))
	}
	if got := eval[string](t, ctx, `document.activeElement.id + " " + document.activeElement.value`); got != "c6-field position" {
		t.Errorf("the focus is at %q", got)
	}
}
