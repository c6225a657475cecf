package web

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"net/url"
	"strconv"
	"sync"

	"github.com/a-h/templ"

	"underfoot/internal/say"
	"underfoot/internal/web/page"
)

// sender writes pages: whole or not at all, in gzip where the browser takes it.
type sender struct {
	buffers sync.Pool
	zippers sync.Pool
}

func newSender() *sender {
	s := &sender{}
	s.buffers.New = func() any { return new(bytes.Buffer) }
	s.zippers.New = func() any {
		w, _ := gzip.NewWriterLevel(nil, gzip.BestSpeed)
		return w
	}
	return s
}

// page renders a component with a status. A component that fails leaves nothing sent.
func (s *sender) page(w http.ResponseWriter, r *http.Request, status int, c templ.Component) error {
	b := s.buffers.Get().(*bytes.Buffer)
	defer s.buffers.Put(b)
	b.Reset()
	var here *url.URL
	if r.Method == http.MethodGet || r.Method == http.MethodHead {
		here = withoutPicture(r.URL)
	}
	pictures := page.NewPictures(here)
	if err := c.Render(pictures.With(r.Context()), b); err != nil {
		return err
	}
	if q := r.URL.Query(); status == http.StatusOK && here != nil && q.Has("figure") {
		return s.picture(w, r, pictures, q.Get("figure"), q.Get("as"))
	}
	s.html(w, r, status, say.From(r.Context()).Page(b.Bytes()))
	return nil
}

// html sends a finished page.
func (s *sender) html(w http.ResponseWriter, r *http.Request, status int, body []byte) {
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "private, no-cache")
	h.Set("Vary", "Accept-Encoding, Cookie")
	if len(body) > 1000 && takesGzip(r) {
		z := s.buffers.Get().(*bytes.Buffer)
		defer s.buffers.Put(z)
		z.Reset()
		gz := s.zippers.Get().(*gzip.Writer)
		defer s.zippers.Put(gz)
		gz.Reset(z)
		gz.Write(body)
		gz.Close()
		h.Set("Content-Encoding", "gzip")
		body = z.Bytes()
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(status)
	if r.Method != http.MethodHead {
		w.Write(body)
	}
}
