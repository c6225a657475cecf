package report

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"underfoot/internal/say"
)

// set is a report with its structure and its file.
func set(t *testing.T, m Model, paper Paper) (*flow, []byte) {
	t.Helper()
	f, err := m.flow(paper)
	if err != nil {
		t.Fatal(err)
	}
	f.set()
	var b bytes.Buffer
	if err := f.finish(&b); err != nil {
		t.Fatal(err)
	}
	return f, b.Bytes()
}

func walk(e *element, do func(*element)) {
	do(e)
	for _, k := range e.kids {
		if kid, ok := k.(*element); ok {
			walk(kid, do)
		}
	}
}

func inflated(t *testing.T, file []byte) []byte {
	t.Helper()
	_, rest, found := bytes.Cut(file, []byte("stream\n"))
	z, err := zlib.NewReader(bytes.NewReader(rest))
	if !found || err != nil {
		t.Fatalf("no stream: %v", err)
	}
	text, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// The structure of a report is that of its model: one first heading, a second one for every section with a title, tables with as
// many cells in every row as they have columns, lists, and pictures with what they show.
func TestPDFStructure(t *testing.T) {
	for _, folder := range []string{"varrowmere", "second"} {
		s := standing(t, folder)
		for _, kind := range Kinds() {
			t.Run(folder+" "+string(kind), func(t *testing.T) {
				o := options()
				o.Kind, o.Note = kind, "One.\nTwo."
				m := Build(s, o)
				f, _ := set(t, m, A4)
				count := map[string]int{}
				owned := 0
				walk(f.root, func(e *element) {
					count[e.kind]++
					if !slices.Contains(strings.Fields("Document Sect Div H1 H2 H3 P L LI Lbl LBody Table Caption THead TBody TR TH TD Figure"), e.kind) {
						t.Errorf("there is no %s among the standard structure types", e.kind)
					}
					if e.kind == "Figure" && (len(e.alt) < 20 || !strings.Contains(e.attr, "/BBox")) {
						t.Errorf("a picture says only %q, at %q", e.alt, e.attr)
					}
					if (e.kind == "TH") != strings.Contains(e.attr, "/Scope") {
						t.Errorf("%s has %q", e.kind, e.attr)
					}
					for _, k := range e.kids {
						if p, ok := k.(marked); ok {
							owned++
							if f.owners[p.page][p.id] != e {
								t.Errorf("%s holds mark %v, which belongs to another", e.kind, p)
							}
						}
					}
				})
				marks := 0
				for _, list := range f.owners {
					marks += len(list)
				}
				if owned != marks {
					t.Errorf("%d marks on the pages, %d in the tree", marks, owned)
				}
				want := map[string]int{"H1": 1, "Sect": len(m.Sections)}
				for _, s := range m.Sections {
					if s.Title != "" {
						want["H2"]++
					}
					expected(s.Blocks, want, s.Title == "")
				}
				for k, n := range want {
					if count[k] != n {
						t.Errorf("%d × %s, want %d", count[k], k, n)
					}
				}
				walk(f.root, func(e *element) {
					if e.kind != "Table" {
						return
					}
					wide := -1
					walk(e, func(row *element) {
						if row.kind != "TR" {
							return
						}
						if wide >= 0 && len(row.kids) != wide {
							t.Errorf("a table has rows of %d and of %d cells", wide, len(row.kids))
						}
						wide = len(row.kids)
					})
				})
			})
		}
	}
}

// What a picture says is said once, and in the units of the reader.
func TestPDFPicturesSay(t *testing.T) {
	o := options()
	o.Kind, o.Style = Client, say.Style{Units: say.US, Dates: say.MonthFirst}
	f, _ := set(t, Build(standing(t, "varrowmere"), o), Letter)
	pictures := 0
	walk(f.root, func(e *element) {
		if e.kind != asFigure {
			return
		}
		pictures++
		if first, rest, _ := strings.Cut(e.alt, ". "); strings.HasPrefix(rest, first) {
			t.Errorf("it is said twice: %.80s", e.alt)
		}
		if x := metric.FindString(e.alt); x != "" && !kept.MatchString(x) {
			t.Errorf("remains: %s", x)
		}
	})
	if pictures < 10 {
		t.Errorf("%d pictures", pictures)
	}
}

// expected counts what the blocks of a section come to.
func expected(blocks []Block, want map[string]int, untitled bool) {
	heading := "H3"
	if untitled {
		heading = "H2"
	}
	for _, b := range blocks {
		switch v := b.(type) {
		case Table:
			want["Table"]++
			want["TR"] += len(v.Rows)
			if len(v.Total) > 0 {
				want["TR"]++
			}
			if slices.ContainsFunc(v.Columns, func(c Column) bool { return c.Head != "" }) {
				want["TR"]++
				want["THead"]++
			}
			if v.Caption != "" {
				want["Caption"]++
			}
		case Notice:
			want[heading]++
		case List:
			if v.Title != "" {
				want[heading]++
			}
		case Pair:
			expected(v.Left, want, untitled)
			expected(v.Right, want, untitled)
		case Strata:
			want["H3"] += len(v.Rows)
		}
	}
}

var operator = regexp.MustCompile(`(?m)^/(\w+) (?:<</MCID (\d+)>> )?(BDC|BMC)$|^(EMC)$|( Tj ET)|(\bDo\b)|^(?:S|f|B|s)$`)

// Everything on a page is marked, once: as part of an element, in the order of its numbers, or as there for the eye alone. What
// stands outside of all elements are running heads and feet, heads of tables that go on, and strokes.
func TestPDFMarksEverything(t *testing.T) {
	o := options()
	m := Build(standing(t, "varrowmere"), o)
	f, file := set(t, m, A4)
	lib, err := readBack(file)
	if err != nil {
		t.Fatal(err)
	}
	for n := range f.owners {
		text := inflated(t, file[lib[4+2*n].start:])
		open, next, words := "", 0, 0
		for _, x := range operator.FindAllSubmatch(text, -1) {
			switch {
			case len(x[3]) > 0: // begins
				if open != "" {
					t.Fatalf("page %d: %s begins inside %s", n+1, x[1], open)
				}
				open = string(x[1])
				if len(x[2]) > 0 {
					if string(x[2]) != strconv.Itoa(next) || f.owners[n][next].kind != open {
						t.Fatalf("page %d: mark %s is a %s, want %d of %s", n+1, x[2], open, next, f.owners[n][next].kind)
					}
					next++
				} else if open != "Artifact" {
					t.Fatalf("page %d: %s has no number", n+1, open)
				}
			case len(x[4]) > 0: // ends
				if open == "" {
					t.Fatalf("page %d: an end without a beginning", n+1)
				}
				open = ""
			default:
				if open == "" {
					t.Fatalf("page %d: %q is not marked", n+1, x[0])
				}
				if len(x[5]) > 0 {
					words++
				}
			}
		}
		if open != "" || next != len(f.owners[n]) || words < 5 {
			t.Errorf("page %d: %q is open at the end, %d of %d marks, %d pieces of text", n+1, open, next, len(f.owners[n]), words)
		}
	}
}

// readBack reads the table of a file, checking that every object lies where it says.
func readBack(file []byte) ([]entry, error) {
	at := bytes.LastIndex(file, []byte("startxref\n"))
	start, err := strconv.Atoi(string(bytes.Fields(file[at+10:])[0]))
	if err != nil {
		return nil, err
	}
	inflate := func(from int) ([]byte, []byte, error) {
		head, rest, _ := bytes.Cut(file[from:], []byte("stream\n"))
		z, err := zlib.NewReader(bytes.NewReader(rest))
		if err != nil {
			return nil, nil, err
		}
		text, err := io.ReadAll(z)
		return head, text, err
	}
	_, rows, err := inflate(start)
	if err != nil || len(rows)%7 != 0 {
		return nil, fmt.Errorf("table of %d bytes: %w", len(rows), err)
	}
	var out []entry
	for n := range len(rows) / 7 {
		row := rows[7*n : 7*n+7]
		where, index := int(binary.BigEndian.Uint32(row[1:])), int(binary.BigEndian.Uint16(row[5:]))
		switch {
		case row[0] == 1:
			if !bytes.HasPrefix(file[where:], fmt.Appendf(nil, "%d 0 obj\n", n)) {
				return nil, fmt.Errorf("object %d is not at %d", n, where)
			}
			out = append(out, entry{start: where})
		case row[0] == 2:
			out = append(out, entry{stream: where, index: index})
		case n > 0:
			return nil, fmt.Errorf("object %d is free", n)
		default:
			out = append(out, entry{})
		}
	}
	for n, e := range out {
		if e.stream == 0 {
			continue
		}
		_, text, err := inflate(out[e.stream].start)
		if err != nil {
			return nil, err
		}
		if got := string(bytes.Fields(text)[2*e.index]); got != strconv.Itoa(n) {
			return nil, fmt.Errorf("object %d is called %s in stream %d", n, got, e.stream)
		}
	}
	return out, nil
}

// Another program reads the structure: poppler finds the document tagged, the heading, and every row of its tables.
func TestPDFStructureReadBack(t *testing.T) {
	o := options()
	m := Build(standing(t, "varrowmere"), o)
	f, _ := set(t, m, A4)
	path := savedPDF(t, m, A4)
	if info := poppler(t, "pdfinfo", path); !regexp.MustCompile(`Tagged:\s+yes`).MatchString(info) || !regexp.MustCompile(`PDF version:\s+1\.7`).MatchString(info) {
		t.Errorf("not tagged:\n%s", info)
	}
	text := poppler(t, "pdfinfo", "-struct-text", path)
	if !strings.Contains(text, "  H1 (block)\n    \""+m.Statement+" \"\n") {
		t.Errorf("the heading is not read:\n%.400s", text)
	}
	for _, kind := range []string{"TR", "H2", "Figure", "Table", "LI"} {
		want := 0
		walk(f.root, func(e *element) {
			if e.kind == kind {
				want++
			}
		})
		if got := len(regexp.MustCompile(`(?m)^ *`+kind+`:?(?: \(block\))?$`).FindAllString(text, -1)); got != want || want == 0 {
			t.Errorf("%d × %s is read, want %d", got, kind, want)
		}
	}
}

// A file that is not as the library writes it is refused in a sentence, not spoilt.
func TestReadPDFRefuses(t *testing.T) {
	_, whole := set(t, Model{Course: "Test", Statement: "It stands."}, A4)
	for name, file := range map[string][]byte{"nothing": nil, "a file with its structure": whole, "cut short": []byte("%PDF-1.3\nxref\n0 3\n0000000000 65535 f \n")} {
		if _, err := readPDF(file); err == nil {
			t.Errorf("%s is read", name)
		}
	}
}
