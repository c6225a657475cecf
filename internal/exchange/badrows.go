package exchange

import (
	"encoding/csv"
	"io"
)

// badRows writes the refused rows of one file as they were, under the same header; nil writes nothing.
type badRows struct {
	open   func(file string) (io.WriteCloser, error)
	file   string
	header []string
	comma  byte
	to     io.WriteCloser
	csv    *csv.Writer
}

func (b *badRows) add(r *row) error {
	if b == nil || b.open == nil {
		return nil
	}
	if b.csv == nil {
		to, err := b.open(b.file)
		if err != nil {
			return err
		}
		b.to, b.csv = to, csv.NewWriter(to)
		b.csv.Comma = rune(b.comma)
		if err := b.csv.Write(b.header); err != nil {
			return err
		}
	}
	if r.fault == "" {
		return b.csv.Write(r.cells)
	}
	b.csv.Flush()
	if err := b.csv.Error(); err != nil {
		return err
	}
	_, err := io.WriteString(b.to, r.raw+"\n")
	return err
}

func (b *badRows) close() error {
	if b == nil || b.csv == nil {
		return nil
	}
	b.csv.Flush()
	if err := b.csv.Error(); err != nil {
		b.to.Close()
		return err
	}
	return b.to.Close()
}
