package say

import "testing"

func TestPhrasebook(t *testing.T) {
	// a few phrases in German, invented for the test
	b := newPhrasebook(map[string]string{
		"%d greens need %s":                "%d Grüns brauchen %s",
		"sand":                             "Sand",
		"no sand":                          "keinen Sand",
		"%s says nothing here: %s.":        "Hier sagt %[1]s nichts: %[2]s.",
		"the balance":                      "die Bilanz",
		"one round is too few":             "eine Runde ist zu wenig",
		"%s of %s":                         "%[2]s-%[1]s",
		"It rises from %s to %s %%.":       "Es steigt von %s auf %s %%.",
		"organic matter":                   "organische Substanz",
		"green %q is not on this course":   "Grün %q gibt es auf diesem Platz nicht",
		"October":                          "Oktober",
		"Nothing waits for you.":           "",
		"%d courses are stopped; %d wait.": "%d Plätze stehen still; %d warten.",
		"One round says nothing.":          "Eine Runde sagt nichts.",
		"readings %s":                      "Messwerte %s",
		"of %s":                            "von %s",
		"share of the sand, %%":            "Anteil des Sandes, %%",
	})
	tests := []struct{ name, words, want string }{
		{"a text", "organic matter", "organische Substanz"},
		{"at the head of a sentence", "Organic matter", "Organische Substanz"},
		{"what is put in is said too", "9 greens need no sand", "9 Grüns brauchen keinen Sand"},
		{"in another order", "The balance says nothing here: one round is too few.", "Hier sagt Die Bilanz nichts: eine Runde ist zu wenig."},
		{"a share", "It rises from 4.1 to 5.0 %.", "Es steigt von 4.1 auf 5.0 %."},
		{"a number and its unit stay together", "It rises from 4.1 to 5.0\u00a0%.", "Es steigt von 4.1 auf 5.0\u00a0%."},
		{"two sentences", "It rises from 4.1 to 5.0 %. 9 greens need sand", "Es steigt von 4.1 auf 5.0 %. 9 Grüns brauchen Sand"},
		{"a name in quotes", `green "sand" is not on this course`, `Grün "sand" gibt es auf diesem Platz nicht`},
		{"a date", "8 October 2026", "8 Oktober 2026"},
		{"among words that are not known", "some greens need sand", "some Grüns brauchen sand"},
		{"without one in the language", "Nothing waits for you.", "Nothing waits for you."},
		{"part of unknown words", "Xyz: organic matter, 4 mm", "Xyz: organische Substanz, 4 mm"},
		{"not in the middle of a word", "thousandsand", "thousandsand"},
		{"a sentence as a title", "One round says nothing – sand", "Eine Runde sagt nichts – Sand"},
		{"space around", " sand ", " Sand "},
		{"numbers alone", "12.4 (3 – 5)", "12.4 (3 – 5)"},
		{"a share in a text", "share of the sand, %", "Anteil des Sandes, %"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for range 2 { // the second time from memory
				if got := b.text(tt.words); got != tt.want {
					t.Errorf("got  %s\nwant %s", got, tt.want)
				}
			}
		})
	}
}

func TestParsePhrase(t *testing.T) {
	p := parsePhrase("%[2]s of %.1f %% and %[1]d, 100 %")
	want := []string{"", " of ", " % and ", ", 100 %"}
	if len(p.pieces) != len(want) {
		t.Fatalf("pieces %q", p.pieces)
	}
	for i := range want {
		if p.pieces[i] != want[i] {
			t.Errorf("piece %d is %q, not %q", i, p.pieces[i], want[i])
		}
	}
	for i, v := range []verb{{'s', 1}, {'f', 2}, {'d', 0}} {
		if p.verbs[i] != v {
			t.Errorf("verb %d is %v, not %v", i, p.verbs[i], v)
		}
	}
}
