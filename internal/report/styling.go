package report

import (
	"embed"
	"encoding/base64"
	"strings"

	"underfoot/internal/figure"
)

//go:embed report.css
var styles string

//go:embed fonts/*.woff2
var fonts embed.FS

// Styling is where the look of a report comes from.
type Styling struct {
	links []string
	at    string // address of the logo, where it is not put into the page
	bar   []Link // above the report, on the screen only
}

// Link leads from a report shown on a site to somewhere else.
type Link struct {
	Text, Href string
	Here       bool // it is what is shown
	Press      bool // it stands out
}

// With puts links above the report, which are not printed.
func (s Styling) With(links ...Link) Styling {
	s.bar = links
	return s
}

// LogoAt says where the logo lies on a site that forbids pictures in the page; without it such a page shows none.
func (s Styling) LogoAt(href string) Styling {
	s.at = href
	return s
}

// logo is the address of a report's logo; empty for none.
func (s Styling) logo(m Model) string {
	switch {
	case len(m.Logo) == 0:
		return ""
	case len(s.links) == 0:
		return m.logoAddress()
	}
	return s.at
}

// Embedded puts styles and fonts into the file, which then needs nothing else.
func Embedded() Styling { return Styling{} }

// Linked leaves styles out and links to style sheets instead; one of them is that of [Model.Stylesheet].
func Linked(hrefs ...string) Styling { return Styling{links: hrefs} }

// Font files, by their names in this package.
const (
	SerifFont = "source-serif-4-latin-opsz-normal.woff2"
	SansFont  = "atkinson-hyperlegible-next-latin-wght-normal.woff2"
)

// Stylesheet is the style sheet of a report for a size of paper, with the addresses of its two font files.
func (m Model) Stylesheet(page Paper, serif, sans string) string {
	return face("Source Serif 4", "200 900", serif) + face("Atkinson Hyperlegible Next", "200 800", sans) +
		m.rules(page) + figure.Stylesheet() + styles
}

// face declares a font.
func face(family, weights, address string) string {
	return `@font-face{font-family:"` + family + `";src:url("` + address + `") format("woff2");font-weight:` + weights +
		";font-style:normal;font-display:swap}\n"
}

// embedded is the style element of a file that needs nothing else. What it holds was written here, or escaped.
func (m Model) embedded(page Paper) string {
	return "<style>\n" + m.Stylesheet(page, FontAddress(SerifFont), FontAddress(SansFont)) + "</style>"
}

// FontAddress is a font file as an address that holds it.
func FontAddress(name string) string {
	file, err := fonts.ReadFile("fonts/" + name)
	if err != nil {
		return "" // an embedded file is there; without it the page falls back to the next family
	}
	var b strings.Builder
	b.WriteString("data:font/woff2;base64,")
	b.WriteString(base64.StdEncoding.EncodeToString(file))
	return b.String()
}
