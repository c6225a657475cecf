// Package ical writes calendar files of all-day events (iCalendar, RFC 5545) that calendars of phones and desks read.
package ical

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// Event lasts a whole day.
type Event struct {
	UID         string    // of this event for ever: the same event written later carries the same
	Day         time.Time // its date is taken, in its own zone
	Summary     string
	Description string // lines are parted by "\n"
	Categories  []string
}

// Calendar is a file.
type Calendar struct {
	Product string    // who made it
	Name    string    // shown by calendars that know X-WR-CALNAME
	Stamp   time.Time // when it was made
	Events  []Event
}

// Write writes the calendar: lines end in CRLF and are folded after 75 octets, never inside a letter; text is escaped
// (RFC 5545, 3.1 and 3.3.11).
func (c *Calendar) Write(w io.Writer) error {
	out := bufio.NewWriter(w)
	line := func(name, value string) { fold(out, name+":"+value) }
	line("BEGIN", "VCALENDAR")
	line("VERSION", "2.0")
	line("PRODID", escape(c.Product))
	line("CALSCALE", "GREGORIAN")
	line("METHOD", "PUBLISH")
	if c.Name != "" {
		line("X-WR-CALNAME", escape(c.Name))
	}
	stamp := c.Stamp.UTC().Format("20060102T150405Z")
	for _, e := range c.Events {
		line("BEGIN", "VEVENT")
		line("UID", escape(e.UID))
		line("DTSTAMP", stamp)
		line("DTSTART;VALUE=DATE", e.Day.Format("20060102"))
		line("DTEND;VALUE=DATE", e.Day.AddDate(0, 0, 1).Format("20060102")) // the end is not part of it
		line("SUMMARY", escape(e.Summary))
		if e.Description != "" {
			line("DESCRIPTION", escape(e.Description))
		}
		if len(e.Categories) > 0 {
			list := make([]string, len(e.Categories))
			for i, x := range e.Categories {
				list[i] = escape(x)
			}
			line("CATEGORIES", strings.Join(list, ","))
		}
		line("TRANSP", "TRANSPARENT")
		line("END", "VEVENT")
	}
	line("END", "VCALENDAR")
	if err := out.Flush(); err != nil {
		return fmt.Errorf("writing the calendar: %w", err)
	}
	return nil
}

// escape writes a text value: backslash, semicolon, comma and line break are escaped, other control characters left out.
func escape(s string) string {
	var b strings.Builder
	for _, r := range strings.ReplaceAll(s, "\r\n", "\n") {
		switch {
		case r == '\\' || r == ';' || r == ',':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r < 0x20 && r != '\t' || r == 0x7f:
		default:
			b.WriteRune(r) // what is not UTF-8 becomes U+FFFD
		}
	}
	return b.String()
}

// longest is how many octets a line holds without its end (RFC 5545, 3.1).
const longest = 75

// fold writes a line, broken with CRLF and a space where it is too long.
func fold(out *bufio.Writer, line string) {
	room := longest
	for len(line) > room {
		cut := room
		for !utf8.RuneStart(line[cut]) {
			cut--
		}
		out.WriteString(line[:cut] + "\r\n ")
		line, room = line[cut:], longest-1
	}
	out.WriteString(line + "\r\n")
}
