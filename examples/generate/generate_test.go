package main

import (
	"bytes"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"sync"
	"testing"
)

// made and lived are worked out once for all tests, which only read them.
var (
	made  = sync.OnceValues(generate)
	lived = sync.OnceValue(func() life {
		h, log := varrowmereHistory()
		return life{h, log}
	})
)

type life struct {
	history history
	log     []entry
}

func TestCommittedFilesAreWhatTheGeneratorMakes(t *testing.T) {
	files, err := made()
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range files {
		got, err := os.ReadFile(filepath.Join("..", filepath.FromSlash(name)))
		if err != nil {
			t.Errorf("%s: %v: run go run ./examples/generate", name, err)
			continue
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs from what the generator makes: run go run ./examples/generate", name)
		}
	}
	for _, folder := range []string{"varrowmere", "second"} {
		size := int64(0)
		entries, err := os.ReadDir(filepath.Join("..", folder))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range entries {
			if files[folder+"/"+e.Name()] == nil {
				t.Errorf("%s/%s is not made by the generator", folder, e.Name())
			}
			info, err := fs.Stat(os.DirFS(filepath.Join("..", folder)), e.Name())
			if err != nil {
				t.Fatal(err)
			}
			size += info.Size()
		}
		if size > 600_000 {
			t.Errorf("%s is %d bytes, want at most 600000", folder, size)
		}
	}
}

func TestMassCloses(t *testing.T) {
	h := lived().history
	for i, last := range h.last {
		first, now, l := h.first[i].whole(), last.whole(), last.ledger
		for _, c := range []struct {
			what     string
			got, all float64
		}{
			{"mineral", first.mineral() + l.sandIn - l.mineralOut - now.mineral(), first.mineral() + l.sandIn},
			{"organic", first.organic + l.made - l.decayed - l.organicOut - now.organic, first.organic + l.made},
		} {
			if math.Abs(c.got) > 1e-9*c.all {
				t.Errorf("%s: %s mass is out by %g kg/m² of %g kg/m²", h.greens[i].id, c.what, c.got, c.all)
			}
		}
		if now.organic <= 0 || l.made <= 0 || l.sandIn <= 0 || l.organicOut <= 0 {
			t.Errorf("%s: nothing happened: %+v", h.greens[i].id, l)
		}
	}
}

// Material built steadily under a constant rate of sand S and of organic matter A that does not decay holds
// A/(A+S): the closed form of mixing. Source: conservation of mass (derived).
func TestSteadyDilution(t *testing.T) {
	const made, sand = 0.60, 12.0 // kg/m² a year
	c := newColumn(0.02, 0.02, 20)
	for range 12 * 15 {
		c.grow(made/12, 1.5)
		c.dress(newDressing, sand/12)
	}
	got, want := c.between(30, 60).fraction(), made/(made+sand)
	if math.Abs(got-want) > 0.01*want {
		t.Errorf("30–60 mm holds %.5f of organic matter, want %.5f", got, want)
	}
}

// Gelernter and Stowell 2005, Golf Course Management, March, 108–113: cool-season form, values by its equation.
func TestGrowthPotential(t *testing.T) {
	for _, c := range []struct{ celsius, want float64 }{
		{5, 0.0242580}, {10, 0.191495}, {15, 0.661515}, {20, 1}, {25, 0.661515},
	} {
		if got := growthPotential(c.celsius); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("growthPotential(%g) = %.7f, want %.7f", c.celsius, got, c.want)
		}
	}
}

// Area opened by 12.7 mm tines at 50 × 50 mm, and by 0.5 in tines at 1.33 × 1.5 in, of which two passes a year are
// printed as 19.6 % (Ervin and Nichols 2010, Green Section Record 48(16)).
func TestCored(t *testing.T) {
	if got, want := cored(12.7, 50, 50), 0.0506707; math.Abs(got-want) > 1e-7 {
		t.Errorf("12.7 mm at 50 × 50 mm opens %.7f, want %.7f", got, want)
	}
	if got, want := 2*cored(12.7, 1.33*25.4, 1.5*25.4), 0.196; math.Abs(got-want) > 0.001 {
		t.Errorf("two passes of 0.5 in tines open %.4f, want %.3f", got, want)
	}
}

func TestRemoveAndFillKeepDepths(t *testing.T) {
	c := newColumn(0.06, 0.02, 30)
	before := c.between(0, 40)
	c.remove(0.1, 40)
	c.fill(newDressing, 0.1*40*1.58, 36)
	after := c.between(0, 40)
	if want := 0.9 * before.organic; math.Abs(after.organic-want) > 1e-9 {
		t.Errorf("0–40 mm holds %.9f kg/m² of organic matter after coring a tenth, want %.9f", after.organic, want)
	}
	if got, want := after.sand[newDressing], 0.1*40*1.58; math.Abs(got-want) > 1e-9 {
		t.Errorf("0–40 mm holds %.9f kg/m² of new sand, want %.9f", got, want)
	}
}
