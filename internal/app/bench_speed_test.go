package app_test

import (
	"fmt"
	"testing"

	"underfoot"
	"underfoot/internal/app"
)

// 10,000 composites in runs of twenty with their blank, two controls and a duplicate; the bench has 500 ms for them.
func BenchmarkBench10000(b *testing.B) {
	rs := small()
	rs.Controls = []underfoot.Control{{Course: "a", ID: "m", AcceptedPercent: underfoot.Some(5.0), SDPercent: underfoot.Some(0.1)}}
	rs.Samples, rs.Weighings = rs.Samples[:0], rs.Weighings[:0]
	day := underfoot.MakeDate(2000, 1, 1)
	for i := range 10_000 {
		id, run := fmt.Sprint("s", i), fmt.Sprint("run-", i/20)
		rs.Samples = append(rs.Samples, underfoot.Sample{ID: id, Course: "a", Green: "1", Round: run, Date: day + underfoot.Date(i/20*7), BottomMM: 20, Cores: underfoot.Some(5), CoreDiameterMM: underfoot.Some(20.0)})
		w := weighing(id, fmt.Sprint("c", i%20), "sample", 20, 60, 58)
		w.FurnaceRun = run
		rs.Weighings = append(rs.Weighings, w)
		if i%20 == 0 {
			for _, x := range []underfoot.Weighing{
				weighing("blank", "c20-"+run, "blank", 20, 20, 20), weighing("m", "c21-"+run, "control", 20, 60, 58), weighing("m", "c22-"+run, "control", 20, 60, 57.97),
				weighing(id, "c23", "duplicate", 20, 60, 57.99),
			} {
				x.FurnaceRun = run
				rs.Weighings = append(rs.Weighings, x)
			}
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		rows := app.Bench(rs)
		if len(rows) != 10_000 || rows[0].Held {
			b.Fatal(len(rows), rows[0].Held)
		}
	}
}
