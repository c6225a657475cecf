package storetest

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"underfoot"
)

var concurrencyChecks = []check{
	{"readers do not wait and see none or all of a change", func(b *bed) {
		b.importClub("a")
		begun, release := make(chan bool), make(chan bool)
		done := make(chan error, 1)
		go func() {
			_, err := b.Change(b.ctx, "ann", "slow", func(x underfoot.Tx) error {
				_, err := x.Put(&underfoot.Green{Course: "a", ID: "3"})
				close(begun)
				<-release
				return err
			})
			done <- err
		}()
		<-begun
		var readers sync.WaitGroup
		for range 8 {
			readers.Go(func() {
				rs, err := b.Records(b.ctx, "a")
				if err != nil || len(rs.Greens) != 2 {
					b.Errorf("during the change: %v, error %v", rs, err)
				}
			})
		}
		readers.Wait()
		close(release)
		if err := <-done; err != nil {
			b.Fatal(err)
		}
		b.same("greens", 3, len(b.records("a").Greens))
	}},
	{"writers wait for one another", func(b *bed) {
		b.put("put", &underfoot.Course{ID: "a"})
		var writers sync.WaitGroup
		for i := range 8 {
			writers.Go(func() {
				for j := range 5 {
					_, err := b.Change(b.ctx, "ann", "added a green", func(x underfoot.Tx) error {
						_, err := x.Put(&underfoot.Green{Course: "a", ID: fmt.Sprintf("%d-%d", i, j)})
						return err
					})
					if err != nil {
						b.Error(err)
					}
				}
			})
		}
		writers.Wait()
		b.same("greens", 40, len(b.records("a").Greens))
		latest, err := b.Latest(b.ctx, "a")
		b.same("latest", []any{int64(41), nil}, []any{latest, err})
	}},
	{"a waiting writer can give up", func(b *bed) {
		b.change("slow", func(underfoot.Tx) {
			ctx, cancel := context.WithTimeout(b.ctx, 20*time.Millisecond)
			defer cancel()
			_, err := b.Change(ctx, "bob", "impatient", func(underfoot.Tx) error { return nil })
			if !errors.Is(err, context.DeadlineExceeded) {
				b.Errorf("error %v", err)
			}
		})
	}},
}
