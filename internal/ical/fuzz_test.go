package ical

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

// Whatever is written, a reader that unfolds the lines and takes the escapes out finds the same text and no other line.
func FuzzWrite(f *testing.F) {
	f.Add("Topdress 0.6 mm", "a,b;c\\d\nsecond line", "id@x", int64(1800000000))
	f.Add("\r\nBEGIN:VEVENT", "x\rEND:VCALENDAR", "", int64(0))
	f.Add(strings.Repeat("–", 60), "\xff\x00\x7f", ":;,", int64(-62135596800))
	f.Add("\u2028\u0085\u200b", "\t tab", "a b", int64(253402300799))
	f.Fuzz(func(t *testing.T, summary, description, uid string, at int64) {
		day := time.Unix(at%253402300800, 0).UTC()
		if day.Year() < 0 {
			return
		}
		c := Calendar{Product: "x", Name: summary, Stamp: day, Events: []Event{{UID: uid, Day: day, Summary: summary, Description: description, Categories: []string{summary, uid}}}}
		var b strings.Builder
		if err := c.Write(&b); err != nil {
			t.Fatal(err)
		}
		text := b.String()
		if !utf8.ValidString(text) {
			t.Fatalf("%q is not UTF-8", text)
		}
		lines := strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n")
		for _, line := range lines {
			if len(line) > longest || strings.ContainsAny(line, "\r\n\x00") || !utf8.ValidString(line) {
				t.Fatalf("line %q", line)
			}
		}
		got := map[string]string{}
		for _, line := range strings.Split(strings.ReplaceAll(strings.Join(lines, "\r\n"), "\r\n ", ""), "\r\n") {
			name, value, found := strings.Cut(line, ":")
			if !found {
				t.Fatalf("line %q has no name", line)
			}
			if _, twice := got[name]; twice && name != "BEGIN" && name != "END" {
				t.Fatalf("two lines %s", name)
			}
			got[name] = value
		}
		for name, want := range map[string]string{"SUMMARY": summary, "DESCRIPTION": description, "UID": uid} {
			if is := unescape(got[name]); is != plain(want) {
				t.Fatalf("%s %q came back as %q", name, plain(want), is)
			}
		}
		if got["DTSTART;VALUE=DATE"] != day.Format("20060102") {
			t.Fatalf("day %s came back as %s", day, got["DTSTART;VALUE=DATE"])
		}
	})
}

// plain is a text as a calendar can carry it.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if r < 0x20 && r != '\t' && r != '\n' || r == 0x7f {
			return -1
		}
		return r
	}, strings.ReplaceAll(s, "\r\n", "\n"))
}

func unescape(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' && i+1 < len(s) {
			i++
			if s[i] == 'n' {
				b.WriteByte('\n')
				continue
			}
		}
		b.WriteByte(s[i])
	}
	return b.String()
}
