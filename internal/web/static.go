package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strconv"
	"strings"

	"underfoot/internal/figure"
)

//go:embed static
var staticFiles embed.FS

// asset is one static file, ready to send.
type asset struct {
	kind   string // media type
	body   []byte
	zipped []byte // the same in gzip; nil where that gains nothing
}

// assets are the static files under a name that changes with their content, so that a browser may keep them for ever.
type assets struct {
	base  string // "/static/0123456789ab/"
	files map[string]asset
}

// loadAssets gathers the embedded files. The style sheets of static/css, in the order of their names, and the one of
// the figures become the single file underfoot.css.
func loadAssets() (*assets, error) {
	a := &assets{files: map[string]asset{}}
	var sheet bytes.Buffer
	sum := sha256.New()
	err := fs.WalkDir(staticFiles, "static", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := staticFiles.ReadFile(name)
		if err != nil {
			return err
		}
		if path.Dir(name) == "static/css" {
			sheet.Write(body)
			return nil
		}
		a.files[strings.TrimPrefix(name, "static/")] = newAsset(name, body)
		sum.Write(body)
		return nil
	})
	if err != nil {
		return nil, err
	}
	sheet.WriteString(figure.Stylesheet())
	a.files["underfoot.css"] = newAsset("underfoot.css", sheet.Bytes())
	sum.Write(sheet.Bytes())
	a.base = "/static/" + hex.EncodeToString(sum.Sum(nil))[:12] + "/"
	return a, nil
}

func newAsset(name string, body []byte) asset {
	kind := mime.TypeByExtension(path.Ext(name))
	switch path.Ext(name) {
	case ".woff2":
		kind = "font/woff2"
	case ".js":
		kind = "text/javascript; charset=utf-8"
	}
	if kind == "" {
		kind = "text/plain; charset=utf-8"
	}
	small := zipped(body)
	if len(small) > len(body)*9/10 {
		small = nil
	}
	return asset{kind, body, small}
}

func (a *assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name, ok := strings.CutPrefix(r.URL.Path, a.base)
	f, found := a.files[name]
	if !ok || !found {
		http.Error(w, "there is no such file in this version of the program; load the page again", http.StatusNotFound)
		return
	}
	h := w.Header()
	h.Set("Content-Type", f.kind)
	h.Set("Cache-Control", "public, max-age=31536000, immutable")
	h.Set("Vary", "Accept-Encoding")
	body := f.body
	if f.zipped != nil && takesGzip(r) {
		h.Set("Content-Encoding", "gzip")
		body = f.zipped
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	if r.Method != http.MethodHead {
		w.Write(body)
	}
}

// takesGzip says whether the client accepts gzip.
func takesGzip(r *http.Request) bool {
	for part := range strings.SplitSeq(r.Header.Get("Accept-Encoding"), ",") {
		name, q, _ := strings.Cut(strings.TrimSpace(part), ";")
		if name == "gzip" || name == "*" {
			return strings.ReplaceAll(q, " ", "") != "q=0"
		}
	}
	return false
}

func zipped(body []byte) []byte {
	var b bytes.Buffer
	w, _ := gzip.NewWriterLevel(&b, gzip.BestCompression)
	w.Write(body)
	w.Close()
	return b.Bytes()
}
