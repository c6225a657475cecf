package page

import "underfoot/docs"

// sectionTerms says which words and figures each section of a page shows, by the id of its heading. What they mean and how
// they are worked out stands behind "What is this?" there.
var sectionTerms = map[string][]string{
	// course
	"surface":     {"direction", "readings"},
	"profile":     {"om", "stock", "layer", "interval", "trend"},
	"sand-put-on": {"sand", "hold"},
	"answer":      {"direction", "hold", "sand"},
	// findings
	"change":   {"trend", "interval", "visible", "layer", "points"},
	"material": {"material", "layer"},
	"even":     {"evenness", "interval"},
	"by-green": {"evenness", "trend"},
	"readings": {"readings", "response", "direction"},
	"judge":    {"direction"},
	"left":     {"screened"},
	"power":    {"visible", "composite"},
	"peers":    {"peers"},
	// profile
	"burial":  {"burial", "model"},
	"ahead":   {"forecast", "foretold", "interval"},
	"back":    {"foretold", "forecast"},
	"account": {"account", "formation", "points"},
	"levers":  {"levers", "points"},
	"learnt":  {"prior", "model"},
	"rests":   {"model", "prior"},
	"needs":   {"model"},
	// plan
	"season":       {"band", "search"},
	"ask":          {"band", "search", "disturbed"},
	"work":         {"band", "disturbed", "forecast", "growth"},
	"plans":        {"search"},
	"trade":        {"search", "sand"},
	"otherwise":    {"forecast"},
	"order":        {"order", "sand"},
	"kept":         {"forecast", "search"},
	"season-notes": {"model"},
	"catalogue":    {"disturbed", "growth"},
	"values":       {"disturbed", "growth"},
	"calendar":     {"disturbed"},
	// log
	"enter":  {"sand"},
	"ledger": {"sand"},
	// rounds
	"sees":    {"visible", "next-round", "composite"},
	"design":  {"composite", "layer"},
	"places":  {"places", "tapes"},
	"corners": {"area", "places"},
	"points":  {"tapes"},
	"paper":   {"places", "tapes", "composite"},
	"labels":  {"custody", "composite"},
	"custody": {"custody"},
	// bench
	"masses":   {"om", "budget", "constant"},
	"checks":   {"run", "constant", "tare"},
	"budget":   {"budget"},
	"reported": {"screened", "om"},
	"sheet":    {"om", "constant", "tare"},
	"run":      {"run"},
	"runs":     {"run"},
	"tray":     {"run"},
	"held":     {"run"},
	"what":     {"sheet"},
	"columns":  {"sheet", "screened"},
	// sands
	"sands":  {"sand"},
	"curves": {"curve"},
	"drift":  {"drift"},
	"blend":  {"blend"},
	"water":  {"water"},
	"choice": {"choice", "sand"},
	"sizes":  {"curve", "limits"},
}

// termsOf are the words and figures of a section; none where nothing is in doubt.
func termsOf(id string) []docs.Term {
	var out []docs.Term
	for _, key := range sectionTerms[id] {
		if t, ok := docs.Find(key); ok {
			out = append(out, t)
		}
	}
	return out
}

func askNames(terms []docs.Term) string {
	var names []string
	for _, t := range terms {
		names = append(names, t.Title)
	}
	return List(names)
}

// Document is a document of the program as a page.
type Document struct {
	Frame
	HTML   string // made from the program's own text, with its first heading as h1
	Others []Link
}
