package calibrate

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"underfoot/internal/reference"
)

func TestTailsOfWeights(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/tail.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in, want []float64
			if err := json.Unmarshal(c.Input, &in); err != nil {
				t.Fatal(err)
			}
			if err := json.Unmarshal(c.Want, &want); err != nil {
				t.Fatal(err)
			}
			if strings.HasPrefix(c.ID, "GPD") {
				shape, scale := pareto(in)
				c.Near(t, "shape", shape, want[0])
				c.Near(t, "scale", scale, want[1])
				return
			}
			weights, shape := smooth(in)
			c.Near(t, "shape", shape, want[0])
			for i, w := range weights {
				c.Near(t, fmt.Sprint("weight ", i), w, want[i+1])
			}
		})
	}
}

// Weights that say nothing, or too much, of the tail.
func TestTailsThatCannotBeFitted(t *testing.T) {
	far := make([]float64, 100)
	for i := range far {
		far[i] = -1000 * float64(100-i)
	}
	for _, c := range []struct {
		name  string
		logs  []float64
		shape float64
		top   float64 // weight of the largest
	}{
		{"all alike", make([]float64, 100), 0, 0.01},
		{"one outweighs all", far, math.Inf(1), 1},
		{"too few for a tail", []float64{0, 0, 0, 0}, 0, 0.25},
	} {
		weights, shape := smooth(c.logs)
		if shape != c.shape || math.Abs(weights[len(weights)-1]-c.top) > 1e-12 {
			t.Errorf("%s: shape %g and weight %g, wanted %g and %g", c.name, shape, weights[len(weights)-1], c.shape, c.top)
		}
	}
}

// Draws of a normal distribution, weighed to be those of another, give its mean and spread.
func TestWeightsBringOneNormalToAnother(t *testing.T) {
	const n, shift, wide = 20000, 0.5, 0.8
	rng := rand.New(rand.NewPCG(1, 2))
	x, logs := make([]float64, n), make([]float64, n)
	for i := range x {
		x[i] = rng.NormFloat64()
		z := (x[i] - shift) / wide
		logs[i] = x[i]*x[i]/2 - z*z/2
	}
	weights, shape := smooth(logs)
	var mean, square float64
	for i, w := range weights {
		mean += w * x[i]
		square += w * x[i] * x[i]
	}
	sd := math.Sqrt(square - mean*mean)
	if shape > 0.5 || math.Abs(mean-shift) > 0.03 || math.Abs(sd-wide) > 0.03 { // four standard errors of some 10000 draws
		t.Errorf("mean %.3f and sd %.3f at shape %.2f, wanted %g and %g", mean, sd, shape, shift, wide)
	}
}
