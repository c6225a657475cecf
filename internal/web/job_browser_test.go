package web

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"underfoot/examples"
)

// The main job through the pages, from a store with nothing in it to a report on paper: the package is brought in, a round
// designed, its papers looked at, a weighing written down, the findings read, the direction judged, a plan looked for and kept, the report printed, and the
// last step undone.
func TestTheJobFromAnEmptyStore(t *testing.T) {
	s := newEmptySite(t, Options{Local: true})
	s.Handler = asLocal(s.Handler)
	ctx, home := browserOn(t, s, 1360, 5*time.Minute)
	const course = "/course/varrowmere"
	dir := t.TempDir()
	entries, err := examples.Files.ReadDir("varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	var files []string
	for _, e := range entries {
		body, err := examples.Files.ReadFile("varrowmere/" + e.Name())
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, keep(t, filepath.Join(dir, "varrowmere"), e.Name(), string(body)))
	}
	gone := func(selector string) { t.Helper(); leave(t, ctx, selector) }
	do(t, ctx, chromedp.Navigate(home+"/"), chromedp.WaitVisible(`a[href="/import"]`))
	gone(`main a[href="/import"]`)
	do(t, ctx, chromedp.SetUploadFiles("#f-files", files), chromedp.Click("form[data-upload] button"))
	for end := time.Now().Add(time.Minute); ; time.Sleep(50 * time.Millisecond) { // the draft comes again until it is read
		if ready, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`!!document.querySelector("form[action$=confirm] button")`)); err == nil && ready {
			break
		}
		if time.Now().After(end) {
			t.Fatal("the package was not read")
		}
	}
	gone("form[action$=confirm] button")
	for end := time.Now().Add(time.Minute); s.get(course).Code != 200; time.Sleep(50 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("the course is not there after it was stored")
		}
	}

	do(t, ctx, chromedp.Navigate(home+course+"/design"), chromedp.WaitVisible("#f-round"), chromedp.SetValue("#f-round", "spring"), chromedp.SetValue("#f-date", "2027-04-13"))
	gone("button[value=save]")
	if n := len(s.roundRecords().RoundPlans); n != 1 {
		t.Fatalf("%d rounds are planned, want 1", n)
	}
	do(t, ctx, chromedp.Navigate(home+course+"/round/spring/papers"), chromedp.WaitVisible("h1"))
	if n := eval[int](t, ctx, `document.querySelectorAll('a[href*="labels.pdf"], a[href*="sheet.pdf"]').length`); n < 2 {
		t.Errorf("the papers lead to %d files, want labels and sheet", n)
	}

	do(t, ctx, chromedp.Navigate(home+course+"/bench/enter"), chromedp.WaitVisible("[data-rows]"))
	do(t, ctx, chromedp.SendKeys("#f-furnace_run", "job-1"), chromedp.SendKeys("#f-r0-crucible", "c90"), chromedp.SetValue("#f-r0-kind", "blank"),
		chromedp.SendKeys("#f-r0-tare_g", "40.1"), chromedp.SendKeys("#f-r0-dry_g", "80.2"), chromedp.SendKeys("#f-r0-ash_g", "80.2"))
	gone("button[value=save]")
	if s.weighing("varrowmere", "job-1", "c90") == nil {
		t.Error("the weighing is not stored: " + strings.Join(eval[[]string](t, ctx, `[...document.querySelectorAll("#errors li, .error")].map((e) => e.innerText)`), "; "))
	}

	do(t, ctx, chromedp.Navigate(home+course+"/findings"), chromedp.WaitVisible("#f-reason"), chromedp.Click(".judge input[value=lower]"), chromedp.SendKeys("#f-reason", "soft after rain"), chromedp.SendKeys("#f-by", "A. Tester"))
	gone(".judge .btn.go")

	do(t, ctx, chromedp.Navigate(home+course+"/plan"), chromedp.WaitVisible(".season-ask .btn.go"))
	gone(".season-ask .btn.go")
	do(t, ctx, chromedp.WaitVisible("#f-scenario"), chromedp.SendKeys("#f-scenario", "The job"))
	gone("button[formaction$=keep]")
	if html := s.page(course + "/plan?" + strings.SplitN(eval[string](t, ctx, `location.search`), "?", 2)[1]); !strings.Contains(html, "The job") {
		t.Error("the plan is not among those kept")
	}

	do(t, ctx, chromedp.Navigate(home+course+"/report"), chromedp.WaitVisible("h1"))
	if n := eval[int](t, ctx, `document.querySelectorAll("svg[role=img], svg[role=group]").length`); n < 5 {
		t.Errorf("the report holds %d pictures", n)
	}

	do(t, ctx, chromedp.Navigate(home+course+"/history"), chromedp.WaitVisible("h1"))
	before := s.latest()
	gone(`form[action$="/undo"] button`)
	if s.latest() == before {
		t.Error("nothing was undone")
	}

	// On paper: nothing to press, and every picture whole within the sheet.
	if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
		t.Fatal(err)
	}
	do(t, ctx, chromedp.EmulateViewport(718, 1000)) // 190 mm of an A4 sheet at 96 px an inch
	for _, path := range []string{course, course + "/findings", course + "/profile", course + "/sands", course + "/log", course + "/report"} {
		do(t, ctx, chromedp.Navigate(home+path), chromedp.WaitReady("h1"))
		for _, fault := range eval[[]string](t, ctx, onPaper) {
			t.Errorf("%s on paper: %s", path, fault)
		}
	}
}

// onPaper says what of a page is wrong in print.
const onPaper = `(() => {
	const out = [], shown = (e) => e.checkVisibility({ visibilityProperty: true }) && e.getClientRects().length > 0;
	for (const e of document.querySelectorAll("nav, button, .btn, form.view, header.mast")) if (shown(e)) out.push("still there: " + e.outerHTML.slice(0, 100));
	for (const e of document.querySelectorAll("svg[role=img], svg[role=group], .chart")) {
		if (!shown(e)) continue;
		const b = e.getBoundingClientRect();
		if (b.right > document.documentElement.clientWidth + 1) out.push("a picture runs " + Math.round(b.right - document.documentElement.clientWidth) + " px over the sheet: " + (e.getAttribute("aria-label") ?? "").slice(0, 60));
	}
	return out.slice(0, 12);
})()`
