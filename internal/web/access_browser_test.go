package web

import (
	"context"
	_ "embed"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// axeSource is axe-core: see testdata/axe/README.md.
//
//go:embed testdata/axe/axe.min.js
var axeSource string

// axeTags are the rules held: WCAG 2.2 AA and those axe calls best practice.
const axeTags = `["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa", "best-practice"]`

// fault is a place of a page where a rule of axe is broken.
type fault struct{ Rule, Help, At, Why string }

// everybodySource asks a page what axe does not.
//
//go:embed testdata/everybody.js
var everybodySource string

// axe runs the rules on the page that is shown. The page's policy allows no script from elsewhere; what DevTools evaluates is
// outside of it. With colours only, it looks at the contrast of one element of each look.
func axe(t *testing.T, ctx context.Context, coloursOnly bool) []fault {
	t.Helper()
	what, only := "document", `{type: "tag", values: `+axeTags+`}`
	if coloursOnly {
		what, only = "{include: everybody.looks()}", `{type: "rule", values: ["color-contrast"]}`
	}
	one, cancel := context.WithTimeout(ctx, 60*time.Second)
	defer cancel()
	found, err := chromedp.Run(one, chromedp.Evaluate[[]fault](`axe.run(`+what+`, {runOnly: `+only+`, resultTypes: ["violations"], preload: false}).then((r) => r.violations.flatMap((v) => v.nodes.map((n) =>
		({Rule: v.id, Help: v.help, At: n.html.slice(0, 160), Why: [...n.any, ...n.all, ...n.none].map((c) => c.message).join("; ")}))))`, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("axe: %v", err)
	}
	return found
}

// views are the three views of every page.
var views = []string{"desk", "sun", "night"}

// show sets the view as the page's own switch does.
func show(t *testing.T, ctx context.Context, view string) {
	t.Helper()
	eval[string](t, ctx, fmt.Sprintf(`document.documentElement.dataset.view = %q`, view))
}

// everyPageForEverybody opens every page once, and looks at it in the three views at the width of a desk and of a phone, and as it
// is at 400 % zoom on a screen of 1280 px. In the desk view axe runs all its rules; sun and night have other colours, weights and
// sizes, and there it runs those of contrast, at a desk and on a phone; the sizes are measured in all.
func everyPageForEverybody(t *testing.T, ctx context.Context, home string, fill *strings.Replacer) {
	for _, pattern := range slices.Sorted(maps.Keys(everyAddress)) {
		for _, path := range everyAddress[pattern] {
			t.Run(strings.ReplaceAll(path, "/", " "), func(t *testing.T) {
				do(t, ctx, chromedp.EmulateViewport(1360, 900), chromedp.Navigate(home+fill.Replace(path)), chromedp.WaitReady("h1"))
				pageForEverybody(t, ctx, path)
			})
		}
	}
}

// calm asks pages for less motion, and lets the focus be seen as if the window were in front.
func calm(t *testing.T, ctx context.Context) {
	t.Helper()
	less := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}}
	if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, less); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}); err != nil {
		t.Fatal(err)
	}
}

// pageForEverybody looks at the page that is shown.
func pageForEverybody(t *testing.T, ctx context.Context, path string) {
	t.Helper()
	do(t, ctx, chromedp.Evaluate[chromedp.Void](axeSource), chromedp.Evaluate[chromedp.Void](everybodySource))
	ask := func(where, script string) {
		t.Helper()
		for _, fault := range eval[[]string](t, ctx, "everybody."+script) {
			t.Errorf("%s, %s: %s", path, where, fault)
		}
	}
	faults := func(coloursOnly bool, where string) {
		t.Helper()
		for _, f := range axe(t, ctx, coloursOnly) {
			t.Errorf("%s, %s: %s (%s)\n\t%s\n\t%s", path, where, f.Help, f.Rule, f.At, f.Why)
		}
	}
	ask("a picture without a name", "unnamedPictures()")
	ask("less motion asked for", "moving()")
	for i, view := range views {
		show(t, ctx, view)
		faults(i > 0, "1360 px, view "+view)
		ask("1360 px, view "+view, "unseenFocus()")
		ask("1360 px, view "+view, "over()")
	}
	do(t, ctx, chromedp.EmulateViewport(1000, 900))
	ask("1000 px", "over()")
	do(t, ctx, chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch))
	for i, view := range views {
		show(t, ctx, view)
		faults(i > 0, "390 px, view "+view)
		ask("390 px, view "+view+", smaller than 44 px", "small(44)")
		ask("390 px, view "+view, "over()")
	}
	do(t, ctx, chromedp.EmulateViewport(320, 256, chromedp.EmulateScale(4))) // 1280 × 1024 at 400 %
	for _, view := range views {
		show(t, ctx, view)
		ask("320 px, view "+view, "over()")
	}
}
