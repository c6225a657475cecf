package web

import (
	"archive/zip"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"

	"underfoot"
)

// exportCourse sends the course as a package, one .zip.
func (s *server) exportCourse(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("course")
	if _, err := s.app.Store.Get(r.Context(), underfoot.Courses, underfoot.Key{id}); err != nil {
		return err
	}
	root, err := os.MkdirTemp("", "underfoot-export-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(root)
	name := plainName(id)
	folder := filepath.Join(root, name)
	if err := s.app.Export(r.Context(), []string{id}, folder); err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "application/zip")
	h.Set("Content-Disposition", `attachment; filename="`+name+`.zip"`)
	h.Set("Cache-Control", "private, no-store")
	z := zip.NewWriter(w)
	entries, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := addFile(z, folder, name, e.Name()); err != nil {
			s.log.Error("export broke off", "course", id, "error", err)
			panic(http.ErrAbortHandler) // a .zip cut short must not look whole
		}
	}
	return z.Close()
}

func addFile(z *zip.Writer, folder, inside, name string) error {
	f, err := os.Open(filepath.Join(folder, name))
	if err != nil {
		return err
	}
	defer f.Close()
	to, err := z.Create(inside + "/" + name)
	if err != nil {
		return err
	}
	_, err = io.Copy(to, f)
	return err
}

// plainName keeps of a name what any file system takes.
func plainName(s string) string {
	plain := strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c == '-', c == '_':
			return c
		}
		return '-'
	}, s)
	if strings.Trim(plain, "-") == "" {
		return "course"
	}
	return plain
}
