package cli

import (
	"bufio"
	"compress/gzip"
	"errors"
	"io"
	"io/fs"
	"os"

	"underfoot"
)

// readAhead is the size of the pieces in which tables are read [bytes].
const readAhead = 256 << 10

// opened is a table being read.
type opened struct {
	io.Reader
	close func() error
}

// Close ends the reading.
func (o opened) Close() error { return o.close() }

// open opens the table; one that starts as gzip does is unpacked beside the reading.
func (c *mixedCommand) open() (io.ReadCloser, error) {
	file, err := os.Open(c.Data)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, underfoot.Errorf(underfoot.NotFound, "table %s is not there", shown(c.Data))
	case err != nil:
		return nil, underfoot.Errorf(underfoot.Invalid, "opening the table: %w", err)
	}
	if info, err := file.Stat(); err == nil && info.IsDir() {
		file.Close()
		return nil, underfoot.Errorf(underfoot.Invalid, "%s is a folder: give a table of commas", shown(c.Data))
	}
	b := bufio.NewReaderSize(file, readAhead)
	if magic, _ := b.Peek(2); string(magic) != "\x1f\x8b" { // RFC 1952, section 2.3.1
		return opened{b, file.Close}, nil
	}
	z, err := gzip.NewReader(b)
	if err != nil {
		file.Close()
		return nil, underfoot.Errorf(underfoot.Invalid, "unpacking %s: %w", shown(c.Data), err)
	}
	from, to := io.Pipe()
	go func() {
		_, err := io.CopyBuffer(to, z, make([]byte, readAhead))
		to.CloseWithError(err)
	}()
	return opened{from, func() error { return errors.Join(from.Close(), file.Close()) }}, nil
}
