package page

import (
	"context"
	"fmt"
	"net/url"
	"strings"
	"time"
	"unicode"

	"underfoot/internal/figure"
)

// Drawing is a picture on a page, and the same drawn for a phone where it cannot just narrow.
type Drawing struct {
	Desk, Phone *figure.Scene
	options     []figure.Option
}

// Draw makes a drawing of a scene and, where there is one, of the same for a phone.
func Draw(desk *figure.Scene, phone ...*figure.Scene) Drawing {
	d := Drawing{Desk: desk}
	if len(phone) > 0 {
		d.Phone = phone[0]
	}
	return d
}

// Still is the drawing without values on hover and focus, for where they stand beside it.
func (d Drawing) Still() Drawing {
	d.options = append(d.options, figure.Still())
	return d
}

// SVG is the drawing as it stands in a page.
func (d Drawing) SVG() string {
	switch {
	case d.Desk == nil:
		return ""
	case d.Phone == nil:
		return d.Desk.SVG(d.options...)
	}
	return figure.Both(d.Desk, d.Phone, d.options...)
}

// Pictures are those of a page that can be taken away, gathered while the page is rendered: so a file shows what the page
// shows. The addresses of the files are the page's own with figure=KEY and as=svg, png or csv.
type Pictures struct {
	here   *url.URL // nil where the page has no address of its own
	course string
	today  time.Time
	list   []Picture
	keys   map[*figure.Scene]string
	taken  map[string]bool
}

// Picture is a picture of a page with its key.
type Picture struct {
	Key   string
	Scene *figure.Scene
}

type picturesKey struct{}

// NewPictures gathers the pictures of the page at an address.
func NewPictures(here *url.URL) *Pictures {
	return &Pictures{here: here, keys: map[*figure.Scene]string{}, taken: map[string]bool{}}
}

// With is a context in which a page is rendered so that its pictures are gathered.
func (p *Pictures) With(ctx context.Context) context.Context {
	return context.WithValue(ctx, picturesKey{}, p)
}

func picturesOf(ctx context.Context) *Pictures {
	p, _ := ctx.Value(picturesKey{}).(*Pictures)
	return p
}

// frame notes whose page it is and of which day.
func (p *Pictures) frame(f Frame) {
	if p == nil {
		return
	}
	p.today = f.Today
	if f.Circle != nil {
		p.course = f.Circle.Name
	}
}

// key gives the key of a picture, from its title; a title that stands twice on a page is numbered.
func (p *Pictures) key(s *figure.Scene) string {
	if k := p.keys[s]; k != "" {
		return k
	}
	base := slug(s.Title)
	k := base
	for n := 2; p.taken[k]; n++ {
		k = fmt.Sprintf("%s-%d", base, n)
	}
	p.keys[s], p.taken[k] = k, true
	p.list = append(p.list, Picture{k, s})
	return k
}

// Find gives the picture of a key.
func (p *Pictures) Find(key string) (Picture, bool) {
	for _, x := range p.list {
		if x.Key == key {
			return x, true
		}
	}
	return Picture{}, false
}

// Keys are those of all pictures, in the order of the page.
func (p *Pictures) Keys() []string {
	out := make([]string, len(p.list))
	for i, x := range p.list {
		out[i] = x.Key
	}
	return out
}

// File is the name of a picture as a file: course, picture and date.
func (p *Pictures) File(x Picture, kind string) string {
	name := x.Key + "-" + p.today.Format(time.DateOnly) + "." + kind
	if p.course != "" {
		name = slug(p.course) + "-" + name
	}
	return name
}

// mostOfKey bounds a key [letters].
const mostOfKey = 60

// slug writes a title with small letters, figures and hyphens; a dash between numbers becomes "to".
func slug(title string) string {
	title = strings.ReplaceAll(title, "–", " to ")
	var b strings.Builder
	for _, r := range strings.ToLower(title) {
		switch {
		case r < 128 && (unicode.IsLetter(r) || unicode.IsDigit(r)):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	out := strings.Trim(b.String(), "-")
	if len(out) > mostOfKey {
		out = out[:mostOfKey]
		if i := strings.LastIndexByte(out, '-'); i > 0 {
			out = out[:i]
		}
	}
	if out == "" {
		out = "picture"
	}
	return out
}

// takes are the links to a picture as files; none where it has no values or the page no address.
func takes(ctx context.Context, d Drawing) []Link {
	p := picturesOf(ctx)
	if p == nil || p.here == nil || d.Desk == nil || d.Desk.Values == nil {
		return nil
	}
	key := p.key(d.Desk)
	var out []Link
	for _, kind := range []string{"svg", "png", "csv"} {
		q := p.here.Query()
		q.Set("figure", key)
		q.Set("as", kind)
		out = append(out, Link{Href: p.here.Path + "?" + q.Encode(), Text: strings.ToUpper(kind)})
	}
	return out
}

// valuesOf is the table of a drawing for a page; nil where it has no values.
func valuesOf(d Drawing) *Table {
	if d.Desk == nil || d.Desk.Values == nil {
		return nil
	}
	v := d.Desk.Values()
	if len(v.Rows) == 0 {
		return nil
	}
	t := &Table{Caption: v.Title}
	for i, c := range v.Columns {
		t.Head = append(t.Head, c.Head())
		if !c.Number && t.Left == i {
			t.Left++
		}
	}
	rows := v.Rows
	if len(rows) > mostRows {
		t.Caption += fmt.Sprintf("; the first %d of %d rows, all are in the CSV", mostRows, len(rows))
		rows = rows[:mostRows]
	}
	for _, r := range rows {
		var cells []string
		for _, c := range r {
			cells = append(cells, c.Words())
		}
		t.Rows = append(t.Rows, Row{Cells: cells})
	}
	return t
}

// mostRows is how many rows of a picture's values a page holds; the file has all of them.
const mostRows = 60
