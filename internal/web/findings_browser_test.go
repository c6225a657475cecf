package web

import (
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

func findingsInTheBrowser(t *testing.T, width int64, script bool) {
	ctx, _, url := browser(t, width)
	file := keep(t, filepath.Join(t.TempDir(), "tables"), "north.csv", peersCSV)
	do(t, ctx, scripts(script), chromedp.Navigate(url+"/course/varrowmere/findings"))
	do(t, ctx, chromedp.SetValue("#f-greens", "9"), chromedp.SetValue("#f-years", "6"), chromedp.Click(".plan-form .btn"), chromedp.WaitVisible("#design"))
	seen(t, ctx, "With 9 greens of 5 cores, once a year for 6 years")
	do(t, ctx, chromedp.SetValue("#f-greens", "99"), chromedp.Click(".plan-form .btn"), chromedp.WaitVisible("#power-errors"))
	seen(t, ctx, "Greens a round: 99: allowed is a whole number from 2 to 18")
	do(t, ctx, chromedp.SetUploadFiles("#f-table", []string{file}), chromedp.Click(".exchange .btn"), chromedp.WaitVisible(".peer"))
	seen(t, ctx, "Shown with north.csv, 1 row.")
	if !script {
		return
	}
	if over := eval[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
		t.Errorf("the page runs %d px over", over)
	}
	// One drawing of each figure shows, whatever the width, and its values come up for the keyboard.
	if n := eval[int](t, ctx, `[...document.querySelectorAll(".peer figure")].filter(f => [...f.querySelectorAll("svg.chart")].filter(s => s.checkVisibility()).length !== 1).length`); n > 0 {
		t.Errorf("%d figures show no drawing, or two", n)
	}
	if got := eval[string](t, ctx, `(() => { const m = [...document.querySelectorAll(".peer .mark")].find(m => m.checkVisibility()); m.focus(); return getComputedStyle(m.querySelector(".tip")).visibility })()`); got != "visible" {
		t.Errorf("the value of a mark that has the focus is %s", got)
	}
}
