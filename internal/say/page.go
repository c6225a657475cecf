package say

import (
	"bytes"
	"fmt"
	"html"
	"io"
	"regexp"
	"slices"
	"strings"

	xhtml "golang.org/x/net/html"
)

// Page says a finished page of HTML in the person's units and order of dates: its words, the labels that are read out, the
// bare numbers of columns whose head names a unit, and the numbers in fields that name theirs in data-unit. A reader of
// metric units and dates day first gets the page byte for byte as it was.
//
// What people typed – names, notes – stands in elements marked translate="no" and stays. In elements marked
// data-units="laboratory" only ranges of depth change, but all in a part of it with data-units="field".
func (s Style) Page(body []byte) []byte {
	if s.Plain() {
		return body
	}
	p := pageSayer{style: s, out: bytes.NewBuffer(make([]byte, 0, len(body)+len(body)/16))}
	z := xhtml.NewTokenizer(bytes.NewReader(body))
	for {
		kind := z.Next()
		if kind == xhtml.ErrorToken {
			if z.Err() != io.EOF {
				return body // not HTML as we write it: better in metric units than cut short
			}
			return p.out.Bytes()
		}
		raw := bytes.Clone(z.Raw())
		switch kind {
		case xhtml.TextToken:
			if p.now().name == "noscript" { // its markup comes as one text
				raw = s.Page(raw)
				p.out.Write(raw)
				continue
			}
			p.text(string(raw))
		case xhtml.StartTagToken, xhtml.SelfClosingTagToken:
			p.start(z.Token(), raw, kind == xhtml.SelfClosingTagToken)
		case xhtml.EndTagToken:
			name, _ := z.TagName()
			p.end(string(name))
			p.out.Write(raw)
		default:
			p.out.Write(raw)
		}
	}
}

// element is one that is open, with what it asks for.
type element struct {
	name       string
	keep       bool // nothing in it changes
	laboratory bool
	drawing    bool
	foreign    bool // in a language of its own
}

// table is what the head of a table says of its columns.
type table struct {
	units  []string // metric units of the columns
	all    string   // metric unit that the caption gives to the columns after the first
	shares bool     // the caption names shares too: columns of layers hold those
	row    string   // metric unit that the head of the row names
	column int      // of the cell that is open
	wide   int
	head   bool // the cell that is open is a head
}

// pageSayer is a page being said.
type pageSayer struct {
	style Style
	out   *bytes.Buffer
	open  []element
	table []table
	held  string // a bare number that may have its unit in the next words; it ends the output at mark
	mark  int
	echo  string // metric unit of the number before, for words that say a range of it
	field int    // where the output stood behind the last field in the person's unit
}

var void = []string{"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}

var bareNumber = regexp.MustCompile(`^\s*` + series + `(?: \(` + series + `\))?\s*$`)

func (p *pageSayer) now() element {
	if len(p.open) == 0 {
		return element{}
	}
	return p.open[len(p.open)-1]
}

func (p *pageSayer) start(t xhtml.Token, raw []byte, closed bool) {
	e := p.now()
	e.name = t.Data
	switch t.Data {
	case "script", "style", "textarea", "pre", "code":
		e.keep = true
	case "svg":
		e.drawing = true
	case "table":
		p.table = append(p.table, table{column: -1})
	case "tr":
		if n := len(p.table); n > 0 {
			p.table[n-1].column, p.table[n-1].wide, p.table[n-1].row = 0, 0, ""
		}
	case "th", "td":
		if n := len(p.table); n > 0 {
			x := &p.table[n-1]
			x.column += x.wide
			x.wide = 1
			fmt.Sscan(attribute(t, "colspan"), &x.wide)
			x.head = t.Data == "th" && attribute(t, "scope") != "row"
		}
	}
	if attribute(t, "translate") == "no" {
		e.keep = true
	}
	switch attribute(t, "data-units") {
	case "laboratory":
		e.laboratory = true
	case "field":
		e.laboratory = false
	}
	if tag := attribute(t, "lang"); tag != "" {
		e.foreign = tag != p.style.Lang()
	}
	p.out.Write(p.tag(t, raw, e))
	if !closed && !slices.Contains(void, t.Data) {
		p.open = append(p.open, e)
	}
}

func (p *pageSayer) end(name string) {
	for i := len(p.open) - 1; i >= 0; i-- {
		if p.open[i].name == name {
			p.open = p.open[:i]
			break
		}
	}
	if name == "table" && len(p.table) > 0 {
		p.table = p.table[:len(p.table)-1]
	}
}

// tag writes an opening tag with its labels said, and a number field in the person's unit.
func (p *pageSayer) tag(t xhtml.Token, raw []byte, e element) []byte {
	if e.keep {
		return raw
	}
	out := string(raw)
	for _, a := range t.Attr {
		switch a.Key {
		case "aria-label", "title", "alt", "placeholder", "data-label":
			said := p.style.inUnits(a.Val, e.laboratory)
			if metric := attribute(t, "data-unit"); metric != "" && !e.laboratory {
				said, _ = p.style.head(a.Val)
			}
			if !e.foreign {
				said = p.style.spoken(said)
			}
			out = replaceValue(out, a.Key, a.Val, said)
		}
	}
	metric := attribute(t, "data-unit")
	if t.Data != "input" || metric == "" || e.laboratory || p.style.Unit(metric) == metric {
		return []byte(out)
	}
	value := attribute(t, "value")
	shown := p.style.ToTyped(value, metric)
	if attribute(t, "data-several") != "" {
		shown, metric = p.style.EachToTyped(value, metric), metric+severalMark
	}
	out = replaceValue(out, "value", value, shown)
	out += p.style.typedIn(attribute(t, "name"), metric, shown, value, attribute(t, "data-unit-by"), attribute(t, "form"))
	p.field = p.out.Len() + len(out)
	return []byte(out)
}

// replaceValue puts another value into an attribute of a tag as it was written.
func replaceValue(tag, key, was, is string) string {
	if was == is {
		return tag
	}
	return strings.Replace(tag, " "+key+`="`+html.EscapeString(was)+`"`, " "+key+`="`+html.EscapeString(is)+`"`, 1)
}

func attribute(t xhtml.Token, key string) string {
	for _, a := range t.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// words says a run of words as it stands in the page.
func (p *pageSayer) words(raw string, e element) string {
	return p.spoken(p.style.inUnits(raw, e.laboratory), e)
}

// spoken says a run of words as it stands in the page in the person's language.
func (p *pageSayer) spoken(raw string, e element) string {
	if e.foreign || p.style.book() == nil {
		return raw
	}
	words := html.UnescapeString(raw)
	said := p.style.spoken(words)
	if said == words {
		return raw
	}
	return html.EscapeString(said)
}

// text says a run of words.
func (p *pageSayer) text(raw string) {
	e := p.now()
	if e.keep || strings.TrimSpace(raw) == "" {
		p.out.WriteString(raw)
		return
	}
	held, mark, same := p.held, p.mark, p.echo
	p.held, p.echo = "", ""
	switch {
	case e.laboratory || e.drawing:
		p.out.WriteString(p.words(raw, e))
	case p.within("caption") && len(p.table) > 0:
		said, metric := p.style.head(raw)
		p.table[len(p.table)-1].all, p.table[len(p.table)-1].shares = metric, strings.Contains(raw, "%")
		p.out.WriteString(p.spoken(said, e))
	case p.inHead():
		if strings.Contains(raw, "%") || strings.Contains(raw, "points") || p.table[len(p.table)-1].shares && amount.MatchString(raw) {
			p.ofColumn("%")
		}
		said, metric := p.style.head(raw)
		if metric != "" {
			p.ofColumn(metric)
		}
		p.out.WriteString(p.spoken(said, e))
	case len(p.table) > 0 && p.within("th") && !bareNumber.MatchString(raw):
		said, metric := p.style.head(raw)
		p.table[len(p.table)-1].row = metric
		p.out.WriteString(p.spoken(said, e))
	case bareNumber.MatchString(raw):
		if metric := p.unitOfColumn(); metric != "" {
			p.out.WriteString(p.style.Bare(raw, metric))
			return
		}
		p.held, p.mark = raw, p.out.Len()
		p.out.WriteString(raw)
	default:
		if metric := leadingUnit(raw); metric != "" && p.style.Units == US && (held != "" || e.name == "span" && p.unitOfField(raw, metric)) {
			if held != "" {
				between := slices.Clone(p.out.Bytes()[mark+len(held):])
				p.out.Truncate(mark)
				p.out.WriteString(p.style.Bare(held, metric))
				p.out.Write(between)
				p.echo = metric
			}
			raw = strings.Replace(raw, metric, p.style.Unit(metric), 1)
		}
		if q, ok := find(same); ok && p.style.Units == US {
			raw = q.echoes(raw)
		}
		p.out.WriteString(p.words(raw, e))
	}
}

// unitOfField tells whether words are the unit beside a field in the person's unit.
func (p *pageSayer) unitOfField(raw, metric string) bool {
	return p.field > 0 && strings.TrimSpace(raw) == metric && string(bytes.TrimSpace(p.out.Bytes()[p.field:])) == `<span class="u">`
}

// leadingUnit is the metric unit that words begin with; empty where they do not.
func leadingUnit(words string) string {
	words = strings.TrimSpace(words)
	for _, q := range quantities {
		if !q.asked && strings.HasPrefix(words, q.metric) && boundary(words, len(q.metric)) {
			return q.metric
		}
	}
	return ""
}

func (p *pageSayer) inHead() bool {
	return len(p.table) > 0 && p.table[len(p.table)-1].head && p.within("th")
}

func (p *pageSayer) within(name string) bool {
	return slices.ContainsFunc(p.open, func(e element) bool { return e.name == name })
}

func (p *pageSayer) ofColumn(metric string) {
	t := &p.table[len(p.table)-1]
	for len(t.units) < t.column+max(t.wide, 1) {
		t.units = append(t.units, "")
	}
	for i := range max(t.wide, 1) {
		t.units[t.column+i] = metric
	}
}

func (p *pageSayer) unitOfColumn() string {
	if len(p.table) == 0 || !p.within("td") && !p.within("th") {
		return ""
	}
	t := p.table[len(p.table)-1]
	if t.row != "" {
		return t.row
	}
	if t.column >= 0 && t.column < len(t.units) && t.units[t.column] != "" {
		return t.units[t.column]
	}
	if t.column == 0 {
		return ""
	}
	return t.all
}
