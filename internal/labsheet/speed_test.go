package labsheet

import (
	"fmt"
	"strings"
	"testing"
)

// BenchmarkSheet reads a sheet of ten thousand rows all the way.
func BenchmarkSheet(b *testing.B) {
	var s strings.Builder
	s.WriteString("Sample,Green,Depth,Date,OM %,Dry mass g,Remarks\n")
	for i := range 10000 {
		fmt.Fprintf(&s, "S%05d,%d,%d-%d mm,2026-10-%02d,%d.%d,%d.5,\n", i, i%18+1, i%3*20, i%3*20+20, i%28+1, i%7+1, i%10, 90+i%20)
	}
	data := []byte(s.String())
	for b.Loop() {
		book, err := Read("large.csv", data)
		if err != nil {
			b.Fatal(err)
		}
		p := Propose(book, Wish{})
		t, err := Apply(book, p.Rule)
		if err != nil || len(t.Rows) != 10000 || len(t.Problems) > 0 {
			b.Fatalf("%d rows, %d problems, %v", len(t.Rows), len(t.Problems), err)
		}
	}
}
