package report

import (
	"slices"

	"underfoot"
)

// Kept gives what is kept of how a course's reports are put together as options, for page and command alike. Sections that
// this version does not have are left out. A logo that cannot be read is left out too, and bad says why in a sentence.
//
// A kind that is named asks for that document as it is by itself: of what is kept stay the logo, who answers for it and, where
// it is the same kind, whom it is for. Without one it is the document that was put together, a client report where none was.
func Kept(d underfoot.Document, named Kind) (o Options, bad error) {
	o = Options{Kind: Kind(d.Kind), PreparedBy: d.PreparedBy, Recipient: d.Recipient, Logo: d.Picture()}
	if !o.Kind.Known() {
		o.Kind = Client
	}
	if named == "" {
		o.Sections, o.Note, o.Paper = KnownSections(d.SectionKeys()), d.Note, keptPaper(d.Paper)
	} else {
		if named != o.Kind {
			o.Recipient = ""
		}
		o.Kind = named
	}
	if bad = o.CheckLogo(); bad != nil {
		o.Logo = nil
	}
	return o, bad
}

// keptPaper reads the size of paper as it is kept.
func keptPaper(name string) Paper {
	switch name {
	case "a4":
		return A4
	case "letter":
		return Letter
	}
	return Auto
}

// KnownSections leaves out the keys of sections there are not: they may come from another version of the program.
func KnownSections(keys []string) []string {
	return slices.DeleteFunc(keys, func(key string) bool { return Options{Sections: []string{key}}.CheckSections() != nil })
}
