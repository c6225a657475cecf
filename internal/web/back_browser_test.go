package web

import (
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// The back button comes back to a form that was answered at once – worked out, or refused – with what was typed, whether the browser
// kept the page or has to ask for it again; after a form that was taken it does not send it again.
func TestBackAfterAPost(t *testing.T) {
	for _, kept := range []bool{true, false} {
		t.Run(fmt.Sprintf("the browser keeps pages %v", kept), func(t *testing.T) { backAfterAPost(t, kept) })
	}
}

// A plan that was worked on is offered again where the page is opened without one.
func TestPlanIsTakenUpAgain(t *testing.T) {
	ctx, _, home := browser(t, 1360)
	at := home + planAt
	do(t, ctx, chromedp.Navigate(at), chromedp.WaitReady("h1"))
	if eval[bool](t, ctx, `document.querySelector("[data-resume]").checkVisibility()`) {
		t.Error("a plan is offered, and none was worked on")
	}
	do(t, ctx, chromedp.Navigate(at+"?"+typed(asking(), "2027-05-03", "light-dressing", "0.4").Encode()), chromedp.WaitReady("#season-bench"), chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"), chromedp.Navigate(at), chromedp.WaitVisible("[data-resume]"))
	seen(t, ctx, "You were working on a plan here on")
	leave(t, ctx, "[data-resume] a")
	fieldIs(t, ctx, "date", "2027-05-03")
	fieldIs(t, ctx, "mm", "0.4")
	do(t, ctx, chromedp.Navigate(at), chromedp.WaitVisible("[data-resume]"), chromedp.Click("[data-forget]"), chromedp.Reload(), chromedp.WaitReady("h1"))
	if eval[bool](t, ctx, `document.querySelector("[data-resume]").checkVisibility()`) {
		t.Error("a plan is offered that was let go")
	}
}

func backAfterAPost(t *testing.T, kept bool) {
	s := newSite(t, Options{Local: true})
	s.Handler = asLocal(s.Handler)
	ctx, home := browserOn(t, s, 1360, 2*time.Minute)
	if !kept { // a page that wants to know of its end is not kept
		told := page.AddScriptToEvaluateOnNewDocumentParams{Source: `addEventListener("unload", () => {}); window.notKept = true`}
		if _, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, told); err != nil {
			t.Fatal(err)
		}
	}
	back := chromedp.Evaluate[chromedp.Void](`void history.back()`)
	at := home + "/course/varrowmere/design"
	do(t, ctx, chromedp.Navigate(at), chromedp.WaitReady("h1"), chromedp.SetValue("#f-round", "spring"), chromedp.SetValue("#f-note", "wet bank"), chromedp.SetValue("#f-date", "2027-04-13"))
	leave(t, ctx, "button[value=work-out]")
	do(t, ctx, chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"), back)
	fieldIs(t, ctx, "note", "wet bank")
	fieldIs(t, ctx, "round", "spring")
	do(t, ctx, chromedp.SetValue("#f-cores", "many"))
	leave(t, ctx, "button[value=save]")
	do(t, ctx, chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"), back)
	fieldIs(t, ctx, "cores", "many")
	fieldIs(t, ctx, "note", "wet bank")
	do(t, ctx, chromedp.SetValue("#f-cores", "7"))
	leave(t, ctx, "button[value=save]")
	before := s.latest()
	do(t, ctx, chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"), back)
	seen(t, ctx, "Undo")
	if s.latest() != before {
		t.Error("going back sent the form again")
	}
}
