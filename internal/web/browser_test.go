package web

import (
	"context"
	"fmt"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// browser opens a tab of a browser on the example courses. Without a browser the test is left out, unless
// UNDERFOOT_BROWSER is "require".
func browser(t *testing.T, width int64) (context.Context, *site, string) {
	t.Helper()
	needBrowser(t)
	s := newSite(t, Options{Local: true})
	ctx, url := browserOn(t, s, width, 2*time.Minute)
	return ctx, s, url
}

// needBrowser finds the browser, or leaves the test out.
func needBrowser(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("UNDERFOOT_BROWSER") == "require" {
			t.Fatalf("no browser: %v: install chromium", err)
		}
		t.Skipf("no browser: %v: install chromium, or set UNDERFOOT_BROWSER=require to make this a failure", err)
	}
	if testing.Short() {
		t.Skip("the browser is left out of short runs")
	}
	return path
}

// browserOn opens a tab of a browser on a site, and fails the test for what the console says, a request to another host and
// anything the policy of the pages had to stop.
func browserOn(t *testing.T, s *site, width int64, within time.Duration) (context.Context, string) {
	t.Helper()
	path := needBrowser(t)
	server := httptest.NewServer(s.Handler)
	t.Cleanup(server.Close)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.UserDataDir(t.TempDir()))
	alloc, cancel := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(cancel)
	ctx, cancel := chromedp.NewContext(alloc)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, within)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(width, 900)); err != nil { // the browser lives as long as the context of its first step
		t.Fatalf("starting the browser: %v", err)
	}
	watch(t, ctx, server.URL)
	return ctx, server.URL
}

// do takes steps in the browser, each within ten seconds.
func do(t *testing.T, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	for i, step := range steps {
		one, cancel := context.WithTimeout(ctx, 10*time.Second)
		err := chromedp.Do(one, step)
		for err != nil && strings.Contains(err.Error(), "Cannot find context with specified id") && one.Err() == nil {
			time.Sleep(50 * time.Millisecond) // the page it looked in has just given way to the next: nothing was done in it
			err = chromedp.Do(one, step)
		}
		cancel()
		if err != nil {
			where, _ := chromedp.Run(ctx, chromedp.Location())
			t.Fatalf("step %d at %s: %v", i+1, where, err)
		}
	}
}

// leave presses what leads to another page, and waits until that page is there.
func leave(t *testing.T, ctx context.Context, selector string) {
	t.Helper()
	eval[string](t, ctx, `document.documentElement.dataset.left = "yes"`)
	do(t, ctx, chromedp.Click(selector))
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if there, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`!document.documentElement.dataset.left && document.readyState === "complete" && !!document.querySelector("h1")`)); err == nil && there {
			return
		}
	}
	t.Fatalf("%s led nowhere", selector)
}

// eval asks the page.
func eval[T any](t *testing.T, ctx context.Context, script string) T {
	t.Helper()
	one, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	v, err := chromedp.Run(one, chromedp.Evaluate[T](script))
	if err != nil {
		t.Fatalf("%s: %v", script, err)
	}
	return v
}

// seen waits until the page shows the words: a click may still be on its way.
func seen(t *testing.T, ctx context.Context, words string) {
	t.Helper()
	var body string
	for end := time.Now().Add(5 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`document.body.innerText`))
		if err == nil {
			body = strings.Join(strings.Fields(text), " ")
		}
		if strings.Contains(body, words) {
			return
		}
	}
	t.Errorf("the page does not show %q:\n%s", words, body)
}

func TestLogInTheBrowser(t *testing.T) {
	for _, script := range []bool{true, false} {
		t.Run(fmt.Sprintf("JavaScript %v", script), func(t *testing.T) {
			ctx, s, url := browser(t, 1360)
			do(t, ctx, scripts(script), chromedp.Navigate(url+"/course/varrowmere/log"))
			do(t, ctx, chromedp.SetValue("#f-date", "2026-11-20"), chromedp.SendKeys("#f-amount", "0.4"))
			if script {
				seen(t, ctx, "0.40 mm is 0.62 kg/m², 6.3 t dry over 10,189 m², 6.6 t as delivered at 5 % moisture, at 1,540 kg/m³.")
			} else {
				do(t, ctx, chromedp.Click("button[value=work-out]"), chromedp.WaitVisible(".live:not(:empty)"))
				seen(t, ctx, "0.40 mm is 0.62 kg/m², 6.3 t dry over 10,189 m², 6.6 t as delivered at 5 % moisture, at 1,540 kg/m³.")
			}
			do(t, ctx, chromedp.Click("button[value=save]"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Logged topdressing of 20 November 2026.")
			id := s.find("2026-11-20").ID

			do(t, ctx, chromedp.Navigate(url+"/course/varrowmere/log/"+id), chromedp.SetValue("#f-amount", "-3"), chromedp.Click("button[value=save]"), chromedp.WaitVisible("#errors"))
			seen(t, ctx, "-3 mm is out of range: 0 to 100 mm is allowed")
			do(t, ctx, chromedp.SetValue("#f-amount", "0.6"), chromedp.Click("button[value=save]"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Changed topdressing of 20 November 2026.")
			if got := s.find("2026-11-20").SandMM.Value; got != 0.6 {
				t.Errorf("the entry holds %v mm, want 0.6", got)
			}
			do(t, ctx, chromedp.Click(".done button"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Do it again")
			if got := s.find("2026-11-20").SandMM.Value; got != 0.4 {
				t.Errorf("after the undo the entry holds %v mm, want 0.4", got)
			}
		})
	}
}

// In US units the log's form says with and without JavaScript the same of what is typed, in whatever unit.
func TestLogInUSUnitsInTheBrowser(t *testing.T) {
	said := map[bool][]string{}
	for _, script := range []bool{true, false} {
		ctx, _, url := browser(t, 1360)
		cookie := network.SetCookieParams{Name: settingsCookie, Value: "units=us", URL: url}
		if _, err := chromedp.Call(ctx, network.SetCookie, cookie); err != nil {
			t.Fatal(err)
		}
		for _, typed := range []struct{ unit, amount string }{{"mm", "0.016"}, {"mm", "0.5"}, {"kg_m2", "127"}, {"t", "6.9"}, {"t", "0.8"}, {"t", "250"}} {
			do(t, ctx, scripts(script), chromedp.Navigate(url+"/course/varrowmere/log"), chromedp.Click(`.units label:has([value="`+typed.unit+`"])`), chromedp.Focus("#f-amount"), chromedp.Evaluate[chromedp.Void](`document.activeElement.select()`), chromedp.SendKeys("#f-amount", typed.amount)) // in place of a draft that came back
			if !script {
				do(t, ctx, chromedp.Click("button[value=work-out]"), chromedp.WaitVisible(".live:not(:empty)"))
			}
			said[script] = append(said[script], eval[string](t, ctx, `document.querySelector("[data-live]").innerText`))
		}
	}
	// 0.4064 mm at 1,540 kg/m³ reads 0.63 kg/m² and 6.4 t, and those are what is converted
	if want := "0.016 in is 129 lb/1000 ft², 7.1 tons dry over 109,670 ft², 7.4 tons as delivered at 5 % moisture, at 96.1 lb/ft³."; said[false][0] != want {
		t.Errorf("the server says %q, want %q", said[false][0], want)
	}
	for i := range said[false] {
		if said[true][i] != said[false][i] {
			t.Errorf("the script says\n%s\nthe server\n%s", said[true][i], said[false][i])
		}
	}
}

// scripts turns JavaScript on or off.
func scripts(on bool) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !on})
		return err
	})
}

func TestImportInTheBrowser(t *testing.T) {
	ctx, s, url := browser(t, 1360)
	dir := t.TempDir()
	var good, bad []string
	for _, f := range second(t) {
		body := strings.ReplaceAll(f.body, "ostrelby", "newcourse")
		good = append(good, keep(t, filepath.Join(dir, "good"), f.name, body))
		if f.name == "weighings.csv" {
			body = strings.Replace(body, ",105,440,", ",-105,440,", 2)
		}
		bad = append(bad, keep(t, filepath.Join(dir, "bad"), f.name, body))
	}
	do(t, ctx, chromedp.Navigate(url+"/import"), chromedp.SetUploadFiles("#f-files", bad), chromedp.Click("form[data-upload] button"), chromedp.WaitVisible("#problems"))
	seen(t, ctx, "Two problems to set right before this can be stored.")
	seen(t, ctx, "above 0 and up to 300 °C is allowed")
	do(t, ctx, chromedp.Click("a.btn.go"), chromedp.SetUploadFiles("#f-files", good), chromedp.Click("form[data-upload] button"), chromedp.WaitVisible("#counts"))
	seen(t, ctx, "Ready to store: newcourse.")
	if s.get("/course/newcourse").Code == 200 {
		t.Error("it was stored before it was confirmed")
	}
	do(t, ctx, chromedp.Click("form[action$=confirm] button"), chromedp.WaitVisible(".loop"))
	seen(t, ctx, "Ostrelby Common")
}

func keep(t *testing.T, dir, name, body string) string {
	t.Helper()
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(body), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestJudgementInTheBrowser(t *testing.T) {
	ctx, _, url := browser(t, 1360)
	plate := `document.querySelector(".direction [aria-current]")?.innerText.trim() ?? "none"`
	do(t, ctx, chromedp.Navigate(url+"/course/ostrelby"))
	if got := eval[string](t, ctx, plate); got != "none" {
		t.Fatalf("before a judgement the plate shows %q", got)
	}
	do(t, ctx, chromedp.Navigate(url+"/course/ostrelby/findings"), chromedp.Click(".judge .btn.go"), chromedp.WaitVisible("#errors"))
	seen(t, ctx, "A reason is needed")
	do(t, ctx, chromedp.Click(`.judge input[value=raise]`), chromedp.SendKeys("#f-reason", "hard as a road"), chromedp.SendKeys("#f-by", "A. Tester"),
		chromedp.Click(".judge .btn.go"), chromedp.WaitVisible(".done"), chromedp.Navigate(url+"/course/ostrelby"))
	if got := eval[string](t, ctx, plate); got != "raise" {
		t.Errorf("after the judgement the plate shows %q, want raise", got)
	}
	seen(t, ctx, "The greens ask for more organic matter")
}

// The view switch works with and without JavaScript, and is remembered.
func TestViewInTheBrowser(t *testing.T) {
	for _, script := range []bool{true, false} {
		t.Run(fmt.Sprintf("JavaScript %v", script), func(t *testing.T) {
			ctx, _, url := browser(t, 1360)
			do(t, ctx, scripts(script), chromedp.Navigate(url+"/help"), chromedp.Click(".view [data-set=sun]"), chromedp.WaitVisible(`html[data-view=sun] h1`))
			do(t, ctx, chromedp.Navigate(url+"/sands"), chromedp.WaitVisible(`html[data-view=sun] h1`), chromedp.Click(".view [data-set=sun]"), chromedp.WaitVisible(`html:not([data-view]) h1`))
		})
	}
}

// A figure’s value shows when the keyboard comes to it.
func TestValuesShowOnFocus(t *testing.T) {
	ctx, _, url := browser(t, 1360)
	do(t, ctx, chromedp.Navigate(url+"/course/varrowmere"))
	shown := eval[[]string](t, ctx, `(() => { const m = document.querySelector(".st-trend .mark"); const before = getComputedStyle(m.querySelector(".tip")).visibility;
		m.focus(); return [before, getComputedStyle(m.querySelector(".tip")).visibility, m.getAttribute("aria-label")] })()`)
	if len(shown) != 3 || shown[0] != "hidden" || shown[1] != "visible" || !strings.Contains(shown[2], "%") {
		t.Errorf("before and on focus: %q", shown)
	}
}

// Values of every picture of a page come by the pointer, by the arrow keys and by touch: what the label says is what the mark is
// named, and it stands inside the window.
func TestValuesByPointerKeysAndTouch(t *testing.T) {
	const label = `(() => { const l = document.querySelector(".value-label"), b = l.getBoundingClientRect();
		return { Text: l.hidden ? "" : l.textContent, Inside: l.hidden || (b.left >= -1 && b.right <= document.documentElement.clientWidth + 1) }; })()`
	type shown struct {
		Text   string
		Inside bool
	}
	for _, touch := range []bool{false, true} {
		t.Run(fmt.Sprintf("touch %v", touch), func(t *testing.T) {
			ctx, _, url := browser(t, 1360)
			if touch {
				do(t, ctx, chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
			}
			looked := 0
			for _, path := range []string{"/course/varrowmere", "/course/varrowmere/findings", "/course/varrowmere/profile", "/course/varrowmere/bench", "/course/varrowmere/log", "/course/varrowmere/sands"} {
				do(t, ctx, chromedp.Navigate(url+path), chromedp.WaitReady("h1"))
				pictures := eval[int](t, ctx, `(window.pics = [...document.querySelectorAll("svg.chart")].filter((s) => s.checkVisibility() && s.querySelector(".mark"))).length`)
				for i := range pictures {
					// the first mark in the middle of the window, and where it is there
					at := eval[[]float64](t, ctx, fmt.Sprintf(`(() => { const m = pics[%d].querySelector(".mark"); m.scrollIntoView({ block: "center", inline: "center" });
						const b = m.querySelector(".hit").getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2]; })()`, i))
					do(t, ctx, chromedp.Sleep(60*time.Millisecond)) // scrolling hides a label, and is told a frame later
					named := eval[string](t, ctx, fmt.Sprintf(`document.elementFromPoint(%g, %g)?.closest(".mark")?.getAttribute("aria-label") ?? ""`, at[0], at[1]))
					if named == "" {
						t.Errorf("%s: the first value of picture %d cannot be pointed at", path, i+1)
						continue
					}
					looked++
					if touch {
						do(t, ctx, chromedp.TapXY(at[0], at[1]))
					} else {
						do(t, ctx, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at[0]+2, at[1]), chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, at[0], at[1]))
					}
					if got := eval[shown](t, ctx, label); got.Text != named || !got.Inside {
						t.Errorf("%s, picture %d: the label says %q (inside %v), want %q", path, i+1, got.Text, got.Inside, named)
					}
					if touch {
						continue
					}
					marks := eval[[]string](t, ctx, fmt.Sprintf(`(pics[%d].querySelector('.mark[tabindex="0"]').focus(), [...pics[%[1]d].querySelectorAll(".mark")].map((m) => m.getAttribute("aria-label")))`, i))
					last := min(2, len(marks)-1)
					for range last {
						do(t, ctx, chromedp.KeyEvent(kb.ArrowRight))
					}
					if got := eval[shown](t, ctx, label); got.Text != marks[last] || !got.Inside {
						t.Errorf("%s, picture %d: after %d times to the right the label says %q, want %q", path, i+1, last, got.Text, marks[last])
					}
					do(t, ctx, chromedp.KeyEvent(kb.Escape))
					if got := eval[shown](t, ctx, label); got.Text != "" {
						t.Errorf("%s, picture %d: Escape leaves %q", path, i+1, got.Text)
					}
				}
			}
			if looked < 25 {
				t.Errorf("only %d pictures were pointed at", looked)
			}
		})
	}
}

// The first thing the keyboard comes to leads past the navigation.
func TestSkipLink(t *testing.T) {
	ctx, _, url := browser(t, 1360)
	do(t, ctx, chromedp.Navigate(url+"/course/varrowmere"), chromedp.KeyEvent("\t"))
	if got := eval[string](t, ctx, `document.activeElement.innerText`); got != "Skip to the page" {
		t.Errorf("the first stop is %q", got)
	}
	do(t, ctx, chromedp.KeyEvent("\r"))
	if got := eval[string](t, ctx, `document.activeElement.id`); got != "main" {
		t.Errorf("it leads to %q, want main", got)
	}
}
