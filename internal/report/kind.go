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
		{Part{"certain", "What changed, and how sure"}, (*builder).certain},
		{Part{"why", "Why: the surface and the sand"}, (*builder).why},
		{Part{"ahead", "Where the profile is heading, in short"}, (*builder).ahead},
		{Part{"plan", "The plan"}, (*builder).plan},
		{Part{"order", "The order"}, (*builder).order},
		{Part{"wrong", "What could prove us wrong"}, (*builder).wrong},
		{Part{"order_doubt", "The order, and what could prove us wrong"}, (*builder).orderAndDoubt},
		{Part{"care", "Cautions, in small print"}, (*builder).care},
		{Part{"sources", "Cautions, method and sources, in small print"}, (*builder).sources},
		{Part{"plain", "What we found, in plain words"}, (*builder).plain},
		{Part{"shown", "One picture: the surface layer over the years"}, (*builder).shown},
		{Part{"proposal", "What we propose, and what it means for play"}, (*builder).proposal},
		{Part{"sureness", "How sure this is"}, (*builder).sureness},
		{Part{"crew_days", "The work, day by day"}, (*builder).crewDays},
		{Part{"crew_greens", "Sand for each green"}, (*builder).crewGreens},
		{Part{"crew_cautions", "Before you start: sand and machines"}, (*builder).crewCautions},
		{Part{"to_weigh", "The run to weigh"}, (*builder).toWeigh},
		{Part{"weighed", "Results of the round"}, (*builder).weighed},
		{Part{"checks", "Checks of the furnace runs"}, (*builder).checks},
		{Part{"bench_cautions", "Before you start: furnace and ash"}, (*builder).benchCautions},
	}
}

// defaults are the sections of a kind, in their order.
func (k Kind) defaults() []string {
	switch k {
	case Client:
		return []string{"needed", "layers", "ask", "why", "ahead", "plan", "order_doubt", "certain", "sources"}
	case Committee:
		return []string{"needed", "plain", "shown", "proposal", "sureness"}
	case Crew:
		return []string{"crew_days", "crew_cautions", "crew_greens"}
	case Bench:
		return []string{"bench_cautions", "to_weigh", "weighed", "checks"}
	}
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
