package web

import (
	"testing"
	"time"
	"slices"
	"maps"
	"github.com/chromedp/chromedp"
)

func TestZZ(t *testing.T) {
	s, fill := everySite(t)
	ctx, home := browserOn(t, s, 1360, 10*time.Minute)
	for _, pattern := range slices.Sorted(maps.Keys(everyAddress)) {
		for _, path := range everyAddress[pattern] {
			do(t, ctx, chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch), chromedp.Navigate(home+fill.Replace(path)), chromedp.WaitReady("h1"), chromedp.Evaluate[chromedp.Void](everybodySource))
			for _, v := range []string{"desk", "sun"} {
				show(t, ctx, v)
				for _, f := range eval[[]string](t, ctx, `everybody.small(44)`) { t.Errorf("%s, 390 %s small: %s", path, v, f) }
			}
			do(t, ctx, chromedp.EmulateViewport(320, 256, chromedp.EmulateScale(4)))
			for _, v := range []string{"desk", "sun"} {
				show(t, ctx, v)
				for _, f := range eval[[]string](t, ctx, `everybody.over()`) { t.Errorf("%s, 320 %s over: %s", path, v, f) }
			}
		}
	}
}
