package labsheet

import (
	"testing"
	"time"
)

func TestReadDay(t *testing.T) {
	for _, tt := range []struct {
		text  string
		order Order
		want  string
		says  string
	}{
		{"2026-10-08", "", "2026-10-08", ""},
		{"2026/10/8", "mdy", "2026-10-08", ""},
		{"20261008", "dmy", "2026-10-08", ""},
		{"08.10.2026", "dmy", "2026-10-08", ""},
		{"10/08/2026", "mdy", "2026-10-08", ""},
		{"10/08/2026", "", "", `"10/08/2026" can be read as 2026-08-10 or as 2026-10-08: say which`},
		{"14/10/2026", "", "2026-10-14", ""},
		{"5/5/2026", "", "2026-05-05", ""},
		{"8 Oct 2026", "mdy", "2026-10-08", ""},
		{"Oct 8th, 2026", "", "2026-10-08", ""},
		{"Do, 8. Oktober 2026", "", "2026-10-08", ""},
		{"8. des. 26", "", "2026-12-08", ""},
		{"3 März 2026", "", "2026-03-03", ""},
		{"2026-10-08T14:30:00Z", "", "2026-10-08", ""},
		{"8.10.2026 14:30", "dmy", "2026-10-08", ""},
		{"08-10-99", "dmy", "1999-10-08", ""},
		{"30/02/2026", "", "", `"30/02/2026" is not a date: write it as 2026-10-08 (year-month-day)`},
		{"14/10/2026", "mdy", "", `"14/10/2026" is no date in the order month, day, year`},
		{"last week", "", "", `"last week" is not a date: write it as 2026-10-08 (year-month-day)`},
		{"8 Oct 1026", "", "", `"8 Oct 1026" is not a date: write it as 2026-10-08 (year-month-day)`},
	} {
		got, err := ReadDay(tt.text, tt.order)
		said := ""
		if err != nil {
			said = err.Error()
		}
		if got != tt.want || said != tt.says {
			t.Errorf("%q in order %q: %q, %q; want %q, %q", tt.text, tt.order, got, said, tt.want, tt.says)
		}
	}
}

func FuzzReadDay(f *testing.F) {
	for _, s := range []string{"2026-10-08", "08.10.26", "10/8/2026 2:30 PM", "Thu 8 Oct 2026", "Oktober 8 2026", "20261008", "31 Feb 2026", "1/1/1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, o := range []Order{"", DayFirst, MonthFirst, YearFirst} {
			day, err := ReadDay(s, o)
			if err != nil {
				continue
			}
			if d, err := time.Parse("2006-01-02", day); err != nil || d.Year() < firstYear || d.Year() > lastYear {
				t.Errorf("%q in order %q came to %q", s, o, day)
			}
			if again, err := ReadDay(day, o); err != nil || again != day {
				t.Errorf("%q does not read as itself: %q, %v", day, again, err)
			}
		}
	})
}
