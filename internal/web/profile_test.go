package web

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"underfoot"
	"underfoot/calibrate"
	"underfoot/internal/app"
	"underfoot/internal/report"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// The page says what the forecast says, in all its parts, and keeps the numbers of the report.
func TestProfileSaysTheForecast(t *testing.T) {
	s := newSite(t, Options{})
	before := s.page("/course/varrowmere")
	if strings.Contains(before, "will hold about") {
		t.Error("the course page worked the model out")
	}
	mustSay(t, before, "Where the profile is heading")
	body := s.page("/course/varrowmere/profile")
	st, err := s.app.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	o, err := st.Outlook()
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range o.Layers { // the same as the forecast where all is planned: internal/app
		for h, e := range l.Ahead {
			says(t, body, fmt.Sprintf("%.1f (%.1f–%.1f)", 100*e.Q50, 100*e.Q05, 100*e.Q95))
			for g, green := range o.Model.Fit.Course.Greens {
				one := l.Greens[g][h]
				says(t, body, st.GreenTitle(green.Name), fmt.Sprintf("%.1f%.1f to %.1f", 100*one.Q50, 100*one.Q05, 100*one.Q95))
			}
		}
	}
	levers, err := o.Model.Levers()
	if err != nil {
		t.Fatal(err)
	}
	for _, list := range [][]calibrate.Effect{levers.MoreSand, levers.OneCoring, levers.LessNitrogen} {
		if len(list) != 6 {
			t.Errorf("%d effects, want 3 layers in one and in two years", len(list))
		}
		for _, e := range list {
			says(t, body, page.Signed(100*e.Change.Q50, 2), page.SignedSpan(100*e.Change.Q05, 100*e.Change.Q95, 2))
		}
	}
	if levers.Baseline != o.Plan {
		t.Errorf("the levers go by %s, the forecast by %s", levers.Baseline, o.Plan)
	}
	said, err := report.ProfileOf(st)
	if err != nil {
		t.Fatal(err)
	}
	words := append([]string{said.Statement(), said.BackSays(), said.AccountSays(), said.LearntSays(), said.BurialSays(), said.FanSays(), said.Source()}, said.Because()...)
	words = append(append(append(words, said.MisfitSays()...), said.Notes()...), report.ProfileMethod()...)
	says(t, body, words...)
	onPaper := s.page("/course/varrowmere/report?kind=full")
	says(t, onPaper, words...)
	mustSay(t, s.page("/course/varrowmere"), "will hold about")
	for _, wrong := range []string{"NaN", "%!", "Inf", "<nil>"} {
		if strings.Contains(body, wrong) {
			t.Errorf("the page holds %q", wrong)
		}
	}
	if svg, both := strings.Count(body, "at-desk"), strings.Count(body, "at-phone"); svg != 5 || both != 5 {
		t.Errorf("%d figures for a desk and %d for a phone, want 5 and 5", svg, both)
	}
}

// Where something is missing the page says what, and how to bring it.
func TestProfileOfThinRecords(t *testing.T) {
	s := newSite(t, Options{})
	st, err := s.app.Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		bend func(*underfoot.Records)
		says []string
	}{
		{"no rounds", func(rs *underfoot.Records) { rs.Samples, rs.Results, rs.Weighings = nil, nil, nil }, []string{"cut and weigh a round first", "A round of cores, weighed and burnt whole.", "2,150 days of weather."}},
		{"no weather", func(rs *underfoot.Records) { rs.Weather = nil }, []string{"there is none: bring in daily lowest and highest temperatures", "underfoot import"}},
		{"no log", func(rs *underfoot.Records) { rs.Work = nil }, []string{"no work at all, as none is planned and none was logged in the last twelve months"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			rs := *st.Records
			c.bend(&rs)
			thin, err := app.Stand(&rs, st.Today, app.Wishes{})
			if err != nil {
				t.Fatal(err)
			}
			mustSay(t, profileText(t, thin), c.says...)
		})
	}
}

// profileText is the matter of the page of a standing.
func profileText(t *testing.T, st *standing) string {
	t.Helper()
	var b strings.Builder
	if err := page.ProfilePage(profileOf(st, say.Style{})).Render(t.Context(), &b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The page can be read at any width, with and without JavaScript, and by the keyboard.
func TestProfileInTheBrowser(t *testing.T) {
	ctx, s, url := browser(t, 1360)
	for _, path := range []string{"/course/varrowmere", "/course/ostrelby"} {
		s.local(path + "/profile") // calibrated before the clock of a step runs
	}
	do(t, ctx, chromedp.Navigate(url+"/course/varrowmere"), chromedp.Click(`.loop a[href$="/profile"]`), chromedp.WaitVisible("#burial"))
	seen(t, ctx, "What lay at the surface in January 2021")
	if got := eval[string](t, ctx, `document.querySelector(".loop [aria-current]").innerText.trim().split("\n")[0]`); got != "Profile" {
		t.Errorf("the station that is current is %q", got)
	}
	for _, width := range []int64{1360, 1000, 390, 320} {
		for _, path := range []string{"/course/varrowmere/profile", "/course/ostrelby/profile"} {
			do(t, ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(url+path))
			if over := eval[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s runs %d px over at %d px", path, over, width)
			}
			if n := eval[int](t, ctx, `[...document.querySelectorAll("figure.fig")].filter(f => [...f.querySelectorAll("svg.chart")].filter(s => s.checkVisibility()).length !== 1).length`); n > 0 {
				t.Errorf("%s at %d px: %d figures show no drawing, or two", path, width, n)
			}
			small := eval[[]string](t, ctx, `[...document.querySelectorAll("button,.btn,summary")].filter(e => e.checkVisibility())
				.filter(e => { const r = e.getBoundingClientRect(); return r.height < 24 || r.width < 24 }).map(e => e.outerHTML.slice(0, 120))`)
			for _, e := range small {
				t.Errorf("%s at %d px: too small to press: %s", path, width, e)
			}
		}
	}
	do(t, ctx, chromedp.EmulateViewport(1360, 900), scripts(false), chromedp.Navigate(url+"/course/varrowmere/profile"), chromedp.WaitVisible("#levers"))
	do(t, ctx, scripts(true), chromedp.Navigate(url+"/course/varrowmere/profile"))
	if got := eval[string](t, ctx, `(() => { const m = [...document.querySelectorAll("figure.fig .mark")].find(m => m.checkVisibility()); m.focus(); return getComputedStyle(m.querySelector(".tip")).visibility })()`); got != "visible" {
		t.Errorf("the value of a mark that has the focus is %s", got)
	}
}
