package outline

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// Who follows the tapes finds the core, and no other pair of fixed points places it better.
func TestTapesFindTheCore(t *testing.T) {
	place := func(t *rapid.T, name string) Point {
		return Point{rapid.Float64Range(-30, 30).Draw(t, name+" east"), rapid.Float64Range(-30, 30).Draw(t, name+" north")}
	}
	rapid.Check(t, func(t *rapid.T) {
		core := place(t, "core")
		var fixed []Fixed
		for i := range rapid.IntRange(2, 6).Draw(t, "fixed") {
			fixed = append(fixed, Fixed{fmt.Sprint(i), place(t, "fixed")})
		}
		got, err := Tapes(core, fixed, 100)
		if err != nil {
			t.Skip("in line")
		}
		found, err := got.Place()
		if err != nil || found.Distance(core) > 1e-6 {
			t.Fatalf("found %v for %v (%v)", found, core, err)
		}
		for _, a := range fixed {
			for _, b := range fixed {
				if a != b && tape(core, a, b).Error < got.Error-1e-12 {
					t.Fatalf("%v and %v are better than %v", a, b, got)
				}
			}
		}
	})
}

// The standard error that is said is the one that misread tapes lead to: 20,000 readings, told to 3 %.
func TestTapeErrorIsTheErrorOfMisreadTapes(t *testing.T) {
	chance := rand.New(rand.NewPCG(3, 4))
	for _, core := range []Point{{3, 12}, {10, 4}, {-6, 8}} {
		got, err := Tapes(core, []Fixed{{"A", Point{0, 0}}, {"B", Point{14, 2}}}, 60)
		fatal(t, err)
		const n = 20_000
		var sum float64
		for range n {
			off := got
			off.FromM += (tapeFixed + tapeShare*got.FromM) * chance.NormFloat64()
			off.AndM += (tapeFixed + tapeShare*got.AndM) * chance.NormFloat64()
			p, err := off.Place()
			fatal(t, err)
			sum += math.Pow(p.Distance(core), 2)
		}
		if seen := math.Sqrt(sum / n); math.Abs(seen-got.Error) > 0.03*got.Error {
			t.Errorf("%v: said ± %.4f m, seen ± %.4f m", core, got.Error, seen)
		}
	}
}

func TestTapesRefuse(t *testing.T) {
	a, b := Fixed{"A", Point{0, 0}}, Fixed{"B", Point{10, 0}}
	_, err := Tapes(Point{5, 5}, []Fixed{a}, 50)
	wantError(t, err, "tape distances: 1 fixed points: give at least 2, such as sprinkler heads")
	_, err = Tapes(Point{5, 50}, []Fixed{a, b}, 20)
	wantError(t, err, "tape distances: 0 of 2 fixed points within the 20 m of the tape: give 2 that are nearer")
	_, err = Tapes(Point{5, 0}, []Fixed{a, b}, 20)
	wantError(t, err, "tape distances: the fixed points lie in line with the core, so tapes cannot place it to 0.5 m: give one that stands aside")
	_, err = Tape{From: a, And: b, FromM: 2, AndM: 3}.Place()
	wantError(t, err, "place by tapes: 2.00 m from A and 3.00 m from B do not meet: they are 10.00 m apart; measure again")
	_, err = Tape{From: a, And: a, FromM: 2, AndM: 3}.Place()
	wantError(t, err, "place by tapes: both tapes start at one point: give two")
}

// Walks visit every place once; up to seven places none is shorter, and reversing nothing shortens the longer ones.
func TestWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var places []Point
		for range rapid.IntRange(1, 7).Draw(t, "places") {
			places = append(places, Point{rapid.Float64Range(0, 30).Draw(t, "east"), rapid.Float64Range(0, 30).Draw(t, "north")})
		}
		got := Walk(places)
		best := math.Inf(1)
		permute(len(places), func(order []int) { best = min(best, Length(places, order)) })
		if length := Length(places, got); len(got) != len(places) || length > best+1e-9 {
			t.Fatalf("walk %v of %g m, shortest %g m", got, length, best)
		}
	})
	chance := rand.New(rand.NewPCG(5, 6))
	var many []Point
	for range 40 {
		many = append(many, Point{30 * chance.Float64(), 30 * chance.Float64()})
	}
	order, seen := Walk(many), map[int]bool{}
	for i := range order {
		seen[order[i]] = true
		for j := i + 1; j < len(order); j++ {
			if gain(many, order, i, j) > 1e-6 {
				t.Errorf("reversing %d to %d would shorten the walk", i, j)
			}
		}
	}
	if len(seen) != 40 {
		t.Errorf("%d of 40 places visited", len(seen))
	}
}

func permute(n int, f func([]int)) {
	order := make([]int, 0, n)
	used := make([]bool, n)
	var next func()
	next = func() {
		if len(order) == n {
			f(order)
			return
		}
		for i := range n {
			if !used[i] {
				used[i], order = true, append(order, i)
				next()
				used[i], order = false, order[:len(order)-1]
			}
		}
	}
	next()
}
