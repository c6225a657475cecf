package web

import (
	"bytes"
	"compress/zlib"
	"io"
	"strings"
	"testing"
	"unicode/utf16"
)

// pdfWords reads the words of a PDF of a report, in the order they are set in: those of its pages, which stand in UTF-16
// before the operator that shows them.
func pdfWords(t *testing.T, file []byte) string {
	t.Helper()
	var out strings.Builder
	for _, part := range bytes.Split(file, []byte("stream\n"))[1:] {
		z, err := zlib.NewReader(bytes.NewReader(part))
		if err != nil {
			continue // what lies between two streams
		}
		text, err := io.ReadAll(z)
		if err != nil || !bytes.Contains(text, []byte(" Tj ET")) {
			continue
		}
		for {
			at := bytes.Index(text, []byte(" Td ("))
			if at < 0 {
				break
			}
			var words []byte
			if words, text = pdfString(text[at+5:]); bytes.HasPrefix(text, []byte(" Tj")) {
				units := make([]uint16, len(words)/2)
				for i := range units {
					units[i] = uint16(words[2*i])<<8 | uint16(words[2*i+1])
				}
				out.WriteString(string(utf16.Decode(units)) + " ")
			}
		}
	}
	return strings.Join(strings.Fields(out.String()), " ")
}

// pdfString reads a string of PDF up to its bracket, and gives what stands behind.
func pdfString(text []byte) (words, rest []byte) {
	for i := 0; i < len(text); i++ {
		switch text[i] {
		case ')':
			return words, text[i+1:]
		case '\\':
			i++
			if c := map[byte]byte{'r': '\r', 'n': '\n'}[text[i]]; c != 0 {
				words = append(words, c)
				continue
			}
		}
		words = append(words, text[i])
	}
	return words, nil
}
