package report

import (
	"fmt"
	"slices"
	"strings"
)

// Kind is what a document is for.
type Kind string

// Kinds.
const (
	Full      Kind = "full"      // everything the standing says, for whoever wants to check it
	Client    Kind = "client"    // two to four pages for those who pay
	Committee Kind = "committee" // one page in plain words
	Crew      Kind = "crew"      // the dated work with amounts and boxes to tick
	Bench     Kind = "bench"     // a round to weigh, or the results of the last one with its checks
)

// Kinds lists the kinds of document, the most asked for first.
func Kinds() []Kind { return []Kind{Client, Committee, Crew, Bench, Full} }

// Title names a kind in a sentence: "client report".
func (k Kind) Title() string {
	switch k {
	case Client:
		return "client report"
	case Committee:
		return "summary for the committee"
	case Crew:
		return "crew sheet"
	case Bench:
		return "bench sheet"
	}
	return "full report"
}

// Known says whether there is such a kind.
func (k Kind) Known() bool { return slices.Contains(Kinds(), k) }

// Part is a section that can be picked.
type Part struct {
	Key, Title string
}

// part is a section with what builds it.
type part struct {
	Part
	build func(*builder) Section
}

// parts are all sections there are, by key. Keys do not change.
func parts() []part {
	return []part{
		{Part{"needed", "What is needed"}, (*builder).needed},
		{Part{"layers", "What the cores show"}, (*builder).layers},
		{Part{"ask", "What we ask you to agree"}, (*builder).ask},
		{Part{"readings", "What the surface says"}, (*builder).readings},
		{Part{"change", "The change, looked at twice more"}, (*builder).change},
		{Part{"outlook", "Where the profile is heading"}, (*builder).outlook},
		{Part{"sand", "Sand put on, and what holding takes"}, (*builder).sand},
		{Part{"advice", "The advice in full"}, (*builder).advice},
		{Part{"account", "The account, layer by layer"}, (*builder).account},
		{Part{"evenness", "How even the greens are"}, (*builder).evenness},
		{Part{"method", "How it was measured, and how sure it is"}, (*builder).method},
		{Part{"settings", "What was assumed"}, (*builder).settings},
		{Part{"cautions", "Cautions"}, (*builder).cautions},
	}
}

// defaults are the sections of a kind, in their order.
func (k Kind) defaults() []string {
	return []string{"needed", "layers", "ask", "readings", "change", "outlook", "sand", "advice", "account", "evenness", "method", "settings", "cautions"}
}

// Parts lists the sections that can be picked for a kind of document: those it has by itself first, in their order, then the
// others.
func Parts(k Kind) (own, others []Part) {
	for _, key := range k.defaults() {
		for _, p := range parts() {
			if p.Key == key {
				own = append(own, p.Part)
			}
		}
	}
	for _, p := range parts() {
		if !slices.Contains(own, p.Part) {
			others = append(others, p.Part)
		}
	}
	return own, others
}

// CheckSections says in a sentence which picked section there is not; nil when all are there.
func (o Options) CheckSections() error {
	var keys []string
	for _, p := range parts() {
		keys = append(keys, p.Key)
	}
	for _, key := range o.Sections {
		if !slices.Contains(keys, key) {
			return fmt.Errorf("there is no section %q: %s are allowed", key, strings.Join(keys, ", "))
		}
	}
	return nil
}
