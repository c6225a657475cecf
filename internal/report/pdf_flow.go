package report

// item is a piece of a page that is not parted.
type item struct {
	before float64 // room above it, left out at the top of a page
	high   float64
	keep   bool               // stands on the page of the next item
	draw   func(x, y float64) // with its upper left corner there; nil for mere room
	again  *item              // drawn above it where it begins a page: the head of a table that goes on
	entry  string             // in the outline
}

// flow sets items one below the other on as many pages as they take.
type flow struct {
	*press
	model Model
	items []item
	at    *element // of the structure, where the next one is added

	heading string  // kind of those that stand below the heading of the section
	next    float64 // room above the next item
}

// Parts of a page.
const (
	headHigh = 42.0 // running head with the room below it
	footHigh = 30.0 // running foot with the room above it
)

// edges are the room above the head and below the foot; Letter, which is less high, has less of both.
func (p *press) edges() (upper, lower float64) {
	if p.paper.h < 1100 {
		return 10 * pxPerMM, 8 * pxPerMM
	}
	return 13 * pxPerMM, 11 * pxPerMM
}

func (f *flow) top() float64 {
	upper, _ := f.edges()
	return upper + headHigh
}

func (f *flow) bottom() float64 {
	_, lower := f.edges()
	return f.paper.h - lower - footHigh
}

// add appends an item; the larger of the room it wants and the room that was asked for stands above it.
func (f *flow) add(x item) {
	x.before = max(x.before, f.next)
	f.next = 0
	f.items = append(f.items, x)
}

// placed is an item on its page.
type placed struct {
	item
	y float64
}

// pages puts the items on pages. Where a few lines are left for the last one, or where there are more than the document is meant
// to have, a little of the room between the items goes if that spares a page.
func (f *flow) pages() [][]placed {
	out := f.paged(1)
	const few = 0.2 // of a page
	last := out[len(out)-1]
	if len(out) == 1 || len(last) == 0 {
		return out
	}
	_, most := f.model.Kind.Allowed()
	tooMany := most > 0 && len(out) > most
	if filled := last[len(last)-1].y + last[len(last)-1].high - f.top(); filled > few*(f.bottom()-f.top()) && !tooMany {
		return out
	}
	for _, room := range []float64{0.9, 0.8, 0.7, 0.6} {
		if tighter := f.paged(room); len(tighter) < len(out) {
			return tighter
		}
	}
	return out
}

// paged puts the items on pages with a share of the room between them: those that keep together on one, if a page holds them.
func (f *flow) paged(room float64) [][]placed {
	out := [][]placed{nil}
	y := f.top()
	for i := 0; i < len(f.items); {
		j := i + 1
		for j < len(f.items) && f.items[j-1].keep {
			j++
		}
		first := len(out[len(out)-1]) == 0
		need := 0.0
		for k := i; k < j; k++ {
			if k > i || !first {
				need += f.items[k].before * room
			}
			need += f.items[k].high
		}
		if again := f.items[i].again; first && again != nil {
			need += again.high
		}
		if !first && y+need > f.bottom()+0.01 && (f.fits(f.items[i:j], room) || y > f.top()+(f.bottom()-f.top())*0.7) {
			out, y = append(out, nil), f.top()
		}
		for k := i; k < j; k++ {
			x := f.items[k]
			page := &out[len(out)-1]
			if len(*page) > 0 && y+x.before*room+x.high > f.bottom()+0.01 {
				out, y = append(out, nil), f.top()
				page = &out[len(out)-1]
			}
			if len(*page) > 0 {
				y += x.before * room
			} else if x.again != nil && len(out) > 1 {
				*page = append(*page, placed{*x.again, y})
				y += x.again.high
			}
			*page = append(*page, placed{x, y})
			y += x.high
		}
		i = j
	}
	return out
}

// fits says whether items that keep together find room on an empty page.
func (f *flow) fits(items []item, room float64) bool {
	h := 0.0
	for k, x := range items {
		if k > 0 {
			h += x.before * room
		}
		h += x.high
	}
	return h <= f.bottom()-f.top()
}

// set draws all pages with their running heads and feet.
func (f *flow) set() {
	pages := f.pages()
	for n, page := range pages {
		f.turn()
		f.head()
		for _, x := range page {
			if x.entry != "" {
				f.pdf.SetFont(f.faces.sans.Name, "", 10) // a title is written in the characters of the chosen face
				f.pdf.Bookmark(printable(x.entry), 0, max(0, x.y-12)*ptPerPx)
			}
			if x.draw != nil {
				x.draw(f.left, x.y)
			}
		}
		f.foot(n+1, len(pages))
		f.flush()
	}
}
