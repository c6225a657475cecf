package sampling

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"underfoot/internal/reference"
)

func TestBestCores(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/optimum.json") {
		var in struct {
			PerGreen float64 `json:"Cg"`
			PerCore  float64 `json:"Cc"`
			SG2, SC2 float64
		}
		var want struct{ Cores float64 }
		c.Decode(t, &in, &want)
		got, err := BestCores(in.SG2, in.SC2, in.PerGreen, in.PerCore)
		fatal(t, err)
		c.Near(t, "cores", got, want.Cores)
	}
}

// At a fixed cost no other number of cores gives the mean a smaller variance.
func TestBestCoresIsBest(t *testing.T) {
	const between, cores, perGreen, perCore, budget = 0.3, 0.9, 22.0, 1.5, 1000.0
	k, err := BestCores(between, cores, perGreen, perCore)
	fatal(t, err)
	variance := func(k float64) float64 { return (between + cores/k) * (perGreen + perCore*k) / budget }
	for _, other := range []float64{0.5 * k, 0.9 * k, 0.999 * k, 1.001 * k, 1.1 * k, 2 * k} {
		if variance(other) <= variance(k) {
			t.Errorf("%g cores give variance %g, the best %g cores %g", other, variance(other), k, variance(k))
		}
	}
}

func TestCost(t *testing.T) {
	p := Prices{Visit: 100, Green: 10, Core: 2, Determination: 15}
	for _, c := range []struct {
		name string
		d    Design
		want float64
	}{
		{"composites", Design{Greens: 6, Cores: 5, Determinations: 1}, 100 + 6*(10+15) + 60},
		{"twice", Design{Greens: 6, Cores: 5, Determinations: 2}, 100 + 6*(10+30) + 60},
		{"singly", Design{Greens: 6, Cores: 5, Determinations: 1, Singly: true}, 100 + 6*(10+75) + 60},
	} {
		got, err := p.Cost(c.d)
		fatal(t, err)
		if got != c.want {
			t.Errorf("%s: %g, want %g", c.name, got, c.want)
		}
	}
}

func TestCostRefuses(t *testing.T) {
	d := Design{Greens: 6, Cores: 5, Determinations: 1}
	_, err := Prices{Visit: -1}.Cost(d)
	wantError(t, err, "prices: visit -1: give a number of 0 or more")
	_, err = Prices{Core: math.NaN()}.Cost(d)
	wantError(t, err, "prices: core NaN: give a number of 0 or more")
	_, err = BestCores(0, 1, 1, 1)
	wantError(t, err, "best number of cores: variance between greens 0: give a number above 0")
	_, err = BestCores(1, -1, 1, 1)
	wantError(t, err, "best number of cores: variance between cores -1: give a number of 0 or more")
	_, err = BestCores(1, 1, 1, 0)
	wantError(t, err, "best number of cores: cost of a core 0: give a number above 0")
}

func wantError(t *testing.T, err error, want string) {
	t.Helper()
	if err == nil {
		t.Errorf("no error, want %q", want)
		return
	}
	if d := cmp.Diff(want, err.Error()); d != "" {
		t.Errorf("(-want +got)\n%s", d)
	}
}
