package labsheet

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var looking = flag.Bool("look", false, "write what was read beside the sheets as .got.json, for a person to hold against the sheet")

// wanted is what a sheet must come to.
type wanted struct {
	About     string            `json:"about"`
	Kind      Kind              `json:"kind"`
	Measure   Measure           `json:"measure,omitempty"`
	Questions map[string]string `json:"questions,omitempty"` // asked, with the answer a person gives
	Fixed     map[Field]string  `json:"fixed,omitempty"`     // what a person types in for every row
	Refused   string            `json:"refused,omitempty"`
	Rows      []Row             `json:"rows"`
	Problems  []Problem         `json:"problems,omitempty"`
	Notes     []string          `json:"notes,omitempty"` // places
}

func readSheet(t testing.TB, name string) *Book {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "sheets", name))
	if err != nil {
		t.Fatal(err)
	}
	b, err := Read(name, data)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestSheets reads every invented sheet as a person would who answers what is asked, and nothing else.
func TestSheets(t *testing.T) {
	entries, err := os.ReadDir(filepath.Join("testdata", "sheets"))
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".json") {
			continue
		}
		n++
		t.Run(e.Name(), func(t *testing.T) {
			path := filepath.Join("testdata", "sheets", strings.TrimSuffix(e.Name(), filepath.Ext(e.Name()))+".want.json")
			var want wanted
			data, err := os.ReadFile(path)
			if err != nil && !*looking {
				t.Fatal(err)
			}
			if err == nil {
				if err := json.Unmarshal(data, &want); err != nil {
					t.Fatalf("%s: %v", path, err)
				}
			}
			b := readSheet(t, e.Name())
			p := Propose(b, Wish{})
			if err := p.Rule.Check(); err != nil {
				t.Fatalf("the proposed rule is refused: %v", err)
			}
			got := wanted{About: want.About, Kind: p.Rule.Kind, Questions: map[string]string{}}
			r := p.Rule
			for _, q := range Questions(b, r) {
				got.Questions[q.ID] = want.Questions[q.ID]
				if answer := want.Questions[q.ID]; answer != "" {
					if err := r.Answer(q.ID, answer); err != nil {
						t.Error(err)
					}
				}
			}
			r.Fixed, got.Fixed = want.Fixed, want.Fixed
			r = Complete(b, r)
			got.Measure = r.Measure
			table, err := Apply(b, r)
			if err != nil {
				got.Refused = err.Error()
			} else {
				got.Rows, got.Problems = slices.Clone(table.Rows), table.Problems
				for _, n := range table.Notes {
					got.Notes = append(got.Notes, n.Place)
				}
			}
			for i := range got.Rows {
				got.Rows[i].At, got.Rows[i].Given = nil, nil
				if len(got.Rows[i].Text) == 0 {
					got.Rows[i].Text = nil
				}
				if len(got.Rows[i].Number) == 0 {
					got.Rows[i].Number = nil
				}
			}
			if len(got.Questions) == 0 {
				got.Questions = nil
			}
			if *looking {
				out, _ := json.MarshalIndent(got, "", " ")
				os.WriteFile(strings.TrimSuffix(path, ".want.json")+".got.json", out, 0o600)
				t.Logf("%s\n%s", strings.Join(p.Reasons, "\n"), p.Rule.Bytes())
				return
			}
			if d := cmp.Diff(want, got); d != "" {
				t.Errorf("%s (-want +got)\n%s\nreasons: %s", want.About, d, strings.Join(p.Reasons, "\n"))
			}
			if table == nil {
				return
			}
			again, err := ParseRule(r.Bytes())
			if err != nil {
				t.Fatalf("the rule does not come back from its text: %v", err)
			}
			if s, ok := Recognise(b, []Saved{{"other", Rule{Kind: Results, Head: 1, Columns: []Column{{At: 1, Heading: "no such heading", Field: FieldOM}}}}, {"this", again}}); ok != (r.Fingerprint() != "") || ok && s.Name != "this" {
				t.Errorf("the saved rule is not recognised: %q, %v", s.Name, ok)
			}
			second, err := Apply(b, again)
			if err != nil {
				t.Fatalf("the saved rule is refused: %v", err)
			}
			if d := cmp.Diff(table.Rows, second.Rows); d != "" {
				t.Errorf("the saved rule reads otherwise\n%s", d)
			}
		})
	}
	if n < 24 {
		t.Errorf("%d sheets: at least 24 are kept here", n)
	}
}
