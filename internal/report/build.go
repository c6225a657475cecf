package report

import (
	"strings"

	"underfoot/internal/app"
)

// Build composes the report of a standing.
func Build(s *app.Standing, o Options) Model {
	b := builder{s: s, o: o}
	m := Model{
		Kind:      o.Kind,
		Course:    s.Records.Course.Title(),
		Subject:   b.subject(),
		Recipient: o.Recipient,
		Prepared:  b.prepared(),
		Author:    o.PreparedBy,
		When:      o.When,
		Version:   o.Version,
		Logo:      o.Logo,
	}
	if m.Kind == "" {
		m.Kind = Full
	}
	b.open(&m)
	m.Sections = append(b.note(), b.sections(m.Kind)...)
	m.say(o.Style)
	return m
}

// open says at the head of a document what it is for, and its answer.
func (b *builder) open(m *Model) {
	to := "the greens committee"
	switch m.Kind {
	case Crew:
		to = "the crew"
		m.Statement, m.Because = b.crewSays(), b.crewBecause()
	case Bench:
		to = "the bench"
		m.Statement, m.Because = b.benchSays(), b.benchBecause()
	case Committee:
		m.Statement, m.Because, m.Strip = b.statement(), b.committeeBecause(), b.strip()
	default:
		m.Statement, m.Because, m.Strip = b.statement(), b.because(), b.strip()
	}
	if m.Recipient == "" {
		m.Recipient = to
	}
}

// committeeBecause is what the readings say; the rest stands below in plain words.
func (b *builder) committeeBecause() []string {
	if said := b.surfaceSays(); said != "" && !b.empty() {
		return []string{said}
	}
	return b.because()
}

// sections builds those that were picked, or those of the kind.
func (b *builder) sections(k Kind) []Section {
	picked := b.o.Sections
	if len(picked) == 0 {
		picked = k.defaults()
	}
	var out []Section
	for _, key := range picked {
		for _, p := range parts() {
			if p.Key != key {
				continue
			}
			if s := p.build(b); len(s.Blocks) > 0 {
				s.Key = key
				out = append(out, s)
			}
		}
	}
	return out
}

// note is the word of one's own, a paragraph a line.
func (b *builder) note() []Section {
	s := Section{Key: "note", Title: "A word before"}
	for line := range strings.Lines(b.o.Note) {
		if line = strings.TrimSpace(line); line != "" {
			s.Blocks = append(s.Blocks, Text{Words: line})
		}
	}
	if len(s.Blocks) == 0 {
		return nil
	}
	return []Section{s}
}

// builder holds what every part of the report draws on.
type builder struct {
	s       *app.Standing
	o       Options
	figures int
}

// figure gives the next figure its number.
func (b *builder) figure() int {
	b.figures++
	return b.figures
}

// subject says what the report is about and when that held.
func (b *builder) subject() string {
	name := upper(surfaces(b.s.Surface))
	if b.empty() {
		return name
	}
	return name + ", as recorded up to " + day(b.s.AsOf.Time())
}

// prepared says by whom, when and with what the report was made.
func (b *builder) prepared() string {
	words := "Prepared"
	if b.o.PreparedBy != "" {
		words += " by " + b.o.PreparedBy
	}
	if !b.o.When.IsZero() {
		words += ", " + day(b.o.When)
	}
	words += ", with Underfoot"
	if b.o.Version != "" {
		words += " " + b.o.Version
	}
	return words
}

// empty says whether nothing at all is recorded that a report could speak of.
func (b *builder) empty() bool {
	return len(b.s.Bench) == 0 && len(b.s.Done) == 0 && len(b.s.Records.Readings) == 0 && b.s.Judgement == nil
}

// top gives the layer that starts at the surface, or nil.
func (b *builder) top() *app.Layer {
	for i := range b.s.Layers {
		if b.s.Layers[i].TopMM == 0 {
			return &b.s.Layers[i]
		}
	}
	return nil
}
