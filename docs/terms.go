package docs

import (
	"fmt"
	"strings"
	"sync"
)

// Term is one word or figure: what is meant, and what stands behind it. All but Key, Title and Means may be empty.
type Term struct {
	Key, Title              string
	Means                   string
	Formula, Source, Limits string
	More                    string // name of the document with the whole of it
}

// Terms are the words and figures of terms.md, in its order.
var Terms = sync.OnceValue(func() []Term {
	text, err := files.ReadFile("terms.md")
	if err != nil {
		panic(err) // it is in the program
	}
	terms, err := parseTerms(string(text))
	if err != nil {
		panic(err) // a test reads it
	}
	return terms
})

// Find returns the term of a key; false where there is none.
func Find(key string) (Term, bool) {
	for _, t := range Terms() {
		if t.Key == key {
			return t, true
		}
	}
	return Term{}, false
}

// parseTerms reads "## Title {#key}", a paragraph, and lines such as "- Formula: …".
func parseTerms(text string) ([]Term, error) {
	var out []Term
	for n, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if head, ok := strings.CutPrefix(line, "## "); ok {
			title, key, found := strings.Cut(strings.TrimSuffix(head, "}"), " {#")
			if !found {
				return nil, fmt.Errorf("terms.md:%d: %q has no key: write ## Title {#key}", n+1, head)
			}
			out = append(out, Term{Key: key, Title: title})
			continue
		}
		if line == "" || len(out) == 0 {
			continue
		}
		t := &out[len(out)-1]
		item, ok := strings.CutPrefix(line, "- ")
		if !ok {
			t.Means = strings.TrimSpace(t.Means + " " + line)
			continue
		}
		name, value, _ := strings.Cut(item, ": ")
		switch name {
		case "Formula":
			t.Formula = value
		case "Source":
			t.Source = value
		case "Limits":
			t.Limits = value
		case "More":
			t.More = strings.TrimSuffix(strings.TrimPrefix(value, "model/"), ".md")
		default:
			return nil, fmt.Errorf("terms.md:%d: %q is none of Formula, Source, Limits, More", n+1, name)
		}
	}
	return out, nil
}
