package report

import (
	"bytes"
	"context"
	"io"

	"underfoot/internal/say"
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
	if m.lang("") == "" {
		return document(m, page, styling).Render(context.Background(), w)
	}
	var b bytes.Buffer
	if err := document(m, page, styling).Render(context.Background(), &b); err != nil {
		return err
	}
	_, err := w.Write(say.Style{Language: m.Language}.Page(b.Bytes())) // what the page says of itself
	return err
}
