package ical_test

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"
	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"underfoot/internal/ical"
)

var stamp = time.Date(2026, time.November, 25, 17, 30, 0, 0, time.FixedZone("", 3600))

func written(t interface{ Fatal(...any) }, c *ical.Calendar) string {
	var b bytes.Buffer
	if err := c.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// The form of RFC 5545 to the letter: order of lines, all-day dates with the end on the day after, escapes, folds.
func TestLetterByLetter(t *testing.T) {
	c := ical.Calendar{Product: "-//Underfoot//Season plan//EN", Name: "Season, course C", Stamp: stamp, Events: []ical.Event{{
		UID: "1@underfoot", Day: time.Date(2027, time.December, 31, 0, 0, 0, 0, time.UTC), Summary: "Topdressing 0.5 mm; 3.2 t",
		Description: "Green 1: 390 kg\nGreen 2: 312 kg, damp, and so on until the line is too long for one – 75 octets", Categories: []string{"sand", "a,b"},
	}}}
	want := strings.Join([]string{
		"BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Underfoot//Season plan//EN", "CALSCALE:GREGORIAN", "METHOD:PUBLISH", `X-WR-CALNAME:Season\, course C`,
		"BEGIN:VEVENT", "UID:1@underfoot", "DTSTAMP:20261125T163000Z", "DTSTART;VALUE=DATE:20271231", "DTEND;VALUE=DATE:20280101",
		`SUMMARY:Topdressing 0.5 mm\; 3.2 t`,
		`DESCRIPTION:Green 1: 390 kg\nGreen 2: 312 kg\, damp\, and so on until the l`,
		` ine is too long for one – 75 octets`,
		`CATEGORIES:sand,a\,b`, "TRANSP:TRANSPARENT", "END:VEVENT", "END:VCALENDAR", "",
	}, "\r\n")
	if d := cmp.Diff(want, written(t, &c)); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

// Any calendar is read back whole by a reader that others wrote, and keeps to the limits of lines.
func TestReadBackByAnother(t *testing.T) {
	text := rapid.StringMatching(`[A-Za-z0-9 ,;:\\"'äß–日🌱\n]{0,200}`)
	rapid.Check(t, func(t *rapid.T) {
		c := ical.Calendar{Product: "p", Name: rapid.StringMatching(`[A-Z][a-z,;]{0,120}`).Draw(t, "name"), Stamp: stamp}
		n := rapid.IntRange(0, 4).Draw(t, "events")
		for i := range n {
			c.Events = append(c.Events, ical.Event{
				UID: string(rune('a'+i)) + "@underfoot", Day: time.Unix(86400*rapid.Int64Range(0, 40000).Draw(t, "day"), 0).UTC(),
				Summary: "S" + text.Draw(t, "summary"), Description: "D" + text.Draw(t, "description") + "x",
			})
		}
		out := written(t, &c)
		for _, line := range strings.SplitAfter(strings.TrimSuffix(out, "\r\n"), "\r\n") {
			line = strings.TrimSuffix(line, "\r\n")
			if len(line) > 75 || !utf8.ValidString(line) || strings.ContainsAny(line, "\r\n") {
				t.Fatalf("line %q", line)
			}
		}
		got, err := ics.ParseCalendar(strings.NewReader(out))
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		if len(got.Events()) != n {
			t.Fatalf("%d events, want %d", len(got.Events()), n)
		}
		for i, e := range got.Events() {
			want := c.Events[i]
			start, err := e.GetAllDayStartAt()
			if err != nil {
				t.Fatal(err)
			}
			end, err := e.GetAllDayEndAt()
			if err != nil {
				t.Fatal(err)
			}
			day := want.Day.Format("20060102")
			if start.Format("20060102") != day || end.Format("20060102") != want.Day.AddDate(0, 0, 1).Format("20060102") {
				t.Fatalf("%s to %s, want %s", start, end, day)
			}
			made, err := e.GetDtStampTime()
			if err != nil || !made.Equal(stamp) {
				t.Fatalf("stamp %s, %v", made, err)
			}
			for p, text := range map[ics.ComponentProperty]string{ics.ComponentPropertyUniqueId: want.UID, ics.ComponentPropertySummary: want.Summary, ics.ComponentPropertyDescription: want.Description} {
				if got := e.GetProperty(p).Value; got != text {
					t.Fatalf("%s is %q, want %q", p, got, text)
				}
			}
		}
	})
}

// What cannot stand in a calendar does not get into it.
func TestControlCharacters(t *testing.T) {
	c := ical.Calendar{Product: "p", Stamp: stamp, Events: []ical.Event{{UID: "u", Summary: "a\x00b\rc\xffd\r\nEND:VCALENDAR"}}}
	if out := written(t, &c); !strings.Contains(out, "SUMMARY:abc\ufffdd\\nEND:VCALENDAR\r\n") {
		t.Error(out)
	}
}

func Example() {
	c := ical.Calendar{Product: "-//Underfoot//EN", Stamp: stamp, Events: []ical.Event{{UID: "1@underfoot", Day: stamp, Summary: "Topdressing 0.5 mm, 3.2 t"}}}
	c.Write(os.Stdout)
}
