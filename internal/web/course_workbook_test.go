package web

import (
	"bytes"
	"net/http"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

func TestWorkbookOfACourse(t *testing.T) {
	s := newSite(t, Options{Version: "9.9"})
	w := s.get("/course/ostrelby/workbook.xlsx")
	h := w.Header()
	if w.Code != http.StatusOK || h.Get("Content-Type") != "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet" || h.Get("Content-Disposition") != `attachment; filename="ostrelby.xlsx"` {
		t.Fatalf("status %d, headers %v", w.Code, h)
	}
	f, err := excelize.OpenReader(bytes.NewReader(w.Body.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := f.GetRows("About")
	if err != nil {
		t.Fatal(err)
	}
	var about strings.Builder
	for _, row := range rows {
		about.WriteString(strings.Join(row, " ") + "\n")
	}
	for _, want := range []string{"Underfoot 9.9", "Empty: there is no direction to plan for yet.", "records greens"} {
		if !strings.Contains(about.String(), want) {
			t.Errorf("the first sheet does not say %q:\n%s", want, about.String())
		}
	}
	if again := s.get("/course/ostrelby/workbook.xlsx"); !bytes.Equal(again.Body.Bytes(), w.Body.Bytes()) {
		t.Error("asked for twice, the workbook has other bytes")
	}
	if w := s.get("/course/none/workbook.xlsx"); w.Code != http.StatusNotFound || w.Header().Get("Content-Disposition") != "" {
		t.Errorf("of a course that is not there: status %d, %v", w.Code, w.Header())
	}
	if !strings.Contains(s.page("/course/ostrelby"), `href="/course/ostrelby/workbook.xlsx"`) {
		t.Error("the course page does not link to the workbook")
	}
}
