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
