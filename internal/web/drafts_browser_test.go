package web

import (
	"context"
	"net"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// fieldIs fails the test where a field of the page holds something else.
func fieldIs(t *testing.T, ctx context.Context, name, want string) {
	t.Helper()
	got := ""
	for end := time.Now().Add(5 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		got, _ = chromedp.Run(ctx, chromedp.Evaluate[string](`[...document.querySelectorAll("main [name]")].find((e) => e.name === `+jsText(name)+`)?.value ?? "no field"`))
		if got == want {
			return
		}
	}
	t.Errorf("%s holds %q, want %q", name, got, want)
}

func jsText(s string) string { return "\"" + s + "\"" }

const draftsKept = `Object.keys(localStorage).filter((k) => k.startsWith("underfoot-draft:")).length`

// typedInto tells the page that something was typed into a field.
func typedInto(selector string) chromedp.Action[chromedp.Void] {
	return chromedp.Evaluate[chromedp.Void](`void document.querySelector("` + selector + `").dispatchEvent(new Event("input", { bubbles: true }))`)
}

// What is typed into a form stands in it again: after the page was left, by the back button, loaded again, refused, and after the
// program was away when it was sent. Once it is stored the browser keeps nothing of it.
func TestDraftsInTheBrowser(t *testing.T) {
	s := newSite(t, Options{Local: true})
	away := &goesAway{Handler: asLocal(s.Handler)}
	s.Handler = away
	ctx, home := browserOn(t, s, 1360, 2*time.Minute)
	back := chromedp.Evaluate[chromedp.Void](`void history.back()`)
	log := home + "/course/varrowmere/log"
	do(t, ctx, chromedp.Navigate(log), chromedp.SetValue("#f-date", "2026-11-19"), chromedp.SendKeys("#f-note", "damp, no wind"), chromedp.SendKeys("#f-amount", "0.4"))
	do(t, ctx, chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"), chromedp.Navigate(log), chromedp.WaitVisible("[data-draft]"))
	seen(t, ctx, "were not stored. They stand in their places again.")
	fieldIs(t, ctx, "note", "damp, no wind")
	fieldIs(t, ctx, "amount", "0.4")
	seen(t, ctx, "0.40 mm is 0.62 kg/m²")
	do(t, ctx, chromedp.SendKeys("#f-cost", "250"), chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"), back)
	fieldIs(t, ctx, "cost", "250")
	do(t, ctx, chromedp.Reload(), chromedp.WaitVisible("[data-draft]"))
	fieldIs(t, ctx, "cost", "250")

	// Refused: it comes again, and what is typed now is kept as well.
	do(t, ctx, chromedp.SetValue("#f-amount", "-3"), chromedp.Click("button[value=save]"), chromedp.WaitVisible("#errors"))
	do(t, ctx, chromedp.SetValue("#f-note", "damp, no wind, firm"), chromedp.SendKeys("#f-labour_h", "6"), chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"), chromedp.Navigate(log), chromedp.WaitVisible("[data-draft]"))
	fieldIs(t, ctx, "note", "damp, no wind, firm")
	fieldIs(t, ctx, "amount", "-3")
	fieldIs(t, ctx, "date", "2026-11-19")

	// The program is away when it is sent.
	do(t, ctx, chromedp.SetValue("#f-amount", "0.6"))
	away.away.Store(true)
	eval[bool](t, ctx, `(document.querySelector("button[value=save]").click(), true)`)
	for end := time.Now().Add(5 * time.Second); time.Now().Before(end); time.Sleep(30 * time.Millisecond) {
		if there, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`!!document.querySelector("#f-note")`)); err == nil && !there {
			break
		}
	}
	away.away.Store(false)
	do(t, ctx, chromedp.Navigate(log), chromedp.WaitVisible("[data-draft]"))
	fieldIs(t, ctx, "amount", "0.6")
	fieldIs(t, ctx, "note", "damp, no wind, firm")

	// Stored: the browser keeps nothing, and neither the back button nor loading again brings it up.
	do(t, ctx, chromedp.Click("button[value=save]"), chromedp.WaitVisible(".done"))
	if w := s.find("2026-11-19"); w.Note != "damp, no wind, firm" {
		t.Errorf("stored %+v", w)
	}
	if n := eval[int](t, ctx, draftsKept); n != 0 {
		t.Errorf("%d drafts are kept after storing", n)
	}
	do(t, ctx, back)
	fieldIs(t, ctx, "note", "")
	do(t, ctx, chromedp.Reload(), chromedp.WaitVisible("#f-note"))
	fieldIs(t, ctx, "note", "")
	if eval[bool](t, ctx, `document.querySelector("[data-draft]").checkVisibility()`) {
		t.Error("what was stored is offered as kept")
	}

	// One form of a page is refused: what is typed into another is kept.
	operations := home + "/course/varrowmere/operations"
	do(t, ctx, chromedp.Navigate(operations), chromedp.SetValue("#f-crew_note", "two of them"), typedInto("#f-crew_note"), chromedp.SetValue("#f-name", "the open"), typedInto("#f-name"), chromedp.SetValue("#f-healed_days", "soon"), typedInto("#f-healed_days"))
	leave(t, ctx, `form[action$="closings"]:not(:has([name=drop])) .btn.go`)
	do(t, ctx, chromedp.WaitVisible("[aria-invalid=true]"), chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"), chromedp.Navigate(operations), chromedp.WaitReady("h1"))
	fieldIs(t, ctx, "crew_note", "two of them")
	fieldIs(t, ctx, "healed_days", "soon")

	// What is on record was changed since: it says so, and asks.
	course := home + "/course/ostrelby/edit"
	do(t, ctx, chromedp.Navigate(course), chromedp.SetValue("#f-latitude_deg", "54.5"), typedInto("#f-latitude_deg"), chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"))
	north := func(lat string) {
		s.follow("/course/ostrelby/edit", url.Values{"name": {"Ostrelby Common"}, "country": {"GB"}, "timezone": {"Europe/London"}, "latitude_deg": {lat}, "longitude_deg": {"0.1"}})
	}
	north("53.25")
	do(t, ctx, chromedp.Navigate(course), chromedp.WaitVisible("[data-put]"))
	seen(t, ctx, "What is on record was changed since this was typed on")
	seen(t, ctx, "you typed 54.5; 52.03 stood there then, 53.25 stands there now")
	fieldIs(t, ctx, "latitude_deg", "53.25")
	do(t, ctx, chromedp.Reload(), chromedp.WaitVisible("[data-put]"), chromedp.Click("[data-put]"))
	fieldIs(t, ctx, "latitude_deg", "54.5")
	do(t, ctx, chromedp.Reload(), chromedp.WaitVisible("[data-draft]"))
	fieldIs(t, ctx, "latitude_deg", "54.5")
	seen(t, ctx, "One field typed on") // it was chosen once: it stands there again without a question
	north("53.5")
	do(t, ctx, chromedp.Reload(), chromedp.WaitVisible("[data-leave]"), chromedp.Click("[data-leave]"))
	fieldIs(t, ctx, "latitude_deg", "53.5")
	if n := eval[int](t, ctx, `Object.keys(localStorage).filter((k) => k.includes("ostrelby/edit")).length`); n != 0 {
		t.Errorf("%d drafts are kept after what is on record was chosen", n)
	}
}

// Rows of a table are known by what they are, not by where they stand: what was typed into one does not come up in another.
func TestDraftsKnowTheirRows(t *testing.T) {
	s := newSite(t, Options{Local: true})
	s.Handler = asLocal(s.Handler)
	ctx, home := browserOn(t, s, 1360, 2*time.Minute)
	at := home + "/course/varrowmere/table/readings"
	first := `document.querySelector("tr[data-key] [data-column=value]")`
	do(t, ctx, chromedp.Navigate(at), chromedp.WaitVisible("tr[data-key]"))
	key := eval[string](t, ctx, first+`.closest("tr").dataset.key`)
	eval[bool](t, ctx, `(() => { const e = `+first+`; e.value = "77.7"; return e.dispatchEvent(new Event("input", { bubbles: true })) })()`)
	do(t, ctx, chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"))
	s.follow("/course/varrowmere/table/readings", map[string][]string{"rows": {"1"}, "r0-green": {"g01"}, "r0-date": {"2026-11-24"}, "r0-kind": {"speed_m"}, "r0-value": {"2.8"}})
	of := func() string {
		return eval[string](t, ctx, `[...document.querySelectorAll("tr[data-key] [data-column=value]")].filter((e) => e.value === "77.7").map((e) => e.closest("tr").dataset.key).join(" and ")`)
	}
	do(t, ctx, chromedp.Navigate(at), chromedp.WaitVisible("[data-draft]"))
	if got := of(); got != key {
		t.Errorf("what was typed for %s stands in the rows %q", key, got)
	}
	do(t, ctx, chromedp.Navigate(at+"?page=2"), chromedp.WaitVisible("[data-draft]"))
	seen(t, ctx, "belong to rows that do not stand here now")
	if got := of(); got != "" {
		t.Errorf("on another page what was typed for %s stands in the rows %q", key, got)
	}
	// A row of that page is stored; what belongs to the other page is kept.
	eval[bool](t, ctx, `(() => { const e = `+first+`; e.value = "66.6"; return e.dispatchEvent(new Event("input", { bubbles: true })) })()`)
	do(t, ctx, chromedp.Click("button[value=save]"), chromedp.WaitVisible(".done"), chromedp.Navigate(at), chromedp.WaitVisible("[data-draft]"))
	if got := of(); got != key {
		t.Errorf("after storing another page what was typed for %s stands in the rows %q", key, got)
	}
	do(t, ctx, chromedp.Click("[data-let-go]"), chromedp.WaitVisible("[data-bring-back]"))
	if got := of(); got != "" {
		t.Errorf("what was let go stands in the rows %q", got)
	}
	do(t, ctx, chromedp.Click("[data-bring-back]"), chromedp.WaitVisible("[data-let-go]"))
	if got := of(); got != key {
		t.Errorf("what was brought back stands in the rows %q", got)
	}
	do(t, ctx, chromedp.Click("[data-let-go]"), chromedp.WaitVisible("[data-bring-back]"), chromedp.Reload(), chromedp.WaitVisible("tr[data-row]"))
	if eval[bool](t, ctx, `document.querySelector("[data-draft]").checkVisibility()`) {
		t.Error("what was let go is still offered after the page was loaded again")
	}
	if n := eval[int](t, ctx, draftsKept); n != 0 {
		t.Errorf("%d drafts are kept after they were let go", n)
	}
}

// everyFormKeepsADraft asks of every form that is sent and typed into that the browser keeps what is typed.
func everyFormKeepsADraft(t *testing.T, s *site, fill *strings.Replacer) {
	without := map[string]string{
		"/settings": "one choice after another, kept when pressed", "/import": "files", "/course/varrowmere/operations/file": "a file", "/course/varrowmere/green/g03/outline/file": "a file",
		"/course/varrowmere/findings": "files", "/course/ostrelby/findings": "files", fill.Replace("/sheet/{sheet}"): "the server keeps it",
	}
	forms := 0
	for _, paths := range everyAddress {
		for _, path := range paths {
			for _, form := range regexp.MustCompile(`(?s)<form[^>]*method="post".*?</form>`).FindAllString(s.get(fill.Replace(path)).Body.String(), -1) {
				action := regexp.MustCompile(`action="([^"#]*)`).FindStringSubmatch(form)[1]
				typed := regexp.MustCompile(`<textarea|<select|<input(?:[^>]*type="(?:text|number|date|search)"|(?:[^>t]|t[^y])*>)`).MatchString(form)
				if !typed || without[action] != "" {
					continue
				}
				forms++
				if !strings.Contains(form, `name="draft"`) {
					t.Errorf("%s: what is typed into the form sent to %s is kept nowhere:\n%.400s", path, action, form)
				}
			}
		}
	}
	if forms < 25 {
		t.Errorf("only %d forms were found", forms)
	}
}

// goesAway closes every connection while it is gone, as a program does that has ended.
type goesAway struct {
	http.Handler
	away atomic.Bool
}

func (g *goesAway) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if g.away.Load() {
		if c, _, err := w.(http.Hijacker).Hijack(); err == nil {
			c.(*net.TCPConn).SetLinger(0)
			c.Close()
		}
		return
	}
	g.Handler.ServeHTTP(w, r)
}
