package web

import (
	"archive/zip"
	"errors"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strings"

	"underfoot"
)

// unpackedMost is the most a .zip may hold once unpacked, in bytes.
const unpackedMost = 2 << 30

// upload is what a browser sent: the files of a package in a folder of their own.
type upload struct {
	root, folder string
	files        int
}

// receive writes the files of a form into a folder of their own. Only the last part of a file's name counts, so that
// none can land elsewhere.
func receive(r *http.Request) (*upload, error) {
	m, err := r.MultipartReader()
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "the upload could not be read: %w: choose the files again", err)
	}
	root, err := os.MkdirTemp("", "underfoot-import-")
	if err != nil {
		return nil, err
	}
	u := &upload{root: root, folder: filepath.Join(root, "package")}
	if err := u.parts(m); err != nil {
		os.RemoveAll(root)
		return nil, err
	}
	if u.files == 0 {
		os.RemoveAll(root)
		return nil, underfoot.Errorf(underfoot.Invalid, "no file was chosen: choose the tables of the package, or the folder as one .zip")
	}
	return u, nil
}

func (u *upload) parts(m *multipart.Reader) error {
	for {
		part, err := m.NextPart()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return uploadError(err)
		}
		if part.FormName() != "files" || part.FileName() == "" {
			continue
		}
		if err := u.part(part); err != nil {
			return err
		}
	}
}

func uploadError(err error) error {
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return err
	}
	return underfoot.Errorf(underfoot.Invalid, "the upload broke off: %w: send it again", err)
}

func (u *upload) part(part *multipart.Part) error {
	name, folder, err := safeName(fullName(part))
	if err != nil {
		return err
	}
	if strings.EqualFold(path.Ext(name), ".zip") {
		return u.unpack(part, strings.TrimSuffix(name, path.Ext(name)))
	}
	if folder != "" {
		u.name(folder)
	}
	return u.write(name, part)
}

// fullName is the name of an uploaded file with its folder, where the browser tells it.
func fullName(part *multipart.Part) string {
	_, params, err := mime.ParseMediaType(part.Header.Get("Content-Disposition"))
	if err != nil {
		return part.FileName()
	}
	return params["filename"]
}

// safeName takes the last part of a file's name, and the folder it lay in. It refuses names that are no name.
func safeName(full string) (name, folder string, err error) {
	clean := strings.ReplaceAll(full, `\`, "/")
	name, folder = path.Base(clean), path.Base(path.Dir(clean))
	if name == "." || name == ".." || name == "/" || strings.ContainsRune(name, 0) || strings.HasPrefix(name, ".") {
		return "", "", underfoot.Errorf(underfoot.Invalid, "%q is no name of a table: tables are called like samples.csv", full)
	}
	if folder == "." || folder == ".." || folder == "/" || strings.HasPrefix(folder, ".") {
		folder = ""
	}
	return name, folder, nil
}

// name calls the package after the folder or .zip it came from, before its first file is written.
func (u *upload) name(folder string) {
	if u.files == 0 {
		u.folder = filepath.Join(u.root, filepath.Base(folder))
	}
}

func (u *upload) write(name string, from io.Reader) error {
	if err := os.MkdirAll(u.folder, 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(filepath.Join(u.folder, name), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o600)
	if errors.Is(err, os.ErrExist) {
		return underfoot.Errorf(underfoot.Invalid, "the file %s was sent twice: a package has each table once, so send one package at a time", name)
	}
	if err != nil {
		return err
	}
	_, err = io.Copy(f, from)
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		return uploadError(err)
	}
	u.files++
	return nil
}

// unpack takes the tables out of a .zip, wherever in it they lie.
func (u *upload) unpack(from io.Reader, name string) error {
	u.name(name)
	f, err := os.CreateTemp(u.root, "upload-*.zip")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	defer f.Close()
	size, err := io.Copy(f, from)
	if err != nil {
		return uploadError(err)
	}
	z, err := zip.NewReader(f, size)
	if err != nil {
		return underfoot.Errorf(underfoot.Invalid, "%s.zip is not a .zip file: %w", name, err)
	}
	left := int64(unpackedMost)
	for _, entry := range z.File {
		base := path.Base(strings.ReplaceAll(entry.Name, `\`, "/"))
		if entry.FileInfo().IsDir() || strings.HasPrefix(base, ".") || strings.HasPrefix(entry.Name, "__MACOSX/") {
			continue
		}
		safe, _, err := safeName(entry.Name)
		if err != nil {
			return err
		}
		r, err := entry.Open()
		if err != nil {
			return underfoot.Errorf(underfoot.Invalid, "%s in %s.zip: %w", entry.Name, name, err)
		}
		counted := &io.LimitedReader{R: r, N: left + 1}
		err = u.write(safe, counted)
		r.Close()
		if err != nil {
			return err
		}
		if counted.N == 0 {
			return underfoot.Errorf(underfoot.Invalid, "%s.zip holds more than %s: bring it in on the command line", name, megabytes(unpackedMost))
		}
		left = counted.N - 1
	}
	return nil
}
