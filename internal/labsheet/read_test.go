package labsheet

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestReadRefuses(t *testing.T) {
	for name, tt := range map[string]struct{ data, says string }{
		"empty.csv": {"", "empty.csv is empty: a table with headings and rows is needed"},
		"blank.csv": {"\n\n , \n", "blank.csv is empty: a table with headings and rows is needed"},
		"a.pdf":     {"%PDF-1.7", "a.pdf is a PDF document: ask the laboratory for the table as CSV or XLSX"},
		"old.xls":   {"\xD0\xCF\x11\xE0....", "old.xls is an old workbook (.xls) or one locked with a password: save it as .xlsx without a password, or as CSV"},
		"zero.csv":  {"a,b\n1,\x002", "zero.csv is not a text file (byte 7 is zero): save the table as CSV or XLSX"},
	} {
		_, err := Read(name, []byte(tt.data))
		if err == nil || err.Error() != tt.says {
			t.Errorf("%s: %v, want %s", name, err, tt.says)
		}
	}
	if _, err := Read("torn.xlsx", []byte("PK\x03\x04 and then nothing")); err == nil || !strings.Contains(err.Error(), "torn.xlsx cannot be read as a workbook") {
		t.Errorf("a torn workbook: %v", err)
	}
}

// FuzzRead reads any bytes as a sheet and goes all the way by the proposed rule: nothing panics, and every problem has a place.
func FuzzRead(f *testing.F) {
	names, err := filepath.Glob(filepath.Join("testdata", "sheets", "*"))
	if err != nil {
		f.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, ".json") {
			continue
		}
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<16 {
			return
		}
		b, err := Read("fuzz.csv", data)
		if err != nil {
			return
		}
		for _, k := range append(Kinds(), "") {
			p := Propose(b, Wish{Kind: k})
			if err := p.Rule.Check(); err != nil {
				t.Fatalf("the proposed rule is refused: %v\n%s", err, p.Rule.Bytes())
			}
			if _, err := ParseRule(p.Rule.Bytes()); err != nil {
				t.Fatalf("the proposed rule does not come back from its text: %v\n%s", err, p.Rule.Bytes())
			}
			Questions(b, p.Rule)
			table, err := Apply(b, p.Rule)
			if err != nil {
				continue
			}
			for _, x := range table.Problems {
				if x.Place == "" || x.Text == "" {
					t.Errorf("a problem without place or text: %+v", x)
				}
			}
			for _, r := range table.Rows {
				if v, ok := r.Number[FieldOM]; ok && !(v >= 0 && v <= 100) {
					t.Errorf("organic matter of %v %% came through", v)
				}
			}
		}
	})
}

func FuzzParseRule(f *testing.F) {
	f.Add([]byte(`{"kind":"results","head_rows":1,"head_row":1,"columns":[{"column":1,"heading":"OM","field":"om","unit":"%"}]}`))
	b, err := Read("a.csv", []byte("Sample,OM,Date\nA,3.1,2026-10-08\nB,4,\n"))
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ParseRule(data)
		if err != nil {
			return
		}
		Questions(b, Complete(b, r))
		Apply(b, r)
	})
}
