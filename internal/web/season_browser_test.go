package web

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// The path of a plan, with and without JavaScript: ask, change, rehearse, keep, accept, undo.
func TestSeasonPlanInTheBrowser(t *testing.T) {
	for _, script := range []bool{true, false} {
		t.Run(fmt.Sprintf("script %t", script), func(t *testing.T) {
			ctx, s, url := browser(t, 1360)
			before := len(s.work("varrowmere"))
			do(t, ctx, scripts(script), chromedp.Navigate(url+planAt), chromedp.Click(".season-ask .btn.go"), chromedp.WaitVisible("#f-mm-0"))
			amount := func(text string) {
				eval[bool](t, ctx, `document.querySelector("#f-mm-0").select(), true`)
				do(t, ctx, chromedp.SendKeys("#f-mm-0", text))
			}
			amount("0.7")
			if script {
				seen(t, ctx, "Beside the plan as it was found:")
				amount("x")
				seen(t, ctx, `"x" is not a number.`)
				amount("0.7")
				seen(t, ctx, "Beside the plan as it was found:")
			} else {
				do(t, ctx, chromedp.Click(".season-bench .acts button[value=rehearse]"))
				seen(t, ctx, "Beside the plan as it was found:")
			}
			day := eval[string](t, ctx, `document.querySelector("#f-date-0").value`)
			do(t, ctx, chromedp.Click(`button[value="0 7"]`))
			moved := false
			for range 100 {
				if now := eval[string](t, ctx, `document.querySelector("#f-date-0")?.value ?? ""`); now > day {
					moved = true
					break
				}
			}
			if !moved {
				t.Errorf("the work of %s was not moved", day)
			}
			seen(t, ctx, "Beside the plan as it was found:")
			do(t, ctx, chromedp.SendKeys("#f-scenario", "A little less"), chromedp.Click("button[formaction$=keep]"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Kept the plan “A little less”.")
			do(t, ctx, chromedp.Click("button[formaction$=accept]"), chromedp.WaitVisible("button[value=yes]"), chromedp.Click("button[value=yes]"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Accepted a season plan:")
			if n := len(s.work("varrowmere")); n == before {
				t.Error("accepting left the log as it was")
			}
			do(t, ctx, chromedp.Click(".done button"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Do it again")
			if n := len(s.work("varrowmere")); n != before {
				t.Errorf("%d entries after undoing, want %d", n, before)
			}
		})
	}
}

func TestSeasonPlanRunsNotOver(t *testing.T) {
	q := "?" + typed(asking("closed", "2027-07-01"), "2027-06-07", "core-8", "1", "2028-06-05", "dressing", "0.8").Encode()
	for _, width := range []int64{320, 390, 1000, 1360} {
		ctx, _, url := browser(t, width)
		for _, path := range []string{planAt + q, planAt + "/crew" + q} {
			do(t, ctx, chromedp.Navigate(url+path))
			if over := eval[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px runs %d px over", path, width, over)
			}
			unnamed := eval[[]string](t, ctx, `[...document.querySelectorAll("input:not([type=hidden]),select,textarea,button,a")].filter(e =>
				!(e.labels?.length || e.getAttribute("aria-label") || e.getAttribute("aria-labelledby") || e.textContent.trim())).map(e => e.outerHTML.slice(0, 120))`)
			for _, e := range unnamed {
				t.Errorf("%s: no name: %s", path, e)
			}
		}
	}
}
