package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/figure"
	"underfoot/internal/raster"
	"underfoot/internal/report"
	"underfoot/internal/web/page"
)

// withoutPicture is the address of a page without what asks for one of its pictures.
func withoutPicture(u *url.URL) *url.URL {
	q := u.Query()
	q.Del("figure")
	q.Del("as")
	return &url.URL{Path: u.Path, RawQuery: q.Encode()}
}

// picture sends one picture of a page that was rendered, as a file.
func (s *sender) picture(w http.ResponseWriter, r *http.Request, all *page.Pictures, key, kind string) error {
	x, ok := all.Find(key)
	if !ok {
		return underfoot.Errorf(underfoot.NotFound, "this page has no picture “%s”; it has %s", key, listed(all.Keys()))
	}
	var body []byte
	var media string
	switch kind {
	case "svg":
		body, media = []byte(x.Scene.Titled().SVG(figure.Standalone(), figure.Lettered(report.FontAddress(report.SansFont)), figure.Still())), "image/svg+xml"
	case "png":
		var err error
		if body, err = raster.PNG(x.Scene.Titled(), raster.Scale); err != nil {
			return err
		}
		media = "image/png"
	case "csv":
		body, media = x.Scene.Values().CSV(), "text/csv; charset=utf-8; header=present"
	default:
		return underfoot.Errorf(underfoot.Invalid, "a picture cannot be sent as “%s”: svg, png or csv", kind)
	}
	h := w.Header()
	h.Set("Content-Type", media)
	h.Set("Content-Disposition", `attachment; filename="`+all.File(x, kind)+`"`)
	h.Set("Content-Length", strconv.Itoa(len(body)))
	h.Set("Cache-Control", "private, no-cache")
	w.WriteHeader(http.StatusOK)
	if r.Method != http.MethodHead {
		w.Write(body)
	}
	return nil
}

func listed(keys []string) string {
	if len(keys) == 0 {
		return "none"
	}
	return strings.Join(keys, ", ")
}
