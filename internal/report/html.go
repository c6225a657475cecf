package report

import (
	"context"
	"io"
)

// HTML writes the report as one page of HTML for a size of paper. Styling says whether everything it needs is inside
// ([Embedded], for a file) or linked ([Linked], for a site that forbids style in the page).
func (m Model) HTML(w io.Writer, page Paper, styling Styling) error {
	return document(m, page, styling).Render(context.Background(), w)
}
