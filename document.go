package underfoot

import (
	"encoding/base64"
	"fmt"
	"strings"
)

// Document is how a course's reports were last put together: what is offered when the next one is made.
type Document struct {
	Course     string `col:"course" key:"1" refers:"courses" about:"Course it is for."`
	ID         string `col:"document" key:"1" about:"Name of the settings; those of the page that builds reports are called report."`
	Kind       string `col:"kind" oneof:"client,full,committee,crew,bench" about:"What kind of document is made." default:"client"`
	Sections   string `col:"sections" about:"Keys of its sections in their order, with spaces between them." default:"those of the kind"`
	Recipient  string `col:"recipient" about:"Whom it is for."`
	PreparedBy string `col:"prepared_by" about:"Who answers for it."`
	Note       string `col:"note" about:"A word of one's own, set first; a line is a paragraph."`
	Paper      string `col:"paper" oneof:"a4,letter" about:"Paper it is printed on." default:"a4"`
	Logo       string `col:"logo" about:"Picture at its head, PNG or JPEG in base64."`
	Extra      Extra
}

// TheReport is the name of the settings that the page which builds reports keeps.
const TheReport = "report"

// The most a document keeps. A logo in base64 has to fit a cell of a package; the page that builds reports keeps a large one smaller.
const (
	MostLogoBytes = 750_000
	mostNote      = 5000
)

// Documents describes the table of how reports are put together.
var Documents = newTable[Document]("documents", "How reports are put together")

// Table returns [Documents].
func (*Document) Table() *Table { return Documents }

// SectionKeys gives the keys of the sections; none for those of the kind.
func (d *Document) SectionKeys() []string { return strings.Fields(d.Sections) }

// Picture gives the logo as a file; nil without one.
func (d *Document) Picture() []byte {
	file, err := base64.StdEncoding.DecodeString(d.Logo)
	if err != nil || len(file) == 0 {
		return nil
	}
	return file
}

// SetPicture takes a logo; nil for none.
func (d *Document) SetPicture(file []byte) { d.Logo = base64.StdEncoding.EncodeToString(file) }

// Check refuses a note that fills pages, and a logo that is too large or not in base64.
func (d *Document) Check() []Fault {
	var faults []Fault
	if n := len([]rune(d.Note)); n > mostNote {
		faults = append(faults, Fault{"note", fmt.Sprintf("it has %d letters: %d at most are allowed", n, mostNote)})
	}
	if d.Logo == "" {
		return faults
	}
	if file, err := base64.StdEncoding.DecodeString(d.Logo); err != nil {
		faults = append(faults, Fault{"logo", "it is not in base64: give a PNG or JPEG in base64"})
	} else if len(file) > MostLogoBytes {
		faults = append(faults, Fault{"logo", fmt.Sprintf("it has %d bytes: %d at most are allowed", len(file), MostLogoBytes)})
	}
	return faults
}
