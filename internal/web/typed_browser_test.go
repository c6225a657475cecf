package web

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// The main job by typing alone, in the browser: a course in an empty store, its greens, what is wanted, its sand and materials, the
// rounds of former years and the weather pasted from a spreadsheet, a round planned and cut, its masses typed at the bench, the
// log, and from there findings, season plan and report. What the pages say on the way is what the program works out beside them.
func TestTheJobByTyping(t *testing.T) {
	s := newEmptySite(t, Options{Local: true})
	local := asLocal(s.Handler)
	s.Handler = local
	ctx, home := browserOn(t, s, 1360, 3*time.Minute)
	const base = "/course/fell-end"
	at := func(path string) {
		t.Helper()
		do(t, ctx, chromedp.Navigate(home+path), chromedp.WaitReady("h1"))
	}
	// enter types into fields, one after another.
	enter := func(fields ...string) {
		t.Helper()
		for i := 0; i < len(fields); i += 2 {
			do(t, ctx, chromedp.Focus("#f-"+fields[i]), keys(fields[i+1]))
		}
	}
	pick := func(field, value string) {
		t.Helper()
		eval[bool](t, ctx, `(() => { const e = document.getElementById("f-`+field+`"); e.value = "`+value+`"; return e.dispatchEvent(new Event("change", { bubbles: true })) })()`)
	}
	paste := func(field, block, says string) {
		t.Helper()
		pasteInto(t, ctx, field, block)
		seen(t, ctx, says)
		if bad := eval[string](t, ctx, `document.querySelector("dialog.paste [data-bad]").innerText`); bad != "" {
			t.Errorf("of the block for %s: %s", field, bad)
		}
		do(t, ctx, keys("\r"))
		leave(t, ctx, "button[value=save]")
	}
	refused := func() string { return eval[string](t, ctx, `document.querySelector("#errors")?.innerText ?? ""`) }
	store := func(selector string) {
		t.Helper()
		leave(t, ctx, selector)
		if why := refused(); why != "" {
			t.Fatalf("%s was refused: %s", selector, why)
		}
	}

	// The course and its tables.
	at("/")
	leave(t, ctx, `main a[href="/new"]`)
	enter("name", "Fell End", "course", "fell-end", "time_zone", "Europe/London", "latitude_deg", "54.5")
	store("main form.entry .btn.go")
	enter("r0-green", "g1", "r0-name", "Green 1", "r0-area_m2", "510", "r1-green", "g2", "r1-name", "Green 2", "r1-area_m2", "420", "r2-green", "g3", "r2-name", "Green 3", "r2-area_m2", "380")
	store("button[value=save]")
	seen(t, ctx, "Three rows of greens.")
	at(base + "/table/targets")
	pick("r0-kind", "firmness_gmax")
	enter("r0-low", "85", "r0-high", "100")
	store("button[value=save]")
	at(base + "/table/sands")
	enter("r0-sand", "dress", "r0-name", "Dressing sand", "r0-bulk_density_kg_m3", "1540", "r0-price_per_t", "42", "r0-currency", "GBP", "r0-load_t", "20")
	pick("r0-role", "topdressing")
	store("button[value=save]")
	at(base + "/table/controls")
	enter("r0-control", "clay", "r0-accepted_percent", "4", "r0-sd_percent", "0.08")
	store("button[value=save]")
	at(base + "/table/readings")
	paste("r0-green", "Green\tDate\tWhat\tValue\ng1\t01.09.2026\tfirmness_gmax\t78\ng2\t01.09.2026\tfirmness_gmax\t79\ng3\t01.09.2026\tfirmness_gmax\t77\ng1\t01.10.2026\tfirmness_gmax\t76\n", "4 rows and 4 columns")
	at(base + "/table/samples")
	var samples, results strings.Builder
	percent := map[string]float64{"2024 g1": 5.0, "2024 g2": 5.6, "2024 g3": 6.4, "2025 g1": 5.1, "2025 g2": 5.8, "2025 g3": 6.7}
	for _, round := range []string{"2024", "2025"} {
		for _, green := range []string{"g1", "g2", "g3"} {
			fmt.Fprintf(&samples, "%s-%s;%s;%s;%s-10-13;0;20;5;20\n", round, green, green, round, round)
			fmt.Fprintf(&results, "%s-%s;%s;whole\n", round, green, strings.Replace(page.Num(percent[round+" "+green], 2), ".", ",", 1))
		}
	}
	paste("r0-sample", "sample;green;round;date;from;to;cores;corer\n"+samples.String(), "6 rows and 8 columns")
	at(base + "/table/results")
	paste("r0-sample", "Sample;Organic matter, %;Method\n"+results.String(), "6 rows and 3 columns")
	begin := time.Date(2024, 10, 1, 0, 0, 0, 0, time.UTC)
	for _, days := range []int{400, 385} {
		var weather strings.Builder
		for range days {
			mean := 9.5 - 6.5*math.Cos(2*math.Pi*float64(begin.YearDay()-25)/365)
			fmt.Fprintf(&weather, "%s\t%.1f\t%.1f\n", begin.Format("2006-01-02"), mean-4, mean+4)
			begin = begin.AddDate(0, 0, 1)
		}
		at(base + "/table/weather")
		paste("r0-date", "date\ttmin_c\ttmax_c\n"+weather.String(), fmt.Sprintf("%d rows and 3 columns", days))
	}

	// The log.
	for _, day := range []string{"2025-04-20", "2025-08-20", "2026-04-21", "2026-08-21"} {
		at(base + "/log")
		pick("date", day)
		enter("amount", "0.5")
		store("button[value=save]")
	}
	seen(t, ctx, "Logged topdressing of 21 August 2026.")

	// A round, and its masses.
	at(base + "/design")
	for _, f := range [][2]string{{"round", "autumn"}, {"date", "2026-11-20"}, {"layers", "0-20"}, {"cores", "5"}, {"core_diameter_mm", "20"}} {
		pick(f[0], f[1])
	}
	store("button[value=save]")
	at(base + "/custody")
	pick("date", "2026-11-20")
	do(t, ctx, chromedp.SetValue("#f-by", "Crew one"))
	store("button[name=all][value=cut]")
	at(base + "/bench/enter")
	enter("furnace_run", "fe-1", "by", "A. Tester", "dry_c", "105", "ash_c", "440", "ash_hours", "8", "balance_resolution_g", "0.001")
	pick("date", "2026-11-23")
	// A blank, the control and the three composites are offered; Enter goes down the column, a balance types its own words.
	enter("r0-crucible", "k0\rk1\rk2\rk3\rk4\r", "r0-tare_g", "42.000\r41.000\r38.000\r39.000\r40.000\r", "r0-dry_g", "82.000\r81.000\r78.000\r79.000\r80.000\r", "r0-ash_g", "82.000\r79.400\rS S     76.000 g\r76.600\r77.200\r")
	if got := eval[string](t, ctx, `[...document.querySelectorAll("[data-om]")].slice(0, 5).map((e) => e.value || "none").join(" ")`); got != "none 4.00 5.00 6.00 7.00" {
		t.Errorf("as it is typed the sheet says that %q %% were lost", got)
	}
	store("button[value=save]")
	seen(t, ctx, "Wrote down furnace run fe-1.")

	// What the program works out by itself, over the same store.
	beside := app.New(s.app.Store, clock, "beside")
	st, err := beside.Standing(t.Context(), "fell-end")
	if err != nil {
		t.Fatal(err)
	}
	if len(st.Layers) != 1 || math.Abs(float64(st.Layers[0].Last().Mean)-6) > 1e-9 || st.Direction.Verdict != "lower" {
		t.Fatalf("beside the pages: %d layers, direction %s: %q", len(st.Layers), st.Direction.Verdict, st.Direction.Because)
	}
	for i := range st.Bench {
		if b := &st.Bench[i]; b.Round == "autumn" {
			seen(t, ctx, page.Num(*b.OrganicMatterPercent, 2)+" ±")
		}
	}
	at(base + "/findings")
	seen(t, ctx, "0–20 mm 6.0")
	trend := st.Layers[0].Trend
	seen(t, ctx, fmt.Sprintf("%s points a year (%s, 9 in 10)", page.Signed(trend.SlopePerYear, 2), page.SignedSpan(trend.Lower90, trend.Upper90, 2)))
	for _, g := range st.Layers[0].Even.Greens {
		row := `document.getElementById("` + page.GreenID(g.Green) + `").innerText.replace(/\s+/g, " ")`
		if got := eval[string](t, ctx, row); !strings.Contains(got, page.Num(float64(g.Estimate), 2)) {
			t.Errorf("the row of %s says %q, want the level %s", g.Green, got, page.Num(float64(g.Estimate), 2))
		}
	}

	// The season plan.
	at(base + "/plan")
	do(t, ctx, chromedp.SetValue("#f-chance", "6"))
	leave(t, ctx, ".season-ask .btn.go")
	m, err := st.Model()
	if err != nil {
		t.Fatal(err)
	}
	ask := m.UsualAsk()
	ask.Probability = 0.6
	plan, err := m.Season(t.Context(), ask)
	if err != nil || plan.Answer.Best == nil {
		t.Fatalf("beside the page: %v, %v", plan, err)
	}
	cost := plan.Answer.Best.Cost
	seen(t, ctx, fmt.Sprintf("This plan: %s %s %s %s %s %s", plan.Answer.Best.Name, page.Num(cost.SandMM, 1), page.Tonnes(cost.SandTonnes), page.Num(cost.Money(), 0), page.Num(cost.Hours, 0), page.Num(cost.Disturbed, 0)))
	seen(t, ctx, "Cost, GBP")
	do(t, ctx, chromedp.SetValue("#f-scenario", "By typing"))
	store("button[formaction$=keep]")

	// The report, on the page and as a file.
	at(base + "/report")
	seen(t, ctx, "Fell End")
	seen(t, ctx, "6.0 %")
	at(base + "/report/build")
	file := eval[string](t, ctx, `document.querySelector("a.go[data-report]").getAttribute("href")`)
	got, err := chromedp.Run(ctx, chromedp.Evaluate[string](`fetch(`+jsText(file)+`).then((r) => r.arrayBuffer()).then((b) => new TextDecoder("latin1").decode(b)).then((x) => x.slice(0, 5) + " " + (x.length > 20000) + " " + x.trimEnd().slice(-5))`, chromedp.EvalAwaitPromise))
	if err != nil || got != "%PDF- true %%EOF" {
		t.Errorf("the file of the report begins, is long and ends with %q, %v", got, err)
	}
	if n := eval[int](t, ctx, draftsKept); n != 0 {
		t.Errorf("%d drafts are left although all was stored", n)
	}
}
