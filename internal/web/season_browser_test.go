package web

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
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
				time.Sleep(300 * time.Millisecond) // what was typed last is on its way
				answered(t, ctx, 1)
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
				time.Sleep(20 * time.Millisecond)
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

// busyPlan is the example's question with a closed fortnight, a tournament and four pieces of work.
var busyPlan = planAt + "?" + typed(asking("closed", "2027-07-01 to 2027-07-14", "tournaments", "2027-06-12"),
	"2027-05-03", "light-dressing", "0.4", "2027-07-19", "light-dressing", "0.5", "2027-08-16", "core-8", "1", "2028-06-05", "dressing", "0.8").Encode()

// found has the plan looked for, so that the browser need not wait for it.
func found(t *testing.T, url string) {
	t.Helper()
	answer, err := http.Get(url + busyPlan)
	if err != nil {
		t.Fatal(err)
	}
	if answer.Body.Close(); answer.StatusCode != http.StatusOK {
		t.Fatalf("status %d", answer.StatusCode)
	}
}

// point is a place on the screen.
type point struct{ X, Y float64 }

// workAt is the middle of the foot of the work of a row; dayAt is a day's place on the ribbon.
func workAt(t *testing.T, ctx context.Context, row int) point {
	t.Helper()
	return eval[point](t, ctx, fmt.Sprintf(`(() => { const el = document.querySelector('.rib-work[data-row="%d"]'); el.scrollIntoView({block: "center"});
		const b = el.getBoundingClientRect(); return {X: (b.left + b.right) / 2, Y: b.bottom - 6}; })()`, row))
}

func dayAt(t *testing.T, ctx context.Context, day string) point {
	t.Helper()
	return eval[point](t, ctx, fmt.Sprintf(`(() => { const day = Date.parse("%s") / 864e5;
		const of = (r) => { const [a, b] = r.dataset.days.split(" ").map(Number); return {a, n: b - a + 1, box: r.getBoundingClientRect(), in: day >= a && day <= b}; };
		const r = [...document.querySelectorAll(".rib-plot")].map(of).find((r) => r.in);
		return {X: r.box.left + (day + .5 - r.a) / r.n * r.box.width, Y: r.box.bottom - 8}; })()`, day))
}

func mouse(t *testing.T, ctx context.Context, kind input.DispatchMouseEventType, at point) {
	t.Helper()
	do(t, ctx, chromedp.MouseEvent(kind, at.X, at.Y, chromedp.ButtonType(input.MouseButtonLeft), func(p *input.DispatchMouseEventParams) { p.ClickCount = 1 }))
}

// drag presses at one place and lets go at another, by way of one in between.
func drag(t *testing.T, ctx context.Context, from, to point) {
	t.Helper()
	mouse(t, ctx, input.DispatchMouseEventTypeMousePressed, from)
	mouse(t, ctx, input.DispatchMouseEventTypeMouseMoved, point{(from.X + to.X) / 2, (from.Y + to.Y) / 2})
	mouse(t, ctx, input.DispatchMouseEventTypeMouseMoved, to)
	mouse(t, ctx, input.DispatchMouseEventTypeMouseReleased, to)
}

// holds waits for a field to hold a value.
func holds(t *testing.T, ctx context.Context, field, want string) {
	t.Helper()
	now := ""
	for end := time.Now().Add(5 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if now = eval[string](t, ctx, fmt.Sprintf(`document.querySelector(%q)?.value ?? "none"`, field)); now == want {
			return
		}
	}
	t.Errorf("%s holds %q, want %q", field, now, want)
}

// answered waits until everything asked has been answered, and gives what the page says of the work.
func answered(t *testing.T, ctx context.Context, more int) (says string, answers int) {
	t.Helper()
	for end := time.Now().Add(8 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		answers = eval[int](t, ctx, `Number(document.querySelector("#rehearsal").dataset.answers ?? 0)`)
		if answers >= more && eval[string](t, ctx, `document.querySelector("#rehearsal").getAttribute("aria-busy")`) == "false" {
			break
		}
	}
	if answers < more {
		t.Errorf("the work was rehearsed %d times, want %d", answers, more)
	}
	return eval[string](t, ctx, `document.querySelector("#rehearsed").textContent`), answers
}

// Work is dragged, moved with keys, added, taken away and brought back on the ribbon, and rehearsed each time.
func TestRibbonByPointerAndKeys(t *testing.T) {
	ctx, _, url := browser(t, 1360)
	found(t, url)
	do(t, ctx, chromedp.Navigate(url+busyPlan), chromedp.WaitVisible(".rib-work"))
	shown := ""
	changed := func(what string, change func()) {
		t.Helper()
		_, n := answered(t, ctx, 0)
		change()
		says, _ := answered(t, ctx, n+1)
		if !strings.HasPrefix(says, "Rehearsed: a chance of ") {
			t.Errorf("%s: the page says %q", what, says)
		}
		now := eval[string](t, ctx, `document.querySelector("#rehearsal").textContent + document.querySelector("#rehearsal-fan svg").outerHTML`)
		if now == shown {
			t.Errorf("%s: the forecast is the one before", what)
		}
		shown = now
	}

	changed("dragged", func() { drag(t, ctx, workAt(t, ctx, 3), dayAt(t, ctx, "2028-08-21")) })
	holds(t, ctx, "#f-date-3", "2028-08-21")
	seen(t, ctx, "Topdressing moved to Mon 21 Aug 2028.")
	if at := eval[string](t, ctx, `location.search`); !strings.Contains(at, "2028-08-21") {
		t.Errorf("the address does not hold the new day: %s", at)
	}

	// where nothing may be done it is not dropped, nor is it lost
	drag(t, ctx, workAt(t, ctx, 1), dayAt(t, ctx, "2027-07-08"))
	holds(t, ctx, "#f-date-1", "2027-07-19")
	seen(t, ctx, "Not moved to Thu 8 Jul 2027. The course is closed for work from 1 July 2027 to 14 July 2027. Light topdressing stays on Mon 19 Jul 2027.")
	drag(t, ctx, workAt(t, ctx, 1), dayAt(t, ctx, "2027-06-11"))
	seen(t, ctx, "The greens are kept for the tournament of 12 June 2027.")

	// Escape leaves it where it was
	from, to := workAt(t, ctx, 2), dayAt(t, ctx, "2027-09-20")
	mouse(t, ctx, input.DispatchMouseEventTypeMousePressed, from)
	mouse(t, ctx, input.DispatchMouseEventTypeMouseMoved, to)
	if flag := eval[string](t, ctx, `document.querySelector(".rib-flag:not([hidden])")?.textContent ?? ""`); flag != "Mon 20 Sept 2027" && flag != "Mon 20 Sep 2027" {
		t.Errorf("the day shown while dragging is %q", flag)
	}
	do(t, ctx, chromedp.KeyEvent(kb.Escape))
	mouse(t, ctx, input.DispatchMouseEventTypeMouseReleased, to)
	holds(t, ctx, "#f-date-2", "2027-08-16")
	seen(t, ctx, "Left as it was.")

	// keys: a day, a week, past the closed days, the amount
	do(t, ctx, chromedp.Focus(`.rib-work[data-row="0"]`))
	changed("a day", func() { do(t, ctx, chromedp.KeyEvent(kb.ArrowRight)) })
	holds(t, ctx, "#f-date-0", "2027-05-04")
	do(t, ctx, chromedp.KeyEvent(kb.ArrowLeft, chromedp.KeyModifiers(chromedp.ModifierShift)))
	holds(t, ctx, "#f-date-0", "2027-04-27")
	changed("the amount", func() { do(t, ctx, chromedp.KeyEvent(kb.ArrowUp)) })
	holds(t, ctx, "#f-mm-0", "0.45")
	do(t, ctx, chromedp.Focus(`.rib-work[data-row="1"]`))
	do(t, ctx, chromedp.KeyEvent(kb.ArrowLeft, chromedp.KeyModifiers(chromedp.ModifierShift)))
	holds(t, ctx, "#f-date-1", "2027-06-30")
	seen(t, ctx, "Moved past closed days to Wed 30 Jun 2027")
	if label := eval[string](t, ctx, `document.activeElement.getAttribute("aria-label") + ", " + document.activeElement.getAttribute("aria-valuetext")`); label != "light topdressing, 0.5 mm, Wed 30 Jun 2027" {
		t.Errorf("who moves it with keys hears %q", label)
	}

	// the amount by its handle
	workAt(t, ctx, 1)
	grip := eval[point](t, ctx, `(() => { const b = document.querySelector(".is-chosen .rib-grip").getBoundingClientRect(); return {X: (b.left + b.right) / 2, Y: (b.top + b.bottom) / 2}; })()`)
	changed("the handle", func() { drag(t, ctx, grip, point{grip.X, grip.Y - 20}) })
	if mm := eval[float64](t, ctx, `Number(document.querySelector("#f-mm-1").value)`); mm < 0.6 || mm > 1 {
		t.Errorf("the handle left %g mm, want some more than 0.5", mm)
	}

	// added by a click on an empty week, removed with Delete, brought back
	rows := `document.querySelectorAll(".rib-work").length`
	at := dayAt(t, ctx, "2027-09-22")
	do(t, ctx, chromedp.MouseClickXY(at.X, at.Y), chromedp.WaitVisible(".rib-menu"))
	if day := eval[string](t, ctx, `document.querySelector(".rib-menu input").value`); day != "2027-09-20" {
		t.Errorf("work is to be added on %s, want the Monday of the week", day)
	}
	changed("added", func() { do(t, ctx, chromedp.Click(`.rib-menu [data-op="dressing"]`)) })
	seen(t, ctx, "added on Mon 20 Sep")
	if n := eval[int](t, ctx, rows); n != 5 {
		t.Errorf("%d pieces of work after adding, want 5", n)
	}
	changed("removed", func() { do(t, ctx, chromedp.KeyEvent(kb.Delete)) })
	seen(t, ctx, "removed. Undo brings it back.")
	if n := eval[int](t, ctx, rows); n != 4 {
		t.Errorf("%d pieces of work after removing, want 4", n)
	}
	changed("brought back", func() { do(t, ctx, chromedp.Click(".rib-tools .btn:nth-of-type(2)")) })
	if n := eval[int](t, ctx, rows); n != 5 {
		t.Errorf("%d pieces of work after undoing, want 5", n)
	}

	// added by keys alone
	do(t, ctx, chromedp.Focus(".rib-cursor"), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible(".rib-menu"), chromedp.KeyEvent(kb.Enter))
	seen(t, ctx, " added on ")
	if n := eval[int](t, ctx, rows); n != 6 {
		t.Errorf("%d pieces of work after adding by keys, want 6", n)
	}
	do(t, ctx, chromedp.Focus(".rib-cursor"), chromedp.KeyEvent(kb.Enter), chromedp.WaitVisible(".rib-menu"), chromedp.KeyEvent(kb.Escape))
	if !eval[bool](t, ctx, `document.querySelector(".rib-menu").hidden && document.activeElement.matches(".rib-cursor")`) {
		t.Error("Escape does not close the menu and go back to the week")
	}
}

// On a phone work is dragged by touch, from a quarter to another, and the targets are wide enough for a finger.
func TestRibbonByTouch(t *testing.T) {
	ctx, _, url := browser(t, 390)
	found(t, url)
	do(t, ctx, chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true})
		return err
	}), chromedp.Navigate(url+busyPlan), chromedp.WaitVisible(".rib-work"))
	touch := func(kind input.DispatchTouchEventType, at ...point) {
		t.Helper()
		p := input.DispatchTouchEventParams{Type: kind, TouchPoints: []*input.TouchPoint{}}
		for _, x := range at {
			p.TouchPoints = append(p.TouchPoints, &input.TouchPoint{X: x.X, Y: x.Y})
		}
		do(t, ctx, chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
			_, err := chromedp.Call(ctx, input.DispatchTouchEvent, p)
			return err
		}))
	}
	if !eval[bool](t, ctx, `document.querySelector(".rib-snap input").checked`) {
		t.Error("a finger moves work by days, not by weeks")
	}
	from, to := workAt(t, ctx, 1), dayAt(t, ctx, "2027-06-16") // the quarter before
	touch(input.DispatchTouchEventTypeTouchStart, from)
	touch(input.DispatchTouchEventTypeTouchMove, point{(from.X + to.X) / 2, (from.Y + to.Y) / 2})
	touch(input.DispatchTouchEventTypeTouchMove, to)
	touch(input.DispatchTouchEventTypeTouchEnd)
	holds(t, ctx, "#f-date-1", "2027-06-14")
	if says, _ := answered(t, ctx, 1); !strings.HasPrefix(says, "Rehearsed: a chance of ") {
		t.Errorf("the page says %q", says)
	}
	small := eval[[]string](t, ctx, `[...document.querySelectorAll(".ribbon button, .ribbon .rib-work, .ribbon .rib-snap, .ribbon .rib-set input")].filter(e => e.offsetParent).filter(e => {
		const b = e.getBoundingClientRect(); return b.height < 44 || b.width < 44; }).map(e => e.outerHTML.slice(0, 90))`)
	for _, e := range small {
		t.Errorf("smaller than a finger: %s", e)
	}
}

// An answer that comes late does not take the place of a later one.
func TestLastRehearsalWins(t *testing.T) {
	ctx, _, url := browser(t, 1360)
	found(t, url)
	do(t, ctx, chromedp.Navigate(url+busyPlan), chromedp.WaitVisible(".rib-work"))
	eval[bool](t, ctx, `(() => { const real = window.fetch; let n = 0; window.late = 0;
		window.fetch = async (to) => { const mine = n++; const answer = await real(to); // deaf to being called off
			if (mine === 0) { await new Promise((done) => setTimeout(done, 2500)); setTimeout(() => { window.late = 1; }, 300); }
			return answer; }; return true; })()`)
	put := func(text string) {
		eval[bool](t, ctx, fmt.Sprintf(`(() => { const f = document.querySelector("#f-mm-0"); f.value = %q; f.dispatchEvent(new Event("input", {bubbles: true})); return true; })()`, text))
	}
	put("0.15")
	time.Sleep(400 * time.Millisecond) // it is asked, and its answer held back
	put("5")
	says, _ := answered(t, ctx, 1)
	for end := time.Now().Add(8 * time.Second); time.Now().Before(end) && eval[int](t, ctx, `window.late`) == 0; time.Sleep(50 * time.Millisecond) {
	}
	now, answers := answered(t, ctx, 1)
	if now != says || answers != 1 {
		t.Errorf("after the late answer the page says %q (%d answers), before it %q", now, answers, says)
	}
	do(t, ctx, chromedp.Reload(), chromedp.WaitVisible(".rib-work"))
	if mm := eval[string](t, ctx, `document.querySelector("#f-mm-0").value`); mm != "5" {
		t.Errorf("loaded again the amount is %q, want 5: the address is not that of the last question", mm)
	}
	if result := eval[string](t, ctx, `document.querySelector(".rib-result").textContent`); result == "" || !strings.HasSuffix(now, result[1:]) {
		t.Errorf("loaded again it comes to %q, before to %q", result, now)
	}
}
