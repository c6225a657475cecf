package exchange

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"
)

// badJSON is what is wrong with a JSON text, and on which line.
type badJSON struct {
	line int
	text string
}

func (b *badJSON) Error() string { return fmt.Sprintf("line %d: %s", b.line, b.text) }

// eachFeature calls f with every feature of a FeatureCollection and the line it starts on, and returns the names of
// the collection's other members. What is wrong with the text comes back as a *badJSON.
func eachFeature(text []byte, f func(n, line int, raw []byte) error) (others []string, err error) {
	d := json.NewDecoder(bytes.NewReader(text))
	lines := lineCounter{text: text}
	bad := func(format string, args ...any) error {
		return &badJSON{lines.at(d.InputOffset()), fmt.Sprintf(format, args...)}
	}
	if token, err := d.Token(); err != nil || token != json.Delim('{') {
		return nil, bad("is not a GeoJSON object: a FeatureCollection is expected")
	}
	kind, found := "", false
	for d.More() {
		name, err := d.Token()
		if err != nil {
			return nil, bad("is not JSON: %s", plainJSON(err))
		}
		switch name {
		case "type":
			err = d.Decode(&kind)
		case "features":
			found = true
			if err = features(d, &lines, f, bad); err != nil {
				return nil, err
			}
		default:
			others = append(others, fmt.Sprint(name))
			var skipped json.RawMessage
			err = d.Decode(&skipped)
		}
		if err != nil {
			return nil, bad("is not JSON: %s", plainJSON(err))
		}
	}
	if _, err := d.Token(); err != nil {
		return nil, bad("is not JSON: %s", plainJSON(err))
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, bad("has more after the end of the collection")
	}
	if kind != "FeatureCollection" || !found {
		return nil, &badJSON{1, fmt.Sprintf("type is %q: a FeatureCollection with features is expected", shorten(kind))}
	}
	return others, nil
}

func features(d *json.Decoder, lines *lineCounter, f func(n, line int, raw []byte) error, bad func(string, ...any) error) error {
	if token, err := d.Token(); err != nil || token != json.Delim('[') {
		return bad("features is not a list")
	}
	for n := 0; d.More(); n++ {
		line := lines.start(d.InputOffset())
		var raw json.RawMessage
		if err := d.Decode(&raw); err != nil {
			return bad("is not JSON: %s", plainJSON(err))
		}
		if err := f(n, line, raw); err != nil {
			return err
		}
	}
	if _, err := d.Token(); err != nil {
		return bad("is not JSON: %s", plainJSON(err))
	}
	return nil
}

func plainJSON(err error) string {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return "it ends too early"
	}
	return err.Error()
}

// lineCounter turns rising offsets into line numbers.
type lineCounter struct {
	text    []byte
	counted int64
	lines   int
}

func (l *lineCounter) at(offset int64) int {
	if offset < l.counted || offset > int64(len(l.text)) {
		return 1 + l.lines
	}
	l.lines += bytes.Count(l.text[l.counted:offset], []byte("\n"))
	l.counted = offset
	return 1 + l.lines
}

// start returns the line of the value that follows the offset, after spaces and a comma.
func (l *lineCounter) start(offset int64) int {
	for offset < int64(len(l.text)) && bytes.IndexByte([]byte(" \t\r\n,:"), l.text[offset]) >= 0 {
		offset++
	}
	return l.at(offset)
}

// notUTF8 says where a text stops being UTF-8; empty when it never does.
func notUTF8(text []byte) string {
	for i := 0; i < len(text); {
		if text[i] < utf8.RuneSelf {
			i++
			continue
		}
		c, n := utf8.DecodeRune(text[i:])
		if c == utf8.RuneError && n == 1 {
			return fmt.Sprintf("is not UTF-8 on line %d: save the file as UTF-8", 1+bytes.Count(text[:i], []byte("\n")))
		}
		i += n
	}
	return ""
}
