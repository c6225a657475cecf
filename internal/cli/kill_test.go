package cli_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"underfoot"
	"underfoot/internal/store"
)

// Killing an import at any moment leaves a store that opens, is whole, and holds all of the package or nothing of it,
// beside what it held before. Every second time the store is not there before.
func TestKillDuringImport(t *testing.T) {
	times, size := 50, 10_000
	if testing.Short() {
		times, size = 8, 2000
	}
	dir, seed := lay(t, big(size)), filepath.Join(t.TempDir(), "seed.db")
	must(t, "import", example(t, "second"), "--store", seed)
	whole := filepath.Join(t.TempDir(), "whole.db")
	began := time.Now()
	cmd, _, said := process(t, "import", dir, "--store", whole)
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	takes := time.Since(began)
	all := len(open(t, whole, "big").Samples)

	chance := rand.New(rand.NewPCG(20261125, 1))
	none, done, killed := 0, 0, 0
	for i := range times {
		db := filepath.Join(t.TempDir(), "s.db")
		if i%2 == 0 {
			text, err := os.ReadFile(seed)
			if err == nil {
				err = os.WriteFile(db, text, 0o600)
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		wait := time.Duration(chance.Float64() * 1.1 * float64(takes))
		cmd, _, _ := process(t, "import", dir, "--store", db)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(wait)
		cmd.Process.Kill() // one that has ended by itself need not be killed
		cmd.Wait()
		if s, ok := cmd.ProcessState.Sys().(syscall.WaitStatus); ok && s.Signaled() {
			killed++
		}
		rs := open(t, db, "big")
		switch {
		case rs == nil:
			none++
		case len(rs.Samples) == all && len(rs.Weighings) == all && len(rs.Greens) == 18:
			done++
		default:
			t.Fatalf("killed after %v of %v: the store holds %d greens, %d samples and %d weighings, neither none nor all",
				wait, takes, len(rs.Greens), len(rs.Samples), len(rs.Weighings))
		}
		if i%2 == 0 && open(t, db, "ostrelby") == nil {
			t.Fatalf("killed after %v of %v: the course that was in the store before is gone", wait, takes)
		}
	}
	t.Logf("an import takes %v; of %d, %d were killed; %d stores hold nothing of the package, %d all", takes.Round(time.Millisecond), times, killed, none, done)
	if killed == 0 {
		t.Errorf("no import was killed: all ended within %v", takes)
	}
}

// open opens a store, holds it to be whole, and returns the records of a course, nil when it is not there.
func open(t *testing.T, path, course string) *underfoot.Records {
	t.Helper()
	st, err := store.Open(t.Context(), path, store.Options{Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	if err := st.Integrity(t.Context()); err != nil {
		t.Fatal(err)
	}
	rs, err := st.Records(t.Context(), course)
	if underfoot.KindOf(err) == underfoot.NotFound {
		changes, err := st.Changes(t.Context(), "", 10)
		if err != nil || slices.ContainsFunc(changes, func(c underfoot.Change) bool { return slices.Contains(c.Courses, course) }) {
			t.Fatalf("course %s is not there and the history names it: %v, %v", course, changes, err)
		}
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	return rs
}

// big is a package of a course with n samples, each burnt in one crucible.
func big(n int) map[string]string {
	var greens, samples, weighings strings.Builder
	greens.WriteString("course,green,area_m2\n")
	for g := range 18 {
		fmt.Fprintf(&greens, "big,g%02d,500\n", g+1)
	}
	samples.WriteString("sample,course,green,round,date,top_mm,bottom_mm,cores,core_diameter_mm\n")
	weighings.WriteString("sample,crucible,tare_g,dry_g,ash_g\n")
	for i := range n {
		round, top := i/54, i/18%3*20
		fmt.Fprintf(&samples, "s%06d,big,g%02d,r%d,%s,%d,%d,5,20\n", i, i%18+1, round, underfoot.MakeDate(2000, 1, 1)+underfoot.Date(round%9000), top, top+20)
		fmt.Fprintf(&weighings, "s%06d,c%d,40,%.2f,%.2f\n", i, i%54, 75+float64(i%100)/100, 73+float64(i%90)/100)
	}
	return map[string]string{
		"courses.csv": "course,time_zone\nbig,UTC\n", "greens.csv": greens.String(), "samples.csv": samples.String(), "weighings.csv": weighings.String(),
	}
}
