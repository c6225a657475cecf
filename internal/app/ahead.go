package app

import (
	"sync"

	"underfoot"
	"underfoot/internal/exchange"
)

// ahead lets a package be read while the rows read before are being written: read runs beside put, a few batches ahead
// of it. It returns when both have ended, with the error of the writer where there is one, else that of the reader.
func ahead(read func(sink func(underfoot.Record) error) (exchange.Summary, error), put func(underfoot.Record) error) (exchange.Summary, error) {
	const size, batches = 256, 8
	queue := make(chan []underfoot.Record, batches)
	stop := make(chan struct{}) // closed when the writer has given up
	var sum exchange.Summary
	var readErr error
	go func() {
		defer close(queue)
		batch := make([]underfoot.Record, 0, size)
		send := func() error {
			select {
			case queue <- batch:
				batch = make([]underfoot.Record, 0, size)
				return nil
			case <-stop:
				return errStopped
			}
		}
		sum, readErr = read(func(r underfoot.Record) error {
			if batch = append(batch, r); len(batch) < size {
				return nil
			}
			return send()
		})
		if readErr == nil && len(batch) > 0 {
			readErr = send()
		}
	}()
	var writeErr error
	for batch := range queue {
		for _, r := range batch {
			if writeErr != nil {
				break
			}
			if writeErr = put(r); writeErr != nil {
				close(stop)
			}
		}
	}
	if writeErr != nil {
		return sum, writeErr
	}
	return sum, readErr
}

var errStopped = underfoot.Errorf(underfoot.Internal, "the writing has ended")

// oneAtATime lets the reader look into the store while the writer writes to it.
type oneAtATime struct {
	mu sync.Mutex
	tx underfoot.Tx
}

func (o *oneAtATime) Put(r underfoot.Record) (underfoot.Outcome, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.tx.Put(r)
}

func (o *oneAtATime) Has(t *underfoot.Table, key underfoot.Key) (bool, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.tx.Has(t, key)
}

func (o *oneAtATime) CoursesOf(sample string) ([]string, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.tx.CoursesOf(sample)
}

func (o *oneAtATime) Find(t *underfoot.Table, key underfoot.Key) (underfoot.Record, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.tx.Find(t, key)
}
