package web

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// mostPeerBytes is the most a table of peers may hold: a row for every year and layer is far less.
const mostPeerBytes = 1 << 20

// showPeers shows the findings with a table of peers that was sent. It is kept nowhere.
func (s *server) showPeers(w http.ResponseWriter, r *http.Request) error {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return err
	}
	t, err := readPeers(r)
	if err != nil {
		return err
	}
	status := http.StatusOK
	if len(t.errors) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return s.findingsPage(w, r, status, st, findingsView{judge: judgeForm(st, r), peers: t})
}

// readPeers reads the table out of the form; what is wrong with it is told beside the field.
func readPeers(r *http.Request) (peerTable, error) {
	m, err := r.MultipartReader()
	if err != nil {
		return peerTable{}, underfoot.Errorf(underfoot.Invalid, "the upload could not be read: %w: choose the table again", err)
	}
	for {
		part, err := m.NextPart()
		if errors.Is(err, io.EOF) {
			return peerTable{errors: []string{"No file was chosen: choose a table of peers, a .csv with the columns " + strings.Join(app.PeerColumns(), ", ") + "."}}, nil
		}
		if err != nil {
			return peerTable{}, uploadError(err)
		}
		if part.FormName() != "files" || part.FileName() == "" {
			continue
		}
		name, _, err := safeName(part.FileName())
		if err != nil {
			return peerTable{errors: []string{page.Sentence(err.Error())}}, nil
		}
		body, err := io.ReadAll(io.LimitReader(part, mostPeerBytes+1))
		if err != nil {
			return peerTable{}, uploadError(err)
		}
		if len(body) > mostPeerBytes {
			return peerTable{errors: []string{name + " holds more than " + megabytes(mostPeerBytes) + ": a table of peers has one row for each species, layer and year."}}, nil
		}
		rows, err := app.ReadPeerTable(bytes.NewReader(body), name)
		if err != nil {
			return peerTable{errors: sentences(err)}, nil
		}
		return peerTable{name: name, rows: rows}, nil
	}
}

// sentences are the lines of an error that joins several.
func sentences(err error) []string {
	var out []string
	for line := range strings.Lines(err.Error()) {
		if line = strings.TrimSpace(line); line != "" {
			out = append(out, page.Sentence(line))
		}
	}
	return out
}

// exportPeers sends the anonymous summary of the store's courses.
func (s *server) exportPeers(w http.ResponseWriter, r *http.Request) error {
	if _, err := s.app.Store.Get(r.Context(), underfoot.Courses, underfoot.Key{r.PathValue("course")}); err != nil {
		return err
	}
	var b bytes.Buffer
	if _, err := s.app.ExportPeers(r.Context(), &b, ""); err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "text/csv; charset=utf-8")
	h.Set("Content-Disposition", `attachment; filename="peers.csv"`)
	h.Set("Cache-Control", "private, no-store")
	_, err := b.WriteTo(w)
	return err
}
