package app_test

import (
	"strings"
	"testing"

	"underfoot"
	"underfoot/internal/app"
)

// Any table of peers is read or refused, and in one that is read every row is a layer with rising quantiles.
func FuzzReadPeerTable(f *testing.F) {
	head := "source,species,top_mm,bottom_mm,year,courses,mean_se_percent,q25_percent,q50_percent,q75_percent\n"
	f.Add(head + "north,bent,0,20,2026,9,0.2,2.5,3.1,3.9\n")
	f.Add(head + "north,bent,0,20,2026,9,0.2,2.5,NaN,3.9\nnorth,bent,20,0,2026.5,1e9,,,,\n")
	f.Add("\ufeff" + head + "\"a\"\"b\",x,0,1,1900,1000000,0,0,0,0\n")
	f.Add("species;top_mm\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := app.ReadPeerTable(strings.NewReader(text), "t.csv")
		if err != nil {
			if underfoot.KindOf(err) != underfoot.Invalid {
				t.Fatalf("kind of %v", err)
			}
			return
		}
		if len(rows) == 0 {
			t.Fatal("no rows and no error")
		}
		for _, r := range rows {
			if !(r.TopMM >= 0 && r.BottomMM > r.TopMM && r.BottomMM <= 2000) || r.Year < 1900 || r.Year > 2200 || len(r.Table.P) != len(r.Table.OM) {
				t.Fatalf("%+v", r)
			}
			for i, v := range r.Table.OM {
				if !(v >= 0 && v <= 100) || i > 0 && v < r.Table.OM[i-1] {
					t.Fatalf("%+v", r)
				}
			}
		}
	})
}
