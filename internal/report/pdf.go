package report

import (
	"fmt"
	"io"
)

// PDF writes the report as PDF for a size of paper; [Auto] is A4. It is set here, without any other program: pictures are
// vectors, the faces are embedded in part, the text can be selected, sections are its outline, and its parts are tagged – headings, lists, tables
// with their heads, pictures with what they show – for programs that read it aloud. The same model gives the same bytes.
func (m Model) PDF(w io.Writer, page Paper) error {
	f, err := m.flow(page)
	if err != nil {
		return err
	}
	f.set()
	return f.finish(w)
}

// Pages counts the pages of a PDF of the report; [Auto] is A4.
func (m Model) Pages(page Paper) (int, error) {
	f, err := m.flow(page)
	if err != nil {
		return 0, err
	}
	return len(f.pages()), nil
}

// Allowed is how many pages a kind of document is meant to have; zero for as many as it takes.
func (k Kind) Allowed() (least, most int) {
	switch k {
	case Client:
		return 2, 4
	case Committee:
		return 1, 1
	}
	return 0, 0
}

// PagesSay says how many pages a PDF takes; wrong is whether its kind is meant to have more or fewer.
func (k Kind) PagesSay(paper Paper, pages int) (words string, wrong bool) {
	named := func(n int) string {
		if n == 1 {
			return "1 page"
		}
		return fmt.Sprintf("%d pages", n)
	}
	size := "A4"
	if paper == Letter {
		size = "Letter"
	}
	words = fmt.Sprintf("The PDF has %s on %s.", named(pages), size)
	least, most := k.Allowed()
	if most == 0 || (pages >= least && pages <= most) {
		return words, false
	}
	meant := named(most)
	if least < most {
		meant = fmt.Sprintf("%d to %s", least, meant)
	}
	words += fmt.Sprintf(" A %s is meant to have %s", k.Title(), meant)
	if pages > most {
		return words + ": a shorter note or fewer sections bring it back.", true
	}
	return words + ".", true
}

// flow lays the report out for a size of paper.
func (m Model) flow(page Paper) (*flow, error) {
	if page == Auto {
		page = A4
	}
	if page != A4 && page != Letter {
		return nil, fmt.Errorf("paper %q: %q or %q are allowed", page, A4, Letter)
	}
	p, err := newPress(m, page)
	if err != nil {
		return nil, err
	}
	f := &flow{press: p, model: m, at: p.root}
	f.opening()
	for _, s := range m.Sections {
		f.section(s)
	}
	return f, nil
}
