package say

import (
	"strings"
	"testing"
)

func BenchmarkPage(b *testing.B) {
	page := []byte(strings.Repeat(`<tr><th scope="row">2025</th><td>12.4 mm of sand on 8 October 2026</td><td>0.40</td></tr>`, 1500))
	b.SetBytes(int64(len(page)))
	for b.Loop() {
		us.Page(page)
	}
}

// BenchmarkPhrasebook says every phrase of the catalogue once, with numbers put in, as a page of another language would.
func BenchmarkPhrasebook(b *testing.B) {
	book := Style{Language: pseudo}.book()
	var sentences []string
	n := 0
	for _, list := range book.byWord {
		for _, e := range list {
			args := make([]string, len(e.from.verbs))
			for i := range args {
				args[i] = "4.1"
			}
			sentences = append(sentences, e.from.put(args))
			n += len(sentences[len(sentences)-1])
		}
	}
	b.SetBytes(int64(n))
	b.ReportMetric(float64(len(sentences)), "sentences")
	for b.Loop() {
		for _, s := range sentences {
			book.say(s)
		}
	}
}
