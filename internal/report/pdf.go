package report

import (
	"fmt"
	"io"
)

// PDF writes the report as PDF for a size of paper; [Auto] is A4. It is set here, without any other program: pictures are
// vectors, the faces are embedded in part, the text can be selected, sections are its outline. The same model gives the
// same bytes.
func (m Model) PDF(w io.Writer, page Paper) error {
	if page == Auto {
		page = A4
	}
	if page != A4 && page != Letter {
		return fmt.Errorf("paper %q: %q or %q are allowed", page, A4, Letter)
	}
	p, err := newPress(m, page)
	if err != nil {
		return err
	}
	f := flow{press: p, model: m}
	f.opening()
	for _, s := range m.Sections {
		f.section(s)
	}
	f.set()
	return p.finish(w)
}
