//gather:none

package report

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
)

// pdfFile is a PDF as the library writes it: objects from 1 on, one table of where they begin, the catalog last.
type pdfFile struct {
	body    []byte  // up to the table
	objects []entry // by number
	trailer []byte  // the dictionary from /Root on
	root    int
}

// entry says where an object lies: from a byte on, or in a stream of objects as one of them.
type entry struct {
	start  int
	stream int // its number; 0 for none
	index  int
}

// readPDF reads where the objects of a file of the library begin.
func readPDF(file []byte) (*pdfFile, error) {
	at := bytes.LastIndex(file, []byte("\nxref\n"))
	if at < 0 {
		return nil, fmt.Errorf("the PDF has no table of its objects")
	}
	f := &pdfFile{body: slices.Clip(file[:at+1])}
	var n int
	if _, err := fmt.Sscanf(string(file[at+6:min(len(file), at+30)]), "0 %d\n", &n); err != nil {
		return nil, fmt.Errorf("the table of the PDF: %w", err)
	}
	const line = 20
	rows := file[at+6+len(strconv.Itoa(n))+3:]
	if len(rows) < n*line {
		return nil, fmt.Errorf("the table of the PDF is cut short")
	}
	f.objects = make([]entry, n)
	for i := 1; i < n; i++ {
		start, err := strconv.Atoi(string(rows[i*line : i*line+10]))
		if err != nil || start >= len(f.body) {
			return nil, fmt.Errorf("the table of the PDF: row %d", i)
		}
		f.objects[i].start = start
	}
	from, to := bytes.Index(rows, []byte("/Root ")), bytes.Index(rows, []byte("\n>>\nstartxref"))
	if from < 0 || to < from {
		return nil, fmt.Errorf("the PDF has no trailer")
	}
	f.trailer = rows[from:to]
	if _, err := fmt.Sscanf(string(f.trailer), "/Root %d", &f.root); err != nil || f.root >= n {
		return nil, fmt.Errorf("the trailer of the PDF names no catalog")
	}
	return f, nil
}

// extend writes the dictionary of an object again, with more in it. begins is what it begins with.
func (f *pdfFile) extend(n int, begins, more string) error {
	if n >= len(f.objects) {
		return fmt.Errorf("the PDF has no object %d", n)
	}
	old := f.body[f.objects[n].start:]
	head := []byte(strconv.Itoa(n) + " 0 obj\n<<")
	end := bytes.Index(old, []byte("\nendobj\n"))
	if end < 0 || !bytes.HasPrefix(old, head) || !bytes.HasPrefix(bytes.TrimSpace(old[len(head):]), []byte(begins)) || !bytes.HasSuffix(old[:end], []byte(">>")) {
		return fmt.Errorf("object %d of the PDF is no dictionary that begins with %s", n, begins)
	}
	f.objects[n].start = len(f.body)
	f.body = fmt.Appendf(f.body, "%s%s\n%s>>\nendobj\n", head, more, bytes.TrimSpace(old[len(head):end-2]))
	return nil
}

// add writes new objects, packed: ISO 32000-1, 7.5.7. Their numbers follow those of the file.
func (f *pdfFile) add(objects []string) error {
	const most = 200 // in a stream
	first, streams := len(f.objects), len(f.objects)+len(objects)
	for i := range objects {
		f.objects = append(f.objects, entry{stream: streams + i/most, index: i % most})
	}
	for part := range slices.Chunk(objects, most) {
		var head, text strings.Builder
		for _, o := range part {
			fmt.Fprintf(&head, "%d %d ", first, text.Len())
			text.WriteString(o + "\n")
			first++
		}
		dictionary := fmt.Sprintf("/Type /ObjStm /N %d /First %d", len(part), head.Len())
		if err := f.stream(dictionary, head.String()+text.String()); err != nil {
			return err
		}
	}
	return nil
}

// stream writes an object with a stream under the next number.
func (f *pdfFile) stream(dictionary, text string) error {
	var b bytes.Buffer
	z := zlib.NewWriter(&b)
	if _, err := io.WriteString(z, text); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	n := len(f.objects)
	f.objects = append(f.objects, entry{start: len(f.body)})
	f.body = fmt.Appendf(f.body, "%d 0 obj\n<<%s /Filter /FlateDecode /Length %d>>\nstream\n%s\nendstream\nendobj\n", n, dictionary, b.Len(), b.Bytes())
	return nil
}

// bytes ends the file with the table of its objects, as a stream: ISO 32000-1, 7.5.8. Objects that were written again stand in
// it twice; the table names the last.
func (f *pdfFile) bytes() ([]byte, error) {
	at, n := len(f.body), len(f.objects)+1 // with the table itself
	rows := []byte{0, 0, 0, 0, 0, 0xFF, 0xFF}
	for _, e := range append(f.objects[1:n-1:n-1], entry{start: at}) {
		kind, where, index := byte(1), e.start, 0
		if e.stream > 0 {
			kind, where, index = 2, e.stream, e.index
		}
		rows = binary.BigEndian.AppendUint32(append(rows, kind), uint32(where))
		rows = binary.BigEndian.AppendUint16(rows, uint16(index))
	}
	trailer := strings.ReplaceAll(strings.TrimSpace(string(f.trailer)), "\n", " ")
	if err := f.stream(fmt.Sprintf("/Type /XRef /Size %d /W [1 4 2] %s", n, trailer), string(rows)); err != nil {
		return nil, err
	}
	copy(f.body, "%PDF-1.7")
	return fmt.Appendf(f.body, "startxref\n%d\n%%%%EOF\n", at), nil
}

// structured adds the tree of structure to a file of the library, whose pages are its objects 3, 5, 7 and so on.
func (t *structure) structured(file []byte) ([]byte, error) {
	f, err := readPDF(file)
	if err != nil {
		return nil, err
	}
	page := func(n int) int { return 3 + 2*n }
	for n := range t.owners {
		if err := f.extend(page(n), "/Type /Page\n", fmt.Sprintf("/StructParents %d /Tabs /S", n)); err != nil {
			return nil, err
		}
	}
	treeAt := len(f.objects)
	w := treeWriter{page: page, numbers: map[*element]int{}, next: treeAt + 2}
	t.root.prune()
	w.number(t.root)
	objects := []string{
		fmt.Sprintf("<</Type /StructTreeRoot /K [%d 0 R] /ParentTree %d 0 R /ParentTreeNextKey %d>>", w.numbers[t.root], treeAt+1, len(t.owners)),
		w.parents(t.owners),
	}
	objects = w.write(objects, t.root, treeAt)
	if err := f.extend(f.root, "/Type /Catalog\n", fmt.Sprintf("/MarkInfo <</Marked true>> /StructTreeRoot %d 0 R /ViewerPreferences <</DisplayDocTitle true>>", treeAt)); err != nil {
		return nil, err
	}
	if err := f.add(objects); err != nil {
		return nil, err
	}
	return f.bytes()
}

// prune leaves out elements that hold nothing, but for the cells of a table.
func (e *element) prune() {
	e.kids = slices.DeleteFunc(e.kids, func(k any) bool {
		kid, ok := k.(*element)
		if !ok {
			return false
		}
		kid.prune()
		return len(kid.kids) == 0 && kid.kind != asCell
	})
}

// treeWriter writes elements as objects.
type treeWriter struct {
	page    func(int) int // object of a page
	numbers map[*element]int
	next    int
}

// number gives the elements their objects, in the order of reading.
func (w *treeWriter) number(e *element) {
	w.numbers[e] = w.next
	w.next++
	for _, k := range e.kids {
		if kid, ok := k.(*element); ok {
			w.number(kid)
		}
	}
}

// parents says for each mark of each page which element it belongs to.
func (w *treeWriter) parents(owners [][]*element) string {
	b := []byte("<</Nums [")
	for page, list := range owners {
		b = fmt.Appendf(b, "%d [", page)
		for _, e := range list {
			b = fmt.Appendf(b, "%d 0 R ", w.numbers[e])
		}
		b = append(b, "] "...)
	}
	return string(append(b, "]>>"...))
}

// write appends an element and what is in it.
func (w *treeWriter) write(to []string, e *element, parent int) []string {
	n := w.numbers[e]
	b := fmt.Appendf(nil, "<</Type /StructElem /S /%s /P %d 0 R", e.kind, parent)
	if e.alt != "" {
		b = append(append(b, " /Alt "...), textString(e.alt)...)
	}
	if e.attr != "" {
		b = fmt.Appendf(b, " /A <<%s>>", e.attr)
	}
	on := -1 // page of the marks that stand as mere numbers
	for _, k := range e.kids {
		if m, ok := k.(marked); ok && on < 0 {
			on = m.page
			b = fmt.Appendf(b, " /Pg %d 0 R", w.page(on))
		}
	}
	if len(e.kids) > 0 {
		b = append(b, " /K ["...)
		for _, k := range e.kids {
			switch k := k.(type) {
			case *element:
				b = fmt.Appendf(b, "%d 0 R ", w.numbers[k])
			case marked:
				if k.page == on {
					b = fmt.Appendf(b, "%d ", k.id)
				} else {
					b = fmt.Appendf(b, "<</Type /MCR /Pg %d 0 R /MCID %d>> ", w.page(k.page), k.id)
				}
			}
		}
		b = append(b, ']')
	}
	to = append(to, string(append(b, ">>"...)))
	for _, k := range e.kids {
		if kid, ok := k.(*element); ok {
			to = w.write(to, kid, n)
		}
	}
	return to
}

// textString writes words as a string of PDF: UTF-16 with its mark, in hexadecimal.
func textString(words string) string {
	b := []byte{0xFE, 0xFF}
	for _, u := range utf16.Encode([]rune(words)) {
		b = append(b, byte(u>>8), byte(u))
	}
	return "<" + hex.EncodeToString(b) + ">"
}
