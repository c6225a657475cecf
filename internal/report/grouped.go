package report

import (
	"fmt"
	"strings"
)

// grouped keeps remarks in the order they first came, each with those it is about, so that one remark is made once.
type grouped struct {
	remarks []string
	about   map[string][]string
}

func (g *grouped) add(remark, about string) {
	if g.about == nil {
		g.about = map[string][]string{}
	}
	if g.about[remark] == nil {
		g.remarks = append(g.remarks, remark)
	}
	for _, have := range g.about[remark] {
		if have == about {
			return
		}
	}
	g.about[remark] = append(g.about[remark], about)
}

// lines gives each remark after the names it is about: "Trend of 0–20 mm and 20–40 mm: …".
func (g *grouped) lines(before string) []string {
	var out []string
	for _, r := range g.remarks {
		out = append(out, before+list(g.about[r])+": "+ended(r))
	}
	return out
}

// mostNamed is how many are named before the rest are counted.
const mostNamed = 12

// table gives each remark beside what it is about.
func (g *grouped) table(caption, head string) Table {
	t := Table{Caption: caption, Columns: []Column{{"Composite", false}, {head, false}}, Fine: true}
	for _, r := range g.remarks {
		names := g.about[r]
		words := strings.Join(names, "; ")
		if len(names) > mostNamed {
			words = strings.Join(names[:mostNamed], "; ") + fmt.Sprintf("; and %d more", len(names)-mostNamed)
		}
		t.Rows = append(t.Rows, []string{words, r})
	}
	return t
}
