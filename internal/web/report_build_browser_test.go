package web

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// A report is put together with and without JavaScript: another kind, a section less, a note, a logo; the preview shows it, the
// links lead to it, and it is kept and can be undone.
func TestBuilderInTheBrowser(t *testing.T) {
	for _, script := range []bool{true, false} {
		t.Run(fmt.Sprintf("script %t", script), func(t *testing.T) {
			ctx, s, url := browser(t, 1360)
			file := keep(t, filepath.Join(t.TempDir(), "mine"), "mark.png", string(picture(t)))
			inside := func(words string) {
				t.Helper()
				var text string
				for range 200 {
					text = eval[string](t, ctx, `document.querySelector("iframe")?.contentDocument?.body?.innerText ?? ""`)
					if strings.Contains(text, words) {
						return
					}
					time.Sleep(50 * time.Millisecond)
				}
				t.Fatalf("the preview does not show %q but\n%s", words, text)
			}
			do(t, ctx, scripts(script), chromedp.Navigate(url+"/course/varrowmere/report/build"))
			inside("What the cores show")
			do(t, ctx, chromedp.Click("button[value=committee]"), chromedp.WaitVisible("button.here[value=committee]"))
			inside("What we found")
			do(t, ctx, chromedp.Click("input[value=proposal]"), chromedp.SendKeys("#f-note", "The drains come first."))
			if script {
				inside("The drains come first.")
				if text := eval[string](t, ctx, `document.querySelector("iframe").contentDocument.body.innerText`); strings.Contains(text, "what it means for play") {
					t.Error("the preview still shows the section that was left out")
				}
				if text := eval[string](t, ctx, `document.querySelector("[data-pages]").textContent`); !strings.Contains(text, "The PDF has 1 page on A4.") {
					t.Errorf("of the pages it is said %q", text)
				}
				if pdf := eval[string](t, ctx, `document.querySelector("a[data-report$=pdf]").href`); !strings.Contains(pdf, "note=The+drains+come+first.") || strings.Contains(pdf, "proposal") {
					t.Errorf("the link to the PDF is %s", pdf)
				}
			}
			do(t, ctx, chromedp.SetUploadFiles("#f-logo", []string{file}), chromedp.Click(".acts button[name=keep]"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Put the summary for the committee together.")
			inside("The drains come first.")
			wide := 0.0
			for range 200 {
				if wide = eval[float64](t, ctx, `document.querySelector("iframe").contentDocument.querySelector("img.logo")?.naturalWidth ?? 0`); wide > 0 {
					break
				}
				time.Sleep(50 * time.Millisecond)
			}
			if wide != 40 {
				t.Errorf("the logo in the preview is %v px wide, sent were 40", wide)
			}
			rs, err := s.app.Store.Records(t.Context(), "varrowmere")
			if err != nil || len(rs.Documents) != 1 || rs.Documents[0].Note != "The drains come first." {
				t.Fatalf("kept %d, %v", len(rs.Documents), err)
			}
			do(t, ctx, chromedp.Click(".done button"), chromedp.WaitVisible(".done"))
			seen(t, ctx, "Do it again")
			if rs, err := s.app.Store.Records(t.Context(), "varrowmere"); err != nil || len(rs.Documents) != 0 {
				t.Errorf("after undoing %d are kept, %v", len(rs.Documents), err)
			}
		})
	}
}
