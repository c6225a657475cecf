package cli_test

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"underfoot/balance"
	"underfoot/internal/app"
	"underfoot/internal/store"
)

// What the commands print as JSON about a package are the numbers of the standing that pages and report show of the same
// course in a store: not rounded, not worked out a second time in another way.
func TestCommandsAgreeWithStanding(t *testing.T) {
	dir, db := example(t, "varrowmere"), filepath.Join(t.TempDir(), "s.db")
	must(t, "import", dir, "--store", db)
	st, err := store.Open(t.Context(), db, store.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	s, err := app.New(st, clock, "tester").Standing(t.Context(), "varrowmere")
	if err != nil {
		t.Fatal(err)
	}
	if len(s.Layers) != 3 || s.Balance() == nil || len(s.Bench) == 0 {
		t.Fatalf("%d layers, %d composites, balance %v: the example has all of it", len(s.Layers), len(s.Bench), s.Balance())
	}

	t.Run("bench", func(t *testing.T) {
		f := answer(t, "bench", dir, "--json")
		f.length("", len(s.Bench))
		for i, r := range s.Bench {
			at := fmt.Sprint(i)
			f.text(at+"/sample", r.Of.ID)
			f.number(at+"/organic_matter_percent", float64(r.Result.OrganicMatter))
			f.number(at+"/bulk_density_kg_m3", float64(r.Result.BulkDensity.Value))
			f.number(at+"/organic_stock_kg_m2", float64(r.Result.OrganicStock.Value))
			f.number(at+"/mineral_kg_m2", float64(r.Result.Mineral.Value))
			if r.Result.Uncertainty != nil {
				f.number(at+"/standard_uncertainty_percent", float64(r.Result.Uncertainty.Standard))
			}
		}
	})
	t.Run("findings", func(t *testing.T) {
		f := answer(t, "findings", dir, "--json")
		f.length("layers", len(s.Layers))
		for i, l := range s.Layers {
			at := fmt.Sprintf("layers/%d", i)
			f.number(at+"/top_mm", l.TopMM)
			f.length(at+"/rounds", len(l.Rounds))
			for k, m := range l.Rounds {
				round := fmt.Sprintf("%s/rounds/%d", at, k)
				f.text(round+"/round", m.Round)
				f.number(round+"/mean", float64(m.Mean))
				f.number(round+"/se", float64(m.SE))
				f.number(round+"/n", float64(m.N))
			}
			f.number(at+"/trend/slope_per_year", l.Trend.SlopePerYear)
			f.number(at+"/trend/se", l.Trend.SE)
			f.number(at+"/trend/df", l.Trend.DF)
			f.number(at+"/trend/lower95", l.Trend.Lower95)
			f.number(at+"/trend/upper95", l.Trend.Upper95)
			f.number(at+"/trend/p_rising", l.Trend.PRising)
			f.number(at+"/trend/smallest_visible_per_year", l.Trend.SmallestVisiblePerYear)
			f.text(at+"/trend/verdict", string(l.Trend.Verdict))
			f.number(at+"/between_green_sd", float64(l.Even.SD))
			f.length(at+"/greens", len(l.Even.Greens))
			for k, g := range l.Even.Greens {
				f.number(fmt.Sprintf("%s/greens/%d/estimate", at, k), float64(g.Estimate))
			}
		}
		f.text("direction/verdict", string(s.Direction.Verdict))
		f.number("direction/probability", s.Direction.Probability)
	})
	t.Run("balance", func(t *testing.T) {
		f := answer(t, "balance", dir, "--json")
		f.length("layers", len(s.Balance().Layers))
		mm := 1000 / float64(s.SandDensity())
		for i, h := range s.Balance().Layers {
			at := fmt.Sprintf("layers/%d", i)
			f.estimate(at+"/net_formed_kg_m2_a", h.Formed)
			f.estimate(at+"/sand_to_hold_kg_m2_a", h.Hold)
			f.estimate(at+"/sand_applied_kg_m2_a", h.Applied)
			f.estimate(at+"/sand_to_hold_mm_a", h.Hold.Times(mm))
			f.number(at+"/p_applied_too_little", h.Short)
			f.length(at+"/accounts", len(h.Accounts))
			for k, a := range h.Accounts {
				f.number(fmt.Sprintf("%s/accounts/%d/net_formed_kg_m2/value", at, k), a.Formed.Value)
				f.number(fmt.Sprintf("%s/accounts/%d/sand_kg_m2/value", at, k), a.Sand.Value)
			}
		}
		f.length("seasons", len(s.Seasons))
		for i, e := range s.Seasons {
			f.number(fmt.Sprintf("seasons/%d/sand_kg_m2", i), e.SandKgM2)
		}
	})
	t.Run("advise", func(t *testing.T) {
		f := answer(t, "advise", dir, "--json")
		f.text("statement", s.Advice().Statement())
		f.estimate("sand/mm", s.Advice().Top.Sand.Depth)
		f.estimate("sand/dry_t", s.Advice().Top.Sand.Dry)
		f.estimate("sand_to_hold/mm", s.Advice().Holding.Depth)
		f.estimate("sand_applied/mm", s.Advice().Applied.Depth)
		f.number("dressings", float64(s.Advice().Dressings.Count))
	})
}

// found is the JSON a command printed.
type found struct {
	*testing.T
	root any
}

func answer(t *testing.T, args ...string) found {
	t.Helper()
	f := found{T: t}
	if err := json.Unmarshal([]byte(must(t, args...)), &f.root); err != nil {
		t.Fatal(err)
	}
	return f
}

// at returns what lies at a path such as layers/0/trend.
func (f found) at(path string) any {
	f.Helper()
	v := f.root
	for step := range strings.SplitSeq(path, "/") {
		switch x := v.(type) {
		case map[string]any:
			v = x[step]
		case []any:
			var i int
			if _, err := fmt.Sscan(step, &i); err == nil && i < len(x) {
				v = x[i]
			} else if step != "" {
				f.Fatalf("%s: there are %d", path, len(x))
			}
		default:
			f.Fatalf("%s is not there", path)
		}
	}
	return v
}

func (f found) number(path string, want float64) {
	f.Helper()
	if got := f.at(path); got != want {
		f.Errorf("%s is %v, the standing has %v", path, got, want)
	}
}

func (f found) text(path, want string) {
	f.Helper()
	if got := f.at(path); got != want {
		f.Errorf("%s is %v, the standing has %v", path, got, want)
	}
}

func (f found) length(path string, want int) {
	f.Helper()
	list, ok := f.at(path).([]any)
	if !ok || len(list) != want {
		f.Fatalf("%s has %d elements, the standing %d", path, len(list), want)
	}
}

func (f found) estimate(path string, want balance.Estimate) {
	f.Helper()
	f.number(path+"/value", want.Value)
	f.number(path+"/sd", want.SD)
	f.number(path+"/q05", want.Q05)
	f.number(path+"/q95", want.Q95)
}
