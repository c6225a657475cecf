package report

import (
	"bytes"
	"context"
	"path/filepath"
	"testing"
	"time"

	"underfoot/internal/app"
	"underfoot/internal/golden"
)

var prepared = time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)

// stood are the standings that were asked for: working one out takes a calibration, and nothing here changes it.
var stood = map[string]*app.Standing{}

// standing reads an example course as it stood on the day of the tests.
func standing(t testing.TB, folder string) *app.Standing {
	t.Helper()
	if s := stood[folder]; s != nil {
		return s
	}
	list, err := app.ReadPackage(context.Background(), filepath.Join("..", "..", "examples", folder), prepared, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	s, err := app.Stand(list[0], list[0].Course.Today(prepared), app.Wishes{})
	if err != nil {
		t.Fatal(err)
	}
	stood[folder] = s
	return s
}

func options() Options {
	return Options{PreparedBy: "the course manager", When: prepared, Version: "0.1"}
}

func html(t testing.TB, m Model, page Paper, styling Styling) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := m.HTML(&b, page, styling); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestGolden(t *testing.T) {
	for _, folder := range []string{"varrowmere", "second"} {
		t.Run(folder, func(t *testing.T) {
			m := Build(standing(t, folder), options())
			golden.Equal(t, filepath.Join("testdata", folder+".html"), html(t, m, Auto, Linked("report.css")))
		})
	}
}
