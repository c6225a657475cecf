package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"

	"underfoot"
)

// The catalogue and the calendar edited in a browser, with and without JavaScript: a value refused and mended, one switched off, a closed
// time, undo.
func TestOperationsInTheBrowser(t *testing.T) {
	for _, script := range []bool{true, false} {
		t.Run(fmt.Sprintf("script %t", script), func(t *testing.T) {
			ctx, s, url := browser(t, 1360)
			do(t, ctx, scripts(script), chromedp.Navigate(url+operationsAt), chromedp.Click(`a[href$="/operation/core-8"]`), chromedp.WaitVisible("#f-contract"))
			enter := func(field, text string) {
				eval[bool](t, ctx, fmt.Sprintf(`document.querySelector("#%s").select(), true`, field))
				do(t, ctx, chromedp.SendKeys("#"+field, text))
			}
			enter("f-depth_mm", "900")
			do(t, ctx, chromedp.Click(".operation .btn.go"), chromedp.WaitVisible("#e-depth_mm"))
			seen(t, ctx, "900: allowed is a number from 1 to 400 mm.")
			enter("f-depth_mm", "70")
			enter("f-contract", "1500")
			do(t, ctx, chromedp.Click(".operation .btn.go"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Changed the operation “hollow tines 8 mm at 38 mm”.")
			seen(t, ctx, "changed here: depth; contractor and hire, an event")
			if rows := s.records().Operations; len(rows) != 1 || rows[0].Contract != underfoot.Some(1500.0) || rows[0].DepthMM != underfoot.Some(70.0) {
				t.Errorf("kept %+v", rows)
			}
			do(t, ctx, chromedp.Click(".done button"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "All of them are as built in.")
			do(t, ctx, chromedp.Click(`button[aria-label="Switch off sand injection to 60 mm"]`), chromedp.WaitVisible(`button[aria-label="Switch on sand injection to 60 mm"]`))
			seen(t, ctx, "A plan may choose from seven operations.")
			eval[bool](t, ctx, `document.querySelector("#f-from").value = "2027-07-01", document.querySelector("#f-until").value = "2027-07-14", true`)
			do(t, ctx, chromedp.SendKeys("#f-name", "drainage"), chromedp.Click("#closing .btn.go"), chromedp.WaitVisible(".closings"))
			seen(t, ctx, "closed for work, drainage")
			do(t, ctx, chromedp.Navigate(url+planAt))
			seen(t, ctx, "Operations, closed times and crew of the course")
		})
	}
}

func TestOperationsRunNotOver(t *testing.T) {
	for _, width := range []int64{320, 390, 1000, 1360} {
		ctx, s, url := browser(t, width)
		c := underfoot.Closing{Course: "varrowmere", From: underfoot.MakeDate(2027, 6, 12), Until: underfoot.MakeDate(2027, 6, 13), Why: "tournament", Name: "Summer cup of the county", UnopenedDays: underfoot.Some(28)}
		if _, err := s.app.Store.Change(t.Context(), "ann", "test", func(tx underfoot.Tx) error { _, err := tx.Put(&c); return err }); err != nil {
			t.Fatal(err)
		}
		for _, path := range []string{operationsAt, operationAt + "/core-8", operationAt + "?copy=scarify"} {
			do(t, ctx, chromedp.Navigate(url+path))
			if over := eval[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px runs %d px over", path, width, over)
			}
			unnamed := eval[[]string](t, ctx, `[...document.querySelectorAll("input:not([type=hidden]),select,textarea,button,a")].filter(e =>
				!(e.labels?.length || e.getAttribute("aria-label") || e.getAttribute("aria-labelledby") || e.textContent.trim())).map(e => e.outerHTML.slice(0, 120))`)
			for _, e := range unnamed {
				t.Errorf("%s: no name: %s", path, e)
			}
			if width > 400 {
				continue
			}
			small := eval[[]string](t, ctx, `[...document.querySelectorAll("main .act .link, main .btn, main input:not([type=hidden]), main select")].filter(e => e.getClientRects().length && e.getBoundingClientRect().height < 44)
				.map(e => e.outerHTML.slice(0, 120) + " " + e.getBoundingClientRect().height)`)
			for _, e := range small {
				t.Errorf("%s at %d px: too small to touch: %s", path, width, e)
			}
		}
	}
}
