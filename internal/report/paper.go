package report

import (
	"fmt"
	"strings"
)

// Paper is the size of paper a report is set for. The layout fits both: it is 174 mm wide.
type Paper string

// Papers.
const (
	Auto   Paper = ""       // whatever the printer holds
	A4     Paper = "A4"     // 210 × 297 mm
	Letter Paper = "letter" // 215.9 × 279.4 mm
)

// rules are the page rules of a report: size, margins, running head and foot. The first page carries its own head.
func (m Model) rules(page Paper) string {
	size := string(page)
	if page == Auto {
		size = "auto"
	}
	across := "18mm"
	if page == Letter {
		across = "20.95mm" // (215.9 − 174)/2
	}
	font := `font:400 8.6pt/1.3 "Atkinson Hyperlegible Next","Atkinson Hyperlegible",Verdana,sans-serif;color:#3F4E49`
	return fmt.Sprintf(`@page{size:%s;margin:19mm %s 18mm;
@top-left{content:%s;%s;font-weight:650;color:#13211D;vertical-align:bottom;padding-bottom:2.2mm;margin-bottom:4.5mm;border-bottom:1.5pt solid #13211D;width:40%%}
@top-right{content:%s;%s;vertical-align:bottom;text-align:right;padding-bottom:2.2mm;margin-bottom:4.5mm;border-bottom:1.5pt solid #13211D;width:60%%}
@bottom-left{content:%s;%s;vertical-align:top;padding-top:2mm;margin-top:4mm;border-top:.75pt solid #CDD6D2;width:80%%}
@bottom-right{content:counter(page) " of " counter(pages);%s;vertical-align:top;text-align:right;padding-top:2mm;margin-top:4mm;border-top:.75pt solid #CDD6D2;width:20%%}}
@page:first{margin-top:13mm;@top-left{content:none;border:0}@top-right{content:none;border:0}}
`, size, across, quoted(m.Course), font, quoted(m.Subject), font, quoted(m.Prepared), font, font)
}

// quoted writes words as a CSS string. Everything but letters, digits and a few plain signs is escaped by its code
// point, so that no words can end the string, the rule or the style element they stand in.
func quoted(words string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range words {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == ' ', r == ',', r == '.':
			b.WriteRune(r)
		case r == 0 || r == '\uFFFD':
			b.WriteString(`\fffd `)
		default:
			fmt.Fprintf(&b, `\%x `, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
