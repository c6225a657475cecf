package store

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"underfoot"
)

// Set for the child that is to be killed: the store it writes to.
const killedStore = "UNDERFOOT_TEST_KILLED_STORE"

func TestMain(m *testing.M) {
	if path := os.Getenv(killedStore); path != "" {
		if err := beKilled(path); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// beKilled says when it begins, puts in a course with its weather as one change, and says when that is done.
func beKilled(path string) error {
	ctx := context.Background()
	s, err := Open(ctx, path, Options{})
	if err != nil {
		return err
	}
	fmt.Println("begin")
	_, err = s.Change(ctx, "ann", "imported a package", func(x underfoot.Tx) error {
		if _, err := x.Put(&underfoot.Course{ID: "a"}); err != nil {
			return err
		}
		for i := range killedDays {
			if _, err := x.Put(&underfoot.Weather{Course: "a", Date: underfoot.Date(i), RainMM: underfoot.Some(float64(i % 37))}); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	fmt.Println("done")
	return s.Close()
}

// A program killed at any moment of a change leaves a store that opens, is whole, and holds none or all of it.
func TestKilledWhileWriting(t *testing.T) {
	if testing.Short() {
		t.Skip("starts many programs")
	}
	_, took := killed(t, time.Minute) // one that is left to finish, for the time it takes
	random := rand.New(rand.NewPCG(1, 2))
	counts := map[string]int{}
	for i := range killedRuns {
		share := random.Float64()
		if i%2 == 0 { // every other one about the moment of the commit
			share = 0.8 + 0.8*share
		}
		wait := time.Duration(share * float64(took))
		path, _ := killed(t, wait)
		counts[whole(t, path)]++
	}
	t.Logf("killed within %v: %v", took, counts)
	if counts["none"] == 0 {
		t.Error("every change was done before its program was killed: nothing was tested")
	}
}

// killed runs the child on a new store, kills it so long after it begins, and returns the store and how long it wrote.
func killed(t *testing.T, wait time.Duration) (string, time.Duration) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "courses.db")
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), killedStore+"="+path)
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	if line, err := lines.ReadString('\n'); line != "begin\n" {
		t.Fatalf("the child said %q, error %v", line, err)
	}
	begun := time.Now()
	timer := time.AfterFunc(wait, func() { child.Process.Kill() }) // SIGKILL
	lines.ReadString('\n')                                         // done, or the end
	took := time.Since(begun)
	io.Copy(io.Discard, lines)
	timer.Stop()
	child.Wait() // killed or not: the store tells
	return path, took
}

// whole opens a store whose program was killed, checks it, and says whether it holds none or all of the change.
func whole(t *testing.T, path string) string {
	t.Helper()
	ctx := context.Background()
	s, err := Open(ctx, path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.Integrity(ctx); err != nil {
		t.Error(err)
	}
	changes, err := s.Changes(ctx, "", 0)
	if err != nil {
		t.Fatal(err)
	}
	rs, err := s.Records(ctx, "a")
	switch {
	case underfoot.KindOf(err) == underfoot.NotFound && len(changes) == 0:
		return "none"
	case err == nil && len(changes) == 1 && len(rs.Weather) == killedDays && changes[0].Added == killedDays+1:
		return "all"
	}
	t.Errorf("neither none nor all: %d changes, error %v", len(changes), err)
	return "part"
}
