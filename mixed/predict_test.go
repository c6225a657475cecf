package mixed

import (
	"fmt"
	"math"
	"testing"
)

// rowsOf are the rows of a design as rows to predict.
func rowsOf(d *Design) []At {
	out := make([]At, len(d.Y))
	for i := range out {
		for _, x := range d.Columns {
			out[i].X = append(out[i].X, x[i])
		}
		for _, term := range d.Terms {
			z := make([]float64, len(term.Z))
			for j, column := range term.Z {
				z[j] = 1
				if column != nil {
					z[j] = column[i]
				}
			}
			out[i].Level = append(out[i].Level, term.Level[i])
			out[i].Z = append(out[i].Z, z)
		}
	}
	return out
}

func predicted(t *testing.T, f *Fitted, rows []At) []Prediction {
	t.Helper()
	p, err := f.Predict(rows)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPredictionAtTheRowsIsTheFit(t *testing.T) {
	for _, p := range sketches {
		for _, ml := range []bool{false, true} {
			t.Run(fmt.Sprintf("%+v, ml %t", p, ml), func(t *testing.T) {
				d := p.design()
				f := fitted(t, d, Options{ML: ml})
				want := f.FittedValues()
				for i, v := range predicted(t, f, rowsOf(d)) {
					near(t, fmt.Sprint("row ", i+1), v.Value, want[i], f.Sigma, 1e-10)
					near(t, fmt.Sprint("new observation of row ", i+1), v.SENew, math.Hypot(v.SE, f.Sigma), v.SENew, 1e-12)
				}
			})
		}
	}
}

// The standard error of a prediction is that of the mixed-model equations written out: σ²·[Λ'z; x]'M⁻¹[Λ'z; x].
func TestErrorOfPredictionIsThatOfTheWholeMatrix(t *testing.T) {
	for _, p := range sketches {
		t.Run(fmt.Sprintf("%+v", p), func(t *testing.T) {
			d := p.design()
			f := fitted(t, d, Options{})
			e := f.equations
			m := e.whole()
			size := m.SymmetricDim()
			inverse := inverseOf(t, m)
			rows := e.rows()
			for i, v := range predicted(t, f, rowsOf(d)) {
				rows.at(i)
				x := make([]float64, size)
				root := 1.0
				if e.fixed.root != nil {
					root = e.fixed.root[i]
				}
				for term, z := range rows.z {
					for j := range z {
						x[int(e.s.effect[rows.node[term]])+j] = z[j] / root
					}
				}
				for j := range rows.x {
					x[e.s.effects+j] = rows.x[j] / root
				}
				want := 0.0
				for a := range x {
					for b := range x {
						want += x[a] * inverse[a][b] * x[b]
					}
				}
				want = math.Sqrt(want*e.variance()) * e.unit
				near(t, fmt.Sprint("row ", i+1), v.SE, want, want, 1e-9)
			}
		})
	}
}

// One way, a groups of m rows, no covariate: the mean is known to √((σ_a² + σ²/m)/a); the mean of a new group to that and σ_a², a new
// observation in it to that and σ² (Searle, Casella & McCulloch 1992, Variance Components, §3.8, from memory; from Var ȳ directly).
func TestErrorOfANewLevelInAOneWayLayout(t *testing.T) {
	const a, m = 7, 5
	d := oneWay(a, m, 1.5)
	f := fitted(t, d, Options{})
	between, within := f.Components[0].Variance, f.Sigma*f.Sigma
	mean := (between + within/m) / a
	near(t, "mean", f.SE[0], math.Sqrt(mean), f.SE[0], 1e-9)
	got := predicted(t, f, []At{{X: []float64{1}, Level: []int32{-1}, Z: [][]float64{{1}}}})[0]
	near(t, "value", got.Value, f.Beta[0], f.SE[0], 1e-12)
	near(t, "mean of a new group", got.SE, math.Sqrt(mean+between), got.SE, 1e-9)
	near(t, "observation in a new group", got.SENew, math.Sqrt(mean+between+within), got.SENew, 1e-9)

	// an old group: shrunk by s = σ_a²/(σ_a² + σ²/m), with error s·σ²/m + (1 − s)²·Var β̂
	s := between / (between + within/m)
	old := predicted(t, f, rowsOf(d)[:1])[0]
	near(t, "mean of an old group", old.SE, math.Sqrt(s*within/m+(1-s)*(1-s)*mean), old.SE, 1e-9)
	for i, mode := range f.Modes() {
		group := 0.0
		for j := range m {
			group += d.Y[i*m+j] / m
		}
		near(t, "mode", mode.Estimate, s*(group-f.Beta[0]), f.Sigma, 1e-9)
		near(t, "sd of the mode", mode.SD, math.Sqrt(s*within/m), mode.SD, 1e-9)
		near(t, "prediction error of the mode", mode.PredictionSE, math.Sqrt(s*within/m+s*s*mean), mode.PredictionSE, 1e-9)
	}
}

// A new level with a slope, without rows or −1: x'Cov β̂ x and z'Gz.
func TestErrorOfANewLevelWithASlope(t *testing.T) {
	d := sketch{rows: 90, columns: 2, levels: []int{10}, sizes: []int{2}, seed: 13}.design()
	d.Terms[0].Levels = append(d.Terms[0].Levels, "without rows")
	f := fitted(t, d, Options{})
	x, z := []float64{1, -2}, []float64{1, 3}
	g := [2]float64{f.Components[0].SD, f.Components[1].SD}
	want := quadratic(f.Cov, x, x) + g[0]*g[0] + 9*g[1]*g[1] + 6*f.Components[2].Correlation*g[0]*g[1]
	for _, level := range []int32{-1, 10} {
		got := predicted(t, f, []At{{X: x, Level: []int32{level}, Z: [][]float64{z}}})[0]
		near(t, "value", got.Value, f.Beta[0]-2*f.Beta[1], f.SE[0], 1e-12)
		near(t, "standard error", got.SE, math.Sqrt(want), got.SE, 1e-10)
	}
}

func TestPredictSaysWhatIsWrongWithARow(t *testing.T) {
	f := fitted(t, oneWay(4, 3, 1), Options{})
	for _, c := range []struct {
		name string
		at   At
		want string
	}{
		{"nothing", At{}, "predict: row 2: 0 columns and 0 terms, the fit has 1 and 1"},
		{"a column too many", At{X: []float64{1, 2}, Level: []int32{0}, Z: [][]float64{{1}}}, "predict: row 2: 2 columns and 1 terms, the fit has 1 and 1"},
		{"no values of the effects", At{X: []float64{1}, Level: []int32{0}, Z: [][]float64{{}}}, "predict: row 2: 0 values for the 1 effects of g"},
		{"level too high", At{X: []float64{1}, Level: []int32{4}, Z: [][]float64{{1}}}, "predict: row 2: level 4 of g: there are 4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := f.Predict([]At{{X: []float64{1}, Level: []int32{-1}, Z: [][]float64{{1}}}, c.at})
			if err == nil || err.Error() != c.want {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
}
