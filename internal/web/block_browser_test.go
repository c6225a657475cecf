package web

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// What a block from a spreadsheet says, by the module that reads it: cells, numbers, days and headings as people write them. What
// can be read two ways is not read.
func TestBlockIsRead(t *testing.T) {
	ctx, _, home := browser(t, 1360)
	do(t, ctx, chromedp.Navigate(home+"/help"), chromedp.WaitReady("h1"))
	for _, c := range []struct{ ask, want string }{
		{`cells("a\tb\r\n1,5\t2\n")`, `[["a","b"],["1,5","2"]]`},
		{`cells("41,100;80,200\n1;2")`, `[["41,100","80,200"],["1","2"]]`},
		{`cells("41,100\n42,300\n")`, `[["41,100"],["42,300"]]`},
		{`cells("g01,2026-10-08,2.5\ng02,2026-10-08,2.6")`, `[["g01","2026-10-08","2.5"],["g02","2026-10-08","2.6"]]`},
		{`cells("\"a, b\"\t\"x \"\"y\"\" z\"\n1\t\"two\nlines\"")`, `[["a, b","x \"y\" z"],["1","two lines"]]`},
		{`cells("c01  40.1   80.2")`, `[["c01","40.1","80.2"]]`},
		{`cells("\n\n")`, `[]`},
		{`readNumber("41,100", {})`, `{"value":"41.100"}`},
		{`readNumber("41,100", marks([["1.5"]]))`, `{"why":"comma"}`},
		{`readNumber("0,015", marks([["1.5"]]))`, `{"value":"0.015"}`},
		{`readNumber("1.540", marks([["2,8"]]))`, `{"why":"point"}`},
		{`readNumber("1.540", {})`, `{"value":"1.540"}`},
		{`readNumber("1.234.567,5", {})`, `{"value":"1234567.5"}`},
		{`readNumber("1,234,567", {})`, `{"value":"1234567"}`},
		{`readNumber("1 540", {})`, `{"value":"1540"}`},
		{`readNumber("4.2 %", {}, "%")`, `{"value":"4.2"}`},
		{`readNumber("12 kg/m³", {}, "kg/m³")`, `{"value":"12"}`},
		{`readNumber("−3", {})`, `{"value":"-3"}`},
		{`readNumber("much", {})`, `{"why":"number"}`},
		{`readNumber("", {})`, `{"why":"number"}`},
		{`readDay("2026-1-8", false)`, `{"value":"2026-01-08"}`},
		{`readDay("8.10.2026", true)`, `{"value":"2026-10-08"}`},
		{`readDay("8/10/2026", false)`, `{"value":"2026-10-08"}`},
		{`readDay("8/10/2026", true)`, `{"value":"2026-08-10"}`},
		{`readDay("10/25/2026", false)`, `{"value":"2026-10-25"}`},
		{`readDay("Thu 8 October 2026", false)`, `{"value":"2026-10-08"}`},
		{`readDay("Oct 8, 2026", false)`, `{"value":"2026-10-08"}`},
		{`readDay("31.2.2026", false)`, `{"why":"day"}`},
		{`readDay("46303", false)`, `{"why":"day"}`},
		{`words("Organic matter, %")`, `"organic matter"`},
		{`words("Dry (g)")`, `"dry"`},
		{`words("tare_g")`, `"tare g"`},
	} {
		got, err := chromedp.Run(ctx, chromedp.Evaluate[string](`import(document.querySelector('script[src$="/js/view.js"]').src.replace("view.js", "block.js")).then(({ cells, marks, readNumber, readDay, words }) => JSON.stringify(`+c.ask+`))`, chromedp.EvalAwaitPromise))
		if err != nil || got != c.want {
			t.Errorf("%s gives %s, %v, want %s", c.ask, got, err, c.want)
		}
	}
}
