package figure

// Reword puts other words for those of the scene, drawn and read out. Bare numbers of an axis are not words of a quantity:
// their figure is given a [Measure].
func (s *Scene) Reword(say func(string) string) {
	if s == nil {
		return
	}
	s.Label, s.Title, s.Desc = say(s.Label), say(s.Title), say(s.Desc)
	s.Parts = reworded(s.Parts, say)
	for i := range s.Marks {
		m := &s.Marks[i]
		m.Label = say(m.Label)
		for k := range m.Tip {
			m.Tip[k].Words = say(m.Tip[k].Words)
		}
	}
}

func reworded(parts []Part, say func(string) string) []Part {
	out := make([]Part, len(parts))
	for i, p := range parts {
		switch p := p.(type) {
		case Text:
			p.Words = say(p.Words)
			out[i] = p
		case Group:
			p.Parts = reworded(p.Parts, say)
			out[i] = p
		default:
			out[i] = p
		}
	}
	return out
}
