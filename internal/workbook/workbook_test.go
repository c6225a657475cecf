package workbook_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/workbook"
)

var now = time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)

func stand(t testing.TB, folder string) *app.Standing {
	t.Helper()
	courses, err := app.ReadPackage(t.Context(), folder, now, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	s, err := app.Stand(courses[0], courses[0].Course.Today(now), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// example is the large example course with its plan, worked out once.
var example = sync.OnceValues(func() (*app.Standing, *workbook.Plan) {
	courses, err := app.ReadPackage(context.Background(), "../../examples/varrowmere", now, nil, nil)
	if err != nil {
		panic(err)
	}
	s, err := app.Stand(courses[0], courses[0].Course.Today(now), app.Wishes{})
	if err != nil {
		panic(err)
	}
	m, err := s.Model()
	if err != nil {
		panic(err)
	}
	plan, err := m.Season(context.Background(), m.UsualAsk())
	if err != nil {
		panic(err)
	}
	found, err := plan.Found(0, 0, 0)
	if err != nil {
		panic(err)
	}
	return s, &workbook.Plan{Season: plan, Found: found}
})

func written(t testing.TB, b *workbook.Book) (*excelize.File, []byte) {
	t.Helper()
	var out bytes.Buffer
	if err := b.Write(&out); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(out.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f, out.Bytes()
}

// fifteenth is one in the last digit a cell keeps: excelize writes 15, as many as a spreadsheet shows, and cuts the rest off.
const fifteenth = 1e-14

// sheet is a sheet read back from its XML.
type sheet struct {
	*testing.T
	name  string
	heads []string
	cells [][]stored // by row and column, the header left out
}

type stored struct{ text, kind string } // kind is empty for a number

func open(t *testing.T, f *excelize.File, file []byte, name string) sheet {
	t.Helper()
	i, err := f.GetSheetIndex(name)
	if err != nil || i < 0 {
		t.Fatalf("there is no sheet %q: %v", name, err)
	}
	z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	part, err := z.Open(fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1))
	if err != nil {
		t.Fatal(err)
	}
	var x struct {
		Rows []struct {
			Cells []struct {
				At    string `xml:"r,attr"`
				Kind  string `xml:"t,attr"`
				Value string `xml:"v"`
				Text  string `xml:"is>t"`
			} `xml:"c"`
		} `xml:"sheetData>row"`
	}
	if err := xml.NewDecoder(part).Decode(&x); err != nil {
		t.Fatal(err)
	}
	s := sheet{T: t, name: name}
	for n, row := range x.Rows {
		var cells []stored
		for _, c := range row.Cells {
			column, _, err := excelize.CellNameToCoordinates(c.At)
			if err != nil {
				t.Fatal(err)
			}
			for len(cells) < column {
				cells = append(cells, stored{})
			}
			cells[column-1] = stored{c.Value + c.Text, c.Kind}
		}
		if n > 0 {
			s.cells = append(s.cells, cells)
			continue
		}
		for _, c := range cells {
			s.heads = append(s.heads, c.text)
		}
	}
	return s
}

// at is the cell of a row, from 0, under a header.
func (s sheet) at(row int, head string) stored {
	s.Helper()
	i := slices.Index(s.heads, head)
	if i < 0 {
		s.Fatalf("%s has no column %q, but %q", s.name, head, s.heads)
	}
	if i >= len(s.cells[row]) {
		return stored{}
	}
	return s.cells[row][i]
}

func (s sheet) number(row int, head string, want *float64) {
	s.Helper()
	c := s.at(row, head)
	if want == nil {
		if c.text != "" {
			s.Errorf("%s, row %d, %s is %q: it is not known", s.name, row, head, c.text)
		}
		return
	}
	if got, err := strconv.ParseFloat(c.text, 64); err != nil || math.Abs(got-*want) > fifteenth*math.Abs(*want) || c.kind != "" {
		s.Errorf("%s, row %d, %s is %q of type %q, the standing has %v", s.name, row, head, c.text, c.kind, *want)
	}
}

func (s sheet) length(want int) {
	s.Helper()
	if len(s.cells) != want || want == 0 {
		s.Fatalf("%s has %d rows, the standing %d", s.name, len(s.cells), want)
	}
}

func TestNumbersAreThoseOfTheStanding(t *testing.T) {
	s, plan := example()
	f, file := written(t, workbook.Of(s, workbook.Options{When: now, Plan: plan}))
	found := s.Findings()

	rounds, trends, greens := open(t, f, file, "Rounds"), open(t, f, file, "Trends"), open(t, f, file, "Green levels")
	trends.length(len(found.Layers))
	n, g := 0, 0
	for i, l := range found.Layers {
		for _, r := range l.Rounds {
			rounds.number(n, "top, mm", &l.TopMM)
			rounds.number(n, "organic matter, mean, %", r.Mean)
			rounds.number(n, "s.e., %", r.SE)
			rounds.number(n, "lower 90, %", r.Lower90)
			rounds.number(n, "upper 90, %", r.Upper90)
			n++
		}
		trends.number(i, "change, points a year", l.Trend.SlopePerYear)
		trends.number(i, "lower 95, points a year", l.Trend.Lower95)
		trends.number(i, "upper 95, points a year", l.Trend.Upper95)
		trends.number(i, "chance of rising", l.Trend.PRising)
		for _, x := range l.Greens {
			greens.number(g, "organic matter, %", x.Estimate)
			greens.number(g, "s.e., %", x.SE)
			g++
		}
	}
	rounds.length(n)
	greens.length(g)

	composites := open(t, f, file, "Composites")
	composites.length(len(s.Bench))
	for i, r := range s.Bench {
		composites.number(i, "organic matter, %", r.OrganicMatterPercent)
		composites.number(i, "standard uncertainty, %", r.StandardUncertaintyPercent)
		composites.number(i, "bulk density, kg/m³", r.BulkDensityKgM3)
		if c := composites.at(i, "sample"); c.text != r.Sample {
			t.Errorf("composite %d is %q, the bench has %q", i, c.text, r.Sample)
		}
	}

	b := s.BalanceFound()
	hold, account := open(t, f, file, "Sand to hold"), open(t, f, file, "Account")
	hold.length(len(b.Layers))
	n = 0
	for i, l := range b.Layers {
		hold.number(i, "sand to hold, middle, mm a year", &l.HoldMM.Q50)
		hold.number(i, "sand to hold, 5 %, mm a year", &l.HoldMM.Q05)
		hold.number(i, "chance that less went in than holds it", l.Short)
		for _, a := range l.Accounts {
			account.number(n, "sand in, kg/m²", &a.Sand.Value)
			account.number(n, "organic made less decayed, s.e., kg/m²", &a.Formed.SE)
			n++
		}
	}
	account.length(n)

	advice := s.AdviceFound()
	open(t, f, file, "Sand needed").number(0, "middle, that unit", &advice.Sand.MM.Q50)

	work, months, order := open(t, f, file, "Plan"), open(t, f, file, "Plan by month"), open(t, f, file, "Sand order")
	work.length(len(plan.Season.Proposed().Plan.Entries))
	money := 0.0
	for i, e := range plan.Season.Proposed().Plan.Entries {
		cost := plan.Season.CostOf(e)
		together := cost.Money()
		money += together
		work.number(i, "together, GBP", &together)
		work.number(i, "sand on top, mm", &e.SandMM)
		if day := excelDay(t, work.at(i, "date").text); day != underfoot.Date(e.Day) {
			t.Errorf("work %d is on %s, the plan says %s", i, day, underfoot.Date(e.Day))
		}
	}
	if math.Abs(money-plan.Found.Cost) > 1e-6*money {
		t.Errorf("the days take %v together, the plan %v", money, plan.Found.Cost)
	}
	months.length(len(plan.Found.Months))
	order.length(len(plan.Found.Order.Deliveries))
	for i, d := range plan.Found.Order.Deliveries {
		order.number(i, "delivered, t", &d.T)
	}

	sizes := open(t, f, file, "Sieve sizes")
	rows := app.Sieve(s.Records)
	sizes.length(len(rows))
	for i, r := range rows {
		sizes.number(i, "D50, mm", r.D50)
		sizes.number(i, "D10, mm", r.D10)
	}

	m, err := s.Model()
	if err != nil {
		t.Fatal(err)
	}
	o, err := s.Outlook()
	if err != nil {
		t.Fatal(err)
	}
	ahead, err := m.Forecast(o.Horizons)
	if err != nil {
		t.Fatal(err)
	}
	forecast, list := open(t, f, file, "Forecast"), m.ForecastRows(ahead)
	forecast.length(len(list))
	for i, r := range list {
		forecast.number(i, "organic matter, mean, %", &r.Mean)
		forecast.number(i, "5 %, %", &r.Q05)
		forecast.number(i, "95 %, %", &r.Q95)
	}
}

func excelDay(t *testing.T, raw string) underfoot.Date {
	t.Helper()
	var serial float64
	if _, err := fmt.Sscan(raw, &serial); err != nil {
		t.Fatalf("a day is %q, not a number", raw)
	}
	at, err := excelize.ExcelDateToTime(serial, false)
	if err != nil {
		t.Fatal(err)
	}
	return underfoot.DateOf(at)
}

// Every record of the course stands in its sheet, cell by cell, a number as a number and a day as a day.
func TestRecordsAreAllThere(t *testing.T) {
	s, _ := example()
	f, file := written(t, workbook.Of(s, workbook.Options{When: now}))
	at := map[*underfoot.Table]int{}
	sheets := map[*underfoot.Table]sheet{}
	s.Records.Each(func(r underfoot.Record) {
		table := r.Table()
		if _, read := sheets[table]; !read {
			sheets[table] = open(t, f, file, "records "+table.Name)
		}
		row := at[table]
		at[table]++
		for i, c := range table.Columns {
			head := c.Name
			if c.Unit != "" {
				head += ", " + c.Unit
			}
			got := sheets[table].at(row, head)
			switch v := table.Value(r, i).(type) {
			case nil:
				if got.text != "" {
					t.Fatalf("%s, row %d, %s is %q: it is not known", table.Name, row, head, got.text)
				}
			case float64:
				sheets[table].number(row, head, &v)
			case int64:
				whole := float64(v)
				sheets[table].number(row, head, &whole)
			case string:
				if c.Kind == underfoot.Day {
					got.text = excelDay(t, got.text).String()
				}
				if got.text != v && table != underfoot.Outlines { // an outline may be longer than a cell takes
					t.Fatalf("%s, row %d, %s is %q, kept %q", table.Name, row, head, got.text, v)
				}
			}
		}
	})
	if len(sheets) < 8 {
		t.Errorf("%d tables of records: the example has more", len(sheets))
	}
}

func TestEverySheetIsFitForUse(t *testing.T) {
	s, plan := example()
	book := workbook.Of(s, workbook.Options{When: now, Author: "the course manager", Version: "1", Plan: plan})
	f, _ := written(t, book)
	if got := f.GetSheetList(); len(got) != len(book.Sheets) || got[0] != "About" {
		t.Fatalf("sheets are %q", got)
	}
	about, err := f.GetRows("About")
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]string{}
	for _, row := range about[1:] {
		said[row[0]] = row[1]
	}
	seen := map[string]bool{}
	for _, sheet := range book.Sheets {
		if len(sheet.Rows) == 0 && sheet.Empty == "" {
			t.Errorf("%s is empty and does not say why", sheet.Name)
		}
		for i := range sheet.Columns {
			column, err := excelize.ColumnNumberToName(i + 1)
			if err != nil {
				t.Fatal(err)
			}
			if wide, err := f.GetColWidth(sheet.Name, column); err != nil || wide < 9 || wide > 90 {
				t.Errorf("%s, %s is %v letters wide, %v", sheet.Name, column, wide, err)
			}
		}
		if lower := strings.ToLower(sheet.Name); seen[lower] {
			t.Errorf("two sheets are called %q", lower)
		} else {
			seen[lower] = true
		}
		if len(sheet.Name) > 31 || strings.ContainsAny(sheet.Name, `:\/?*[]'`) {
			t.Errorf("sheet name %q is not allowed", sheet.Name)
		}
		if panes, err := f.GetPanes(sheet.Name); err != nil || !panes.Freeze || panes.YSplit != 1 {
			t.Errorf("%s: its header row is not frozen: %+v, %v", sheet.Name, panes, err)
		}
		if sheet.Name != "About" && said[sheet.Name] == "" {
			t.Errorf("the first sheet does not say what %q holds", sheet.Name)
		}
		heads := map[string]bool{}
		for _, c := range sheet.Columns {
			if heads[c.Head] {
				t.Errorf("%s has two columns %q", sheet.Name, c.Head)
			}
			heads[c.Head] = true
		}
		for r, row := range sheet.Rows {
			for i, v := range row {
				c := sheet.Columns[i]
				switch v.(type) {
				case nil:
				case string:
					if c.Kind != workbook.Text && sheet.Name != "About" {
						t.Errorf("%s, row %d, %s holds the text %q", sheet.Name, r, c.Head, v)
					}
				case float64, int, bool, underfoot.Date:
					if c.Kind == workbook.Text && sheet.Name != "About" {
						t.Errorf("%s, row %d, %s holds %v as text", sheet.Name, r, c.Head, v)
					}
				default:
					t.Errorf("%s, row %d, %s holds a %T", sheet.Name, r, c.Head, v)
				}
				if p, ok := v.(float64); ok && c.Kind == workbook.Chance && (p < 0 || p > 1) {
					t.Errorf("%s, row %d, %s is %v: a chance is 0 to 1", sheet.Name, r, c.Head, p)
				}
			}
		}
	}
	props, err := f.GetDocProps()
	if err != nil || props.Title != "Varrowmere Links, workbook" || props.Creator != "the course manager" || props.Created != "2026-11-25T12:00:00Z" {
		t.Errorf("properties %+v, %v", props, err)
	}
	if day, err := f.GetCellValue("Rounds", "D2"); err != nil || len(day) != len("2026-10-08") || day[4] != '-' {
		t.Errorf("a day is shown as %q, %v", day, err)
	}
}

func TestSameBookSameBytes(t *testing.T) {
	s := stand(t, "../../examples/second")
	var first []byte
	for range 3 {
		_, b := written(t, workbook.Of(s, workbook.Options{When: now, Author: "x"}))
		if first == nil {
			first = b
		}
		if !bytes.Equal(first, b) {
			t.Fatal("the same course gave other bytes")
		}
	}
}

// A course that has next to nothing still has all its sheets, and is told what is missing.
func TestLittleRecorded(t *testing.T) {
	rs := &underfoot.Records{Course: underfoot.Course{ID: "bare", Name: "Bare"}}
	s, err := app.Stand(rs, underfoot.MakeDate(2026, time.November, 25), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	book := workbook.Of(s, workbook.Options{WhyNot: "there is no direction to plan for yet."})
	f, file := written(t, book)
	if s := open(t, f, file, "Rounds"); len(s.cells) != 1 || len(s.heads) < 5 || s.cells[0][0].text != "Empty: there are no rounds for it, or too few." {
		t.Errorf("Rounds has %d columns and the rows %v: the frame stays and says why it is empty", len(s.heads), s.cells)
	}
	for _, sheet := range book.Sheets {
		if (len(sheet.Rows) == 0) != (sheet.Empty != "") {
			t.Errorf("%s has %d rows and says %q", sheet.Name, len(sheet.Rows), sheet.Empty)
		}
	}
	text, _ := json.Marshal(book.Sheets[0].Rows)
	for _, want := range []string{"Empty: there is no direction to plan for yet.", "Empty: the balance compares two rounds; there is none yet.", "Nothing is recorded of", "metric throughout"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the first sheet does not say %q", want)
		}
	}
	if strings.Contains(string(text), "Last record") {
		t.Error("the first sheet names a last record, and there is none")
	}
}

// How a report is put together is a table of records too; its logo is said, not spelt out.
func TestDocumentsAreSaid(t *testing.T) {
	d := underfoot.Document{Course: "bare", ID: underfoot.TheReport, Kind: "crew", Note: "One.\nTwo."}
	d.SetPicture(bytes.Repeat([]byte("logo"), 100_000))
	rs := &underfoot.Records{Course: underfoot.Course{ID: "bare", Name: "Bare"}, Documents: []underfoot.Document{d}}
	s, err := app.Stand(rs, underfoot.MakeDate(2026, time.November, 25), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	f, file := written(t, workbook.Of(s, workbook.Options{}))
	sheet := open(t, f, file, "records documents")
	row := map[string]string{}
	for i, c := range sheet.cells[0] {
		row[sheet.heads[i]] = c.text
	}
	if len(sheet.cells) != 1 || row["kind"] != "crew" || row["note"] != "One.\nTwo." || row["logo"] != "a picture of 400000 bytes, which the package has" {
		t.Errorf("the sheet holds %v", row)
	}
}

// Text that a spreadsheet would take for a formula, and text that is hard to write, comes back as the same text.
func TestTextStaysText(t *testing.T) {
	texts := []string{"=1+1", "+44", "-2", "@SUM(A1)", "=HYPERLINK(\"http://x\")", "\t=1", " two spaces ", "a\nb", "<b>&amp;", "_x0041_", "12", "ü 0–20 mm", "1e5", "TRUE"}
	s := workbook.Sheet{Name: "texts", Columns: []workbook.Column{{Head: "=head"}}}
	for _, text := range texts {
		s.Rows = append(s.Rows, []any{text})
	}
	f, _ := written(t, &workbook.Book{Title: "t", Sheets: []workbook.Sheet{s}})
	for i, want := range append([]string{"=head"}, texts...) {
		at := fmt.Sprintf("A%d", i+1)
		got, err := f.GetCellValue("texts", at)
		if err != nil || got != want {
			t.Errorf("%s is %q, written was %q: %v", at, got, want, err)
		}
		if formula, err := f.GetCellFormula("texts", at); err != nil || formula != "" {
			t.Errorf("%s has the formula %q, %v", at, formula, err)
		}
		if kind, err := f.GetCellType("texts", at); err != nil || kind != excelize.CellTypeInlineString {
			t.Errorf("%s is of type %d, not text: %v", at, kind, err)
		}
	}
}

// What is longer than a cell takes is cut, and says so.
func TestLongTextSaysItIsCut(t *testing.T) {
	for _, letter := range []string{"x", "ü", "𝄞"} {
		s := workbook.Sheet{Name: "long", Columns: []workbook.Column{{Head: "text"}}, Rows: [][]any{{strings.Repeat(letter, 40000)}, {"short"}}}
		f, _ := written(t, &workbook.Book{Sheets: []workbook.Sheet{s}})
		got, err := f.GetCellValue("long", "A2")
		if err != nil || !strings.HasPrefix(got, letter) || !strings.HasSuffix(got, "the package has all of it)") {
			t.Errorf("%s: the cell ends in %q, %v", letter, got[max(0, len(got)-80):], err)
		}
	}
}

func BenchmarkLogOf5000(b *testing.B) {
	s := stand(b, "../../examples/second")
	template := s.Records.Work[0]
	rs := *s.Records
	rs.Work = nil
	for i := range 5000 {
		w := template
		w.ID, w.Date = fmt.Sprintf("w%04d", i), template.Date.Add(-i%3650)
		rs.Work = append(rs.Work, w)
	}
	s, err := app.Stand(&rs, s.Today, app.Wishes{})
	if err != nil {
		b.Fatal(err)
	}
	s.Outlook() // what the pages have worked out by then
	b.ResetTimer()
	for range b.N {
		var out bytes.Buffer
		if err := workbook.Of(s, workbook.Options{When: now}).Write(&out); err != nil {
			b.Fatal(err)
		}
	}
}
