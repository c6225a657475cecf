package web

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// printed are pages that are taken to a meeting or a shed.
var printed = []string{
	"/course/varrowmere", "/course/varrowmere/findings", "/course/varrowmere/profile", "/course/varrowmere/plan", "/course/varrowmere/log", "/course/varrowmere/sands",
	"/course/varrowmere/bench", "/course/varrowmere/round", "/course/varrowmere/operations", "/course/varrowmere/table/readings", "/course/ostrelby", "/sands", "/",
}

// sheets prints the page that is shown and gives the words of each sheet, by pdftotext, in the order of reading.
func sheets(t *testing.T, ctx context.Context, paper chromedp.PaperSize) []string {
	t.Helper()
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		if os.Getenv("UNDERFOOT_POPPLER") == "require" {
			t.Fatal("pdftotext is not there: install poppler-utils")
		}
		t.Skip("pdftotext is not there: install poppler-utils to read what was printed")
	}
	one, cancel := context.WithTimeout(ctx, time.Minute)
	defer cancel()
	body, err := chromedp.Run(one, chromedp.PrintToPDF(chromedp.PDFPaper(paper), chromedp.PDFPrintBackground()))
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "printed.pdf")
	if err := os.WriteFile(file, body, 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := exec.CommandContext(one, reader, "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	list := strings.Split(string(text), "\f")
	return list[:len(list)-1] // each sheet ends in a form feed
}

// onPaperSource asks a page in print for its heads, its long tables and its pictures.
const onPaperSource = `(() => {
	const shown = (e) => e.checkVisibility({ visibilityProperty: true }) && e.getClientRects().length > 0;
	const words = (e) => e.innerText.replace(/\s+/g, " ").trim();
	const heads = [...document.querySelectorAll("h1, h2, h3, caption, .ytitle")].filter(shown).map(words).filter((w) => w.length > 3);
	const tables = [...document.querySelectorAll("table")].filter((t) => shown(t) && t.tHead && shown(t.tHead) && t.tBodies[0].rows.length > 24)
		.map((t) => ({ Head: [...t.tHead.rows[0].cells].filter((c) => shown(c) && !c.querySelector(".sr")).map(words).filter((w) => w.length > 2), Rows: t.tBodies[0].rows.length }));
	const pictures = [...document.querySelectorAll("svg.chart")].filter(shown)
		.map((s) => [...s.querySelectorAll("text")].filter((x) => !x.closest(".tip")).map((x) => x.textContent.trim()).filter((w) => /[a-z]{4}/.test(w))).filter((l) => l.length > 1);
	const pressed = [...document.querySelectorAll("nav, button, .btn, .chip, summary, header.mast, .foot, .loop, form.view, input[type=file]")].filter(shown).map((e) => e.outerHTML.slice(0, 90));
	const empty = [...document.querySelectorAll("main .sec")].filter(shown).filter((s) => ![...s.querySelectorAll("p, li, td, th, svg, dd, .empty-frame, input")].some((e) => shown(e) && !e.closest(".shoulder"))).map((s) => words(s).slice(0, 60));
	return { Heads: heads, Tables: tables, Pictures: pictures, Pressed: pressed.slice(0, 8), Empty: empty };
})()`

type onSheets struct {
	Heads  []string
	Tables []struct {
		Head []string
		Rows int
	}
	Pictures       [][]string
	Pressed, Empty []string
}

// media has pages shown as in print, or on a screen again.
func media(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: name}); err != nil {
		t.Fatal(err)
	}
}

// firstDifference shows where the looks of views begin to differ.
func firstDifference(looks []string) string {
	for _, other := range looks[1:] {
		a, b := strings.Split(looks[0], "],["), strings.Split(other, "],[")
		for i := range min(len(a), len(b)) {
			if a[i] != b[i] {
				return a[i] + " and " + b[i]
			}
		}
	}
	return "other elements are shown"
}

// On sheets of A4 and Letter no head stands alone at the foot, a picture is on one sheet with all its words, a long table has its
// head on every sheet, nothing is left to press, no section of which only the head is left is shown, and sun and night look as
// the desk does.
func TestPagesOnPaper(t *testing.T) {
	ctx, s, url := browser(t, 1360)
	ctx, cancel := context.WithTimeout(ctx, 10*time.Minute)
	defer cancel()
	failControl(t, s)
	parted, pictures := 0, 0
	for _, path := range printed {
		do(t, ctx, chromedp.EmulateViewport(702, 1000), chromedp.Navigate(url+path), chromedp.WaitReady("h1"))
		media(t, ctx, "print")
		on := eval[onSheets](t, ctx, onPaperSource)
		var looks []string
		for _, view := range views {
			show(t, ctx, view)
			looks = append(looks, eval[string](t, ctx, `JSON.stringify([...document.querySelectorAll("html, body, main *")].filter((e) => e.checkVisibility()).map((e) => { const c = getComputedStyle(e); return [e.tagName + "." + (e.getAttribute("class") ?? ""), c.color, c.backgroundColor, c.fill, c.stroke, c.fontSize, c.fontWeight]; }))`))
		}
		if looks[1] != looks[0] || looks[2] != looks[0] {
			t.Errorf("%s: on paper sun or night does not look as desk does: %s", path, firstDifference(looks))
		}
		media(t, ctx, "")
		for _, x := range on.Pressed {
			t.Errorf("%s on paper: still there: %s", path, x)
		}
		for _, x := range on.Empty {
			t.Errorf("%s on paper: nothing is left of the section %q", path, x)
		}
		for name, paper := range map[string]chromedp.PaperSize{"A4": chromedp.PaperA4, "Letter": chromedp.PaperLetter} {
			list := sheets(t, ctx, paper)
			for i, sheet := range list {
				lines := strings.Split(strings.TrimSpace(sheet), "\n")
				last := strings.Join(strings.Fields(lines[len(lines)-1]), " ")
				if i < len(list)-1 && slices.Contains(on.Heads, last) {
					t.Errorf("%s on %s: %q stands alone at the foot of sheet %d", path, name, last, i+1)
				}
			}
			plain := make([]string, len(list))
			for i := range list {
				plain[i] = strings.Join(strings.Fields(list[i]), " ")
			}
			for _, words := range on.Pictures {
				pictures++
				if !slices.ContainsFunc(plain, func(sheet string) bool {
					return !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(sheet, strings.Join(strings.Fields(w), " ")) })
				}) {
					t.Errorf("%s on %s: no sheet holds the whole picture with %q", path, name, words)
				}
			}
			for _, table := range on.Tables {
				head := 0
				for _, sheet := range list {
					for _, line := range strings.Split(sheet, "\n") {
						if all := !slices.ContainsFunc(table.Head, func(w string) bool { return !strings.Contains(line, strings.Fields(w)[0]) }); all {
							head++
							break
						}
					}
				}
				if parted++; head < 2 {
					t.Errorf("%s on %s: the head %q of a table of %d rows stands on %d sheets, want 2 or more", path, name, table.Head, table.Rows, head)
				}
			}
		}
	}
	if parted < 4 || pictures < 30 {
		t.Errorf("only %d long tables and %d pictures were looked for", parted, pictures)
	}
}
