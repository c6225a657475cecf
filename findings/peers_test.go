package findings

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"underfoot/internal/reference"
	"underfoot/unit"
)

func TestSampleQuantileAgainstReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/quantile_type8.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct{ X, P []float64 }
			var want []float64
			c.Decode(t, &in, &want)
			slices.Sort(in.X)
			for i, p := range in.P {
				c.Near(t, fmt.Sprintf("quantile at %g", p), Quantile(in.X, p), want[i])
			}
		})
	}
}

func TestPoolingAgainstReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/peers.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in oneWayCase
			if c.ID[:4] == "reml" {
				var want struct{ Mean, SE, Variance float64 }
				c.Decode(t, &in, &want)
				mean, se, tau2 := oneWay{in.Y, in.S}.reml()
				c.Near(t, "mean", mean, want.Mean)
				c.Near(t, "standard error", se, want.SE)
				c.Near(t, "variance between", tau2, want.Variance)
				return
			}
			var want struct{ Mean, SD []float64 }
			c.Decode(t, &in, &want)
			p := oneWay{in.Y, in.S}.posterior()
			for i := range in.Y {
				mean, sd := p.level(i)
				c.Near(t, fmt.Sprintf("mean of %d", i), mean, want.Mean[i])
				c.Near(t, fmt.Sprintf("standard deviation of %d", i), sd, want.SD[i])
			}
		})
	}
}

type oneWayCase struct{ Y, S []float64 }

func levelsOf(om ...float64) []CourseLevel {
	var out []CourseLevel
	for i, v := range om {
		out = append(out, CourseLevel{Course: fmt.Sprint(i), OM: unit.Percent(v), SE: 0.3})
	}
	return out
}

func compared(t testing.TB, a PeersAsked) Peers {
	t.Helper()
	p, err := ComparePeers(a)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestFewerThanFivePeersAreNotShown(t *testing.T) {
	for n, want := range []string{
		"Nothing is shown: no other course has this species and layer on record, and it takes 5.",
		"Nothing is shown: 1 other course has this species and layer on record, and it takes 5.",
		"Nothing is shown: 2 other courses have this species and layer on record, and it takes 5.",
		"Nothing is shown: 3 other courses have this species and layer on record, and it takes 5.",
		"Nothing is shown: 4 other courses have this species and layer on record, and it takes 5.",
	} {
		p := compared(t, PeersAsked{Own: CourseLevel{OM: 5, SE: 0.3}, Others: levelsOf(4, 5, 6, 7)[:n]})
		if diff := cmp.Diff(want, p.Why); p.Known || p.Quantiles != nil || diff != "" {
			t.Errorf("%d others: known %v\n%s", n, p.Known, diff)
		}
	}
	if p := compared(t, PeersAsked{Own: CourseLevel{OM: 5, SE: 0.3}, Others: levelsOf(3, 4, 5, 6, 7)}); !p.Known {
		t.Errorf("5 others: %s", p.Why)
	}
}

// One noisy round does not make a rank: the same high value is the top of the list when measured well and close to the
// middle, with a wide interval, when measured badly.
func TestNoisyRoundMakesNoRank(t *testing.T) {
	others := levelsOf(4.0, 4.2, 4.4, 4.6, 4.8, 5.0, 5.2, 5.4)
	sharp := compared(t, PeersAsked{Own: CourseLevel{OM: 7, SE: 0.15}, Others: others})
	noisy := compared(t, PeersAsked{Own: CourseLevel{OM: 7, SE: 2.5}, Others: others})
	if sharp.Low90 < 90 {
		t.Errorf("measured well: %.0f (%.0f to %.0f), want above 90", sharp.Percentile, sharp.Low90, sharp.High90)
	}
	if noisy.Percentile > 80 || noisy.Low90 > 30 || noisy.High90 < 90 || noisy.Level > 5.6 {
		t.Errorf("measured badly: %.2f %% at %.0f (%.0f to %.0f), want it drawn to the middle and wide", float64(noisy.Level), noisy.Percentile, noisy.Low90, noisy.High90)
	}
}

// Worked by hand: two courses of four greens with relative standard errors of 0 and 0.1 on three degrees of freedom each
// show c² = (3·4·0 + 3·4·0.01)/6 = 0.02; both then have 5·√0.02/2.
func TestCoursesLendTheirScatter(t *testing.T) {
	got := lendScatter([]CourseLevel{{OM: 5, SE: 0, Greens: 4, DF: 3}, {OM: 5, SE: 0.5, Greens: 4, DF: 3}, {OM: 5, SE: 0.7}})
	for i, want := range []float64{2.5 * math.Sqrt(0.02), 2.5 * math.Sqrt(0.02), 0.7} {
		if math.Abs(float64(got[i].SE)-want) > 1e-12 {
			t.Errorf("course %d: %g, want %g", i, float64(got[i].SE), want)
		}
	}
}

// A table of quantiles of 40 courses says about what the 40 courses say.
func TestTableStandsInForItsCourses(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	var others []CourseLevel
	var om []float64
	for range 40 {
		v := 5 + rng.NormFloat64()
		om = append(om, v)
		others = append(others, CourseLevel{OM: unit.Percent(v), SE: 0.3})
	}
	slices.Sort(om)
	table := PeerTable{Source: "t", Courses: 40, MeanSE: 0.3}
	for _, p := range []float64{0.05, 0.10, 0.25, 0.5, 0.75, 0.9, 0.95} {
		table.P, table.OM = append(table.P, p), append(table.OM, unit.Percent(Quantile(om, p)))
	}
	own := CourseLevel{OM: 5.8, SE: 0.2}
	a, b := compared(t, PeersAsked{Own: own, Others: others}), compared(t, PeersAsked{Own: own, Tables: []PeerTable{table}})
	if math.Abs(a.Percentile-b.Percentile) > 3 || a.Courses != b.Courses || b.FromTables != 40 {
		t.Errorf("%.1f among %d courses, %.1f from a table of %d", a.Percentile, a.Courses, b.Percentile, b.FromTables)
	}
	for i := range a.Quantiles {
		if d := math.Abs(float64(a.Quantiles[i].OM - b.Quantiles[i].OM)); d > 0.12 {
			t.Errorf("quantile %g: %.2f %% and %.2f %%", a.Quantiles[i].P, float64(a.Quantiles[i].OM), float64(b.Quantiles[i].OM))
		}
	}
}

func TestPeersDoNotDependOnOrderOrUnitOfScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(5, 12).Draw(t, "courses")
		a := PeersAsked{Own: CourseLevel{OM: 4, SE: 0.3}}
		for range n {
			a.Others = append(a.Others, CourseLevel{OM: unit.Percent(rapid.Float64Range(1, 9).Draw(t, "om")), SE: unit.Percent(rapid.Float64Range(0, 1).Draw(t, "se"))})
		}
		b := PeersAsked{Own: CourseLevel{OM: 8, SE: 0.6}, Seed: 1}
		for _, o := range a.Others {
			b.Others = append(b.Others, CourseLevel{OM: 2 * o.OM, SE: 2 * o.SE})
		}
		p, err := ComparePeers(a)
		q, err2 := ComparePeers(b)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		if math.Abs(p.Percentile-q.Percentile) > 0.5 || math.Abs(float64(2*p.Level-q.Level)) > 1e-3 {
			t.Fatalf("twice the scale: %g and %g, level %g and %g", p.Percentile, q.Percentile, float64(p.Level), float64(q.Level))
		}
		if p.Percentile < 0 || p.Percentile > 100 || p.Low90 > p.High90 || !slices.IsSortedFunc(p.Quantiles, func(x, y PeerQuantile) int { return int(math.Copysign(1, float64(x.OM-y.OM+1e-12))) }) {
			t.Fatalf("%+v", p)
		}
	})
}

// Intervals of the percentile hold the true one about 9 times in 10, with few peers and with many.
func TestPercentileCoversTheTruth(t *testing.T) {
	rng := rand.New(rand.NewPCG(20261125, 2))
	for _, n := range []int{5, 12, 40} {
		const trials = 300
		held := 0
		for range trials {
			truth, below := 0.0, 0.0
			var levels []CourseLevel
			for i := range n + 1 {
				theta := 5 + rng.NormFloat64()
				se := 0.2 + 0.8*rng.Float64()
				if i == 0 {
					truth = theta
				} else if theta < truth {
					below++
				}
				levels = append(levels, CourseLevel{OM: unit.Percent(max(0, theta+se*rng.NormFloat64())), SE: unit.Percent(se)})
			}
			p := compared(t, PeersAsked{Own: levels[0], Others: levels[1:]})
			if at := 100 * below / float64(n); at >= p.Low90-1e-9 && at <= p.High90+1e-9 {
				held++
			}
		}
		share := 100 * float64(held) / trials
		t.Logf("%d peers: %.0f %% of the intervals hold the true percentile", n, share)
		if share < 85 {
			t.Errorf("%d peers: %.0f %% of the 90 %% intervals hold the true percentile", n, share)
		}
	}
}

func TestPeersRefuse(t *testing.T) {
	five := levelsOf(3, 4, 5, 6, 7)
	table := func(f func(*PeerTable)) []PeerTable {
		t := PeerTable{Source: "t", Courses: 9, MeanSE: 0.3, P: []float64{0.25, 0.5, 0.75}, OM: []unit.Percent{4, 5, 6}}
		f(&t)
		return []PeerTable{t}
	}
	for _, c := range []struct {
		name string
		in   PeersAsked
		want string
	}{
		{"no number", PeersAsked{Own: CourseLevel{Course: "a", OM: unit.Percent(math.NaN())}, Others: five}, `peers: course "a": organic matter is NaN %: allowed is 0 to 100 %`},
		{"no error", PeersAsked{Own: CourseLevel{Course: "a", SE: -1}, Others: five}, `peers: course "a": standard error is -1 points: allowed is 0 or more`},
		{"few", PeersAsked{Tables: table(func(t *PeerTable) { t.Courses = 4 })}, `peers: reference table "t": 4 courses: allowed is 5 or more`},
		{"falling", PeersAsked{Tables: table(func(t *PeerTable) { t.OM[1] = 3 })}, `peers: reference table "t": quantile at 0.5 is 3 %, below the 4 % at 0.25: quantiles must not fall`},
		{"two", PeersAsked{Tables: table(func(t *PeerTable) { t.P = t.P[:2] })}, `peers: reference table "t": 2 probabilities and 3 quantiles: give three or more of each`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ComparePeers(c.in)
			if err == nil {
				t.Fatal("no error")
			}
			if diff := cmp.Diff(c.want, err.Error()); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Courses that all read the same without any error: nothing to tell them apart by.
func TestPeersThatReadTheSame(t *testing.T) {
	same := []CourseLevel{{OM: 4}, {OM: 4}, {OM: 4}, {OM: 4}, {OM: 4}}
	p := compared(t, PeersAsked{Own: CourseLevel{OM: 4}, Others: same})
	if math.Abs(float64(p.Level-4)) > 1e-3 || p.Percentile < 30 || p.Percentile > 70 || math.IsNaN(p.Percentile) {
		t.Errorf("%+v", p)
	}
}

func ExampleComparePeers() {
	p, err := ComparePeers(PeersAsked{
		Own:    CourseLevel{Course: "ours", OM: 6.1, SE: 0.3},
		Others: levelsOf(3.8, 4.4, 4.9, 5.2, 5.6, 5.9, 6.4, 7.2),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(p.Says)
	fmt.Println(PeerCaution)
	// Output:
	// At 6.1 % this course lies above about 72 in 100 of 8 other courses (50 to 88 in 100, 9 in 10); half of them hold 4.6 to 6.2 %.
	// Peers inform, they do not decide: this says where others are, not where this course should be, and no target is made from it.
}

func BenchmarkPeers5000(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	a := PeersAsked{Own: CourseLevel{OM: 5, SE: 0.3}}
	for range 5000 {
		a.Others = append(a.Others, CourseLevel{OM: unit.Percent(max(0, 5+rng.NormFloat64())), SE: 0.3})
	}
	for b.Loop() {
		compared(b, a)
	}
}
