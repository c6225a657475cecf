package exchange

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"strings"
	"testing"

	"underfoot"

	"github.com/google/go-cmp/cmp"
)

// rowsOf reads all rows and checks what must hold for any text.
func rowsOf(t testing.TB, text []byte, comma byte) (rows [][]string, faults int) {
	t.Helper()
	r, err := newRowReader(bytes.NewReader(text), 0, comma)
	if err != nil {
		t.Fatal(err)
	}
	last, lines := 0, bytes.Count(text, []byte("\n"))+1
	for {
		row, err := r.next()
		if err == io.EOF {
			return rows, faults
		}
		if err != nil {
			t.Fatal(err)
		}
		if row.line <= last || row.line > lines {
			t.Fatalf("row on line %d after one on line %d, of %d lines", row.line, last, lines)
		}
		last = row.line
		if row.fault != "" {
			faults++
			continue
		}
		rows = append(rows, append([]string(nil), row.cells...))
	}
}

func TestRowsAfterAFault(t *testing.T) {
	text := "a,\"b\nc,d\ne,f\"g\nh,\"i\"\"\nj\",k\n\n\"l\nm\n"
	rows, faults := rowsOf(t, []byte(text), ',')
	want := [][]string{{"c", "d"}, {"h", "i\"\nj", "k"}, {"m"}}
	if diff := cmp.Diff(want, rows); diff != "" || faults != 3 {
		t.Error(faults, diff)
	}
}

// FuzzRows compares with encoding/csv wherever the whole text is well formed, and looks only for sense elsewhere.
func FuzzRows(f *testing.F) {
	for _, s := range []string{
		"a,b\nc,d\n", "a,\"b\nc\",d\r\n\r\ne,f,g", "\"\"\"\",\n", "a;b\n", "a\rb\n", "\"a\"b\n", "\"a\n\nb", "\xff,\x00\n", ",,\n\"\"\n", "\xef\xbb\xbfa\n",
	} {
		f.Add([]byte(s), byte(','))
		f.Add([]byte(s), byte(';'))
	}
	f.Fuzz(func(t *testing.T, text []byte, comma byte) {
		if comma != ',' && comma != ';' && comma != '\t' {
			return
		}
		rows, faults := rowsOf(t, text, comma)
		c := csv.NewReader(bytes.NewReader(text))
		c.Comma, c.FieldsPerRecord = rune(comma), -1
		want, err := c.ReadAll()
		if faults > 0 || bytes.IndexByte(text, '\r') >= 0 {
			var parse *csv.ParseError
			if faults > 0 && bytes.IndexByte(text, '\r') < 0 && !errors.As(err, &parse) {
				t.Fatalf("%d faults in a text that encoding/csv takes", faults)
			}
			return // encoding/csv alters carriage returns inside quotes and lets lone ones pass
		}
		if err != nil {
			t.Fatalf("no fault in a text that encoding/csv refuses: %v", err)
		}
		if len(want) != len(rows) || len(want) > 0 && cmp.Diff(want, rows) != "" {
			t.Fatal(cmp.Diff(want, rows))
		}
	})
}

func FuzzSniff(f *testing.F) {
	for _, s := range []string{"sample,course\n", "sample;course;green\n", "\xef\xbb\xbfsample\tcourse\r\n", "PK\x03\x04", "\"sample\n", "", "a\rb\r"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, head []byte) {
		s, problem := sniffTable(underfoot.Samples, head)
		if problem == "" && (s.start < 0 || s.start > int64(len(head)) || !strings.ContainsRune(",;\t", rune(s.comma))) {
			t.Fatalf("%+v", s)
		}
		if problem == "" && bytes.IndexByte(head, 0) >= 0 {
			t.Fatal("a binary file passes for text")
		}
	})
}

// FuzzRead puts any text in the place of each table: nothing panics, and what is taken can be written and comes back.
func FuzzRead(f *testing.F) {
	for name, text := range base() {
		f.Add(name, []byte(text))
	}
	f.Add("work.csv", []byte("entry;course;date;kind;sand;sand_mm;sand_kg_m2;x\nw1;a;2026-04-01;topdress;dress;1,0;1,56;=1+1\n"))
	f.Add("greens.geojson", []byte(collectionOf(featureOf("g1", square))))
	f.Add("datapackage.json", []byte(`{"resources":[{"path":"../x"}]}`))
	for name, text := range benchFiles() {
		f.Add(name, []byte(text))
	}
	known := map[string]bool{descriptionFile: true}
	for _, t := range underfoot.Tables() {
		known[fileOf(t)] = true
	}
	f.Fuzz(func(t *testing.T, name string, text []byte) {
		if !known[name] {
			return
		}
		files := base()
		files[name] = string(text)
		var c Collector
		if _, err := Read(t.Context(), lay(t, files), Options{Sink: c.Add, Today: today}); err != nil {
			if underfoot.KindOf(err) != underfoot.Invalid {
				t.Fatal(err)
			}
			return
		}
		out, again := t.TempDir()+"/a", t.TempDir()+"/b"
		write(t, out, c.Courses())
		write(t, again, take(t, out))
		if diff := cmp.Diff(folder(t, out), folder(t, again)); diff != "" {
			t.Fatal(diff)
		}
	})
}
