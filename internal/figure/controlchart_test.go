package figure

import (
	"fmt"
	"strings"
	"testing"
)

func sampleControl() ControlChart {
	c := ControlChart{Material: "turf mix", Centre: 5.2, SD: 0.08}
	for i, v := range []float64{5.22, 5.16, 5.21, 5.27, 5.19, 5.29, 5.14, 5.37, 5.24, 4.93, 5.46, 5.2} {
		b := Burn{Run: fmt.Sprint("run ", 36+i), Value: v}
		switch v {
		case 5.37:
			b.Kind = Warned
		case 4.93:
			b.Kind = RunFailed
		case 5.46:
			b.Kind = RunFreed
		}
		c.Burns = append(c.Burns, b)
	}
	return c
}

func sampleRange() RangeChart {
	c := RangeChart{Mean: 0.18, Upper: 0.588}
	for i, v := range []float64{0.2, 0.1, 0.3, 0, 0.3, 0.7} {
		c.Pairs = append(c.Pairs, PairRange{Name: fmt.Sprint("run ", 36+i), Points: v})
	}
	return c
}

func benchSamples() []sample {
	own, bare := sampleControl(), sampleControl()
	own.Own, own.Width, own.Height = true, 340, 200
	bare.SD = 0
	plain := sampleRange()
	plain.Mean, plain.Upper, plain.Width = 0, 0, 340
	return []sample{
		{"control", sampleControl().Scene()},
		{"control-own", own.Scene()},
		{"control-bare", bare.Scene()},
		{"control-none", ControlChart{}.Scene()},
		{"range", sampleRange().Scene()},
		{"range-plain", plain.Scene()},
		{"range-none", RangeChart{}.Scene()},
	}
}

func TestControlChartSaysItsValues(t *testing.T) {
	svg := sampleControl().Scene().SVG()
	for _, want := range []string{
		"Control chart of turf mix, organic matter in %. accepted 5.20, standard deviation 0.080. run 36: 5.22 %, +0.2 standard deviations",
		"run 45: 4.93 %, −3.4 standard deviations, run failed; run 46: 5.46 %, +3.2 standard deviations, run failed and was released",
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("the chart does not hold %q", want)
		}
	}
	if n := strings.Count(svg, `class="st-stop"`); n != 1 {
		t.Errorf("%d crimson squares for one failed run", n)
	}
	long := ControlChart{Material: "m", Centre: 5, SD: 1}
	for range 100 {
		long.Burns = append(long.Burns, Burn{Run: "r", Value: 5})
	}
	if n := strings.Count(long.Scene().SVG(), `class="mark"`); n != mostBurns {
		t.Errorf("%d burns drawn of a hundred, want the latest %d", n, mostBurns)
	}
}

func TestRangeChartSaysItsValues(t *testing.T) {
	svg := sampleRange().Scene().SVG()
	if want := "run 41: 0.70 apart. Mean 0.18, upper limit 0.59"; !strings.Contains(svg, want) {
		t.Errorf("the chart does not hold %q", want)
	}
	if n := strings.Count(svg, `class="obs-o"`); n != 1 {
		t.Errorf("%d open dots for one pair above its limit", n)
	}
}
