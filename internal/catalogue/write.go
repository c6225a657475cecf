package catalogue

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"underfoot/season"
)

// head explains the file in itself.
const head = `# Operations that a season plan may use, one [[operation]] each. Change, add or leave out any of them and give the file
# to "underfoot season … --operations FILE". Money is in the currency of the sand's price. A key that may be left out is 0
# then, unless it says otherwise:
#
`

// Write writes a catalogue so that [Read] gives it back.
func Write(w io.Writer, list []season.Operation) error {
	var b bytes.Buffer
	b.WriteString(head)
	all := keys()
	for _, k := range all {
		about := k.about
		if k.kinds != nil {
			about += "; of " + strings.Join(texts(k.kinds), ", ") + " only"
		}
		if !k.need {
			about += "; may be left out"
		}
		fmt.Fprintf(&b, "#   %-19s %s; %s\n", k.name, about, k.allowed())
	}
	for i := range list {
		o := &list[i]
		b.WriteString("\n[[operation]]\n")
		for _, k := range all {
			if !k.has(o.Kind) {
				continue
			}
			text := k.write(o)
			if k.text != nil && text != "" {
				text = quoted(text)
			}
			if text != "" {
				fmt.Fprintf(&b, "%s = %s\n", k.name, text)
			}
		}
	}
	_, err := w.Write(b.Bytes())
	return err
}

// quoted writes a TOML basic string.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < 0x20 || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
