package report

import (
	"context"
	"io"
)

// short says whether a block is kept on one page: everything but long tables and lists.
func short(b Block) bool {
	const most = 14 // rows or sentences
	switch v := b.(type) {
	case Table:
		return len(v.Rows) <= most
	case List:
		return len(v.Items) <= most
	}
	return true
}

// HTML writes the report as one page of HTML for a size of paper. Styling says whether everything it needs is inside
// ([Embedded], for a file) or linked ([Linked], for a site that forbids style in the page).
func (m Model) HTML(w io.Writer, page Paper, styling Styling) error {
	return document(m, page, styling).Render(context.Background(), w)
}
