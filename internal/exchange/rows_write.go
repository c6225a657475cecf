package exchange

import (
	"fmt"
	"io"

	"underfoot"
)

// WriteTable writes rows of one table as its file in a package holds them, the header row first.
func WriteTable(w io.Writer, t *underfoot.Table, rows []underfoot.Record) error {
	if err := writeTable(w, t, rows, unknownOf(t, rows)); err != nil {
		return fmt.Errorf("writing %s: %w", fileOf(t), err)
	}
	return nil
}
