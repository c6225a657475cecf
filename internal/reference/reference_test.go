package reference

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const good = `{"id":"a","what":"one","source":{"kind":"closed-form","citation":"1+1","locator":"arithmetic"},` +
	`"input":{"x":1},"want":{"y":2},"tol":{"rel":1e-5,"why":"printed to 6 digits"}}`

func TestReadRefusesWhatCannotBeTrusted(t *testing.T) {
	for _, tc := range []struct{ name, in, want string }{
		{"good", "[" + good + "]", ""},
		{"not a list", good, "reading reference cases: json: cannot unmarshal object into Go value of type []reference.Case"},
		{"empty", "[]", "reading reference cases: the list is empty"},
		{"text after", "[" + good + "] x", "reading reference cases: more text after the list"},
		{"twice", "[" + good + "," + good + "]", `reference case 2 ("a"): id used twice`},
		{"unknown field", "[" + strings.Replace(good, `"what"`, `"waht"`, 1) + "]", `reading reference cases: json: unknown field "waht"`},
		{
			"no source", "[" + strings.Replace(good, `"1+1"`, `" "`, 1) + "]",
			`reference case 1 ("a"): no source: cite the publication, program or closed form the value comes from`,
		},
		{
			"no locator", "[" + strings.Replace(good, `"arithmetic"`, `""`, 1) + "]",
			`reference case 1 ("a"): no locator: give the page, section, equation, table or script`,
		},
		{
			"unknown kind", "[" + strings.Replace(good, `closed-form`, `hearsay`, 1) + "]",
			`reference case 1 ("a"): source kind "hearsay": use literature, software, closed-form or measurement`,
		},
		{
			"tolerance without reason", "[" + strings.Replace(good, `,"why":"printed to 6 digits"`, ``, 1) + "]",
			`reference case 1 ("a"): a tolerance without a reason: say why the answer may stand that far off`,
		},
		{
			"negative tolerance", "[" + strings.Replace(good, `1e-5`, `-1`, 1) + "]",
			`reference case 1 ("a"): tolerance -1: give a number of zero or more`,
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := ""
			if _, err := Read(strings.NewReader(tc.in)); err != nil {
				got = err.Error()
			}
			if diff := cmp.Diff(tc.want, got); diff != "" {
				t.Errorf("error (-want +got):\n%s", diff)
			}
		})
	}
}

func TestToleranceHolds(t *testing.T) {
	for _, tc := range []struct {
		name      string
		tol       Tolerance
		got, want float64
		holds     bool
	}{
		{"exact", Tolerance{}, 2, 2, true},
		{"exact, off by little", Tolerance{}, 2.0000001, 2, false},
		{"relative inside", Tolerance{Rel: 0.01}, 101, 100, true},
		{"relative outside", Tolerance{Rel: 0.01}, 101.1, 100, false},
		{"absolute rules near zero", Tolerance{Rel: 0.01, Abs: 0.1}, 0.05, 0, true},
		{"nan", Tolerance{Rel: 1, Abs: 1}, math.NaN(), 1, false},
		{"infinite", Tolerance{Rel: 0.1}, math.Inf(1), 1, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := tc.tol.holds(tc.got, tc.want); got != tc.holds {
				t.Errorf("holds(%g, %g) = %t, want %t", tc.got, tc.want, got, tc.holds)
			}
		})
	}
}
