package cli_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"underfoot/examples"
)

// Every script has the example courses in its folder and three more commands:
//
//	exits STATUS PROGRAM ARG…   run a program that must end with this status
//	shape FILE SHAPE            FILE (or stdout) is JSON of the shape in SHAPE; see shapeFaults
//	value FILE PATH WANT        what lies at PATH in the JSON of FILE, such as layers/0/trend/verdict, prints as WANT
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:   "testdata/script",
		Setup: func(e *testscript.Env) error { return os.CopyFS(e.WorkDir, examples.Files) },
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
			"shape": shape,
			"value": value,
		},
	})
}

func exits(ts *testscript.TestScript, _ bool, args []string) {
	if len(args) < 2 {
		ts.Fatalf("usage: exits STATUS PROGRAM ARG…")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("status %d, want %d", got, want)
	}
}

func parsed(ts *testscript.TestScript, file string) any {
	var v any
	if err := json.Unmarshal([]byte(ts.ReadFile(file)), &v); err != nil {
		ts.Fatalf("%s is not JSON: %v", file, err)
	}
	return v
}

func value(ts *testscript.TestScript, _ bool, args []string) {
	if len(args) != 3 {
		ts.Fatalf("usage: value FILE PATH WANT")
	}
	v := parsed(ts, args[0])
	for step := range strings.SplitSeq(args[1], "/") {
		switch x := v.(type) {
		case map[string]any:
			next, ok := x[step]
			if !ok {
				ts.Fatalf("%s: there is no %q; there are %v", args[1], step, slices.Sorted(maps.Keys(x)))
			}
			v = next
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i >= len(x) {
				ts.Fatalf("%s: no element %q among %d", args[1], step, len(x))
			}
			v = x[i]
		default:
			ts.Fatalf("%s: nothing lies below %q", args[1], step)
		}
	}
	got, err := json.Marshal(v)
	ts.Check(err)
	if strings.Trim(string(got), `"`) != args[2] {
		ts.Fatalf("%s is %s, want %s", args[1], got, args[2])
	}
}

func shape(ts *testscript.TestScript, _ bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: shape FILE SHAPE")
	}
	if faults := shapeFaults("", parsed(ts, args[1]), parsed(ts, args[0])); len(faults) > 0 {
		ts.Fatalf("%s has not the shape of %s:\n%s", args[0], args[1], strings.Join(faults, "\n"))
	}
}

// shapeFaults says where JSON differs from a shape. A shape is JSON too: every member it names must be there (there may
// be more); a list of one shape stands for one or more of it, an empty one for any; a text names what is expected:
// number, text, yes-or-no, date, or words allowed, split by "|", with "?" after it where null is allowed.
func shapeFaults(at string, want, got any) []string {
	var faults []string
	say := func(format string, args ...any) { faults = append(faults, at+": "+fmt.Sprintf(format, args...)) }
	switch want := want.(type) {
	case map[string]any:
		members, ok := got.(map[string]any)
		if !ok {
			say("%v is not an object", got)
			return faults
		}
		for _, name := range slices.Sorted(maps.Keys(want)) {
			if _, ok := members[name]; !ok {
				say("member %s is missing; there are %v", name, slices.Sorted(maps.Keys(members)))
				continue
			}
			faults = append(faults, shapeFaults(at+"/"+name, want[name], members[name])...)
		}
	case []any:
		list, ok := got.([]any)
		switch {
		case !ok:
			say("%v is not a list", got)
		case len(want) > 0 && len(list) == 0:
			say("the list is empty")
		}
		for i, v := range list {
			if len(want) > 0 {
				faults = append(faults, shapeFaults(fmt.Sprintf("%s/%d", at, i), want[0], v)...)
			}
		}
	case string:
		if !fits(want, got) {
			say("%v is not %s", got, want)
		}
	}
	return faults
}

func fits(want string, got any) bool {
	if kind, ok := strings.CutSuffix(want, "?"); ok {
		if got == nil {
			return true
		}
		want = kind
	}
	switch x := got.(type) {
	case float64:
		return want == "number"
	case bool:
		return want == "yes-or-no"
	case string:
		switch want {
		case "text":
			return true
		case "date":
			return len(x) == 10 && x[4] == '-' && x[7] == '-'
		}
		return slices.Contains(strings.Split(want, "|"), x)
	}
	return false
}

// What the shape command refuses.
func TestShapeFaults(t *testing.T) {
	const want = `{"list": [{"n": "number", "m": "number?", "w": "up|down", "day": "date"}], "ok": "yes-or-no", "any": []}`
	cases := []struct{ name, got, fault string }{
		{"as it should be", `{"list": [{"n": 1, "m": null, "w": "up", "day": "2026-01-02"}], "ok": true, "any": [], "more": 1}`, ""},
		{"number as text", `{"list": [{"n": "1", "m": null, "w": "up", "day": "2026-01-02"}], "ok": true, "any": []}`, "/list/0/n: 1 is not number"},
		{"null", `{"list": [{"n": null, "m": 2, "w": "up", "day": "2026-01-02"}], "ok": true, "any": [1]}`, "/list/0/n: <nil> is not number"},
		{"strange word", `{"list": [{"n": 1, "m": 2, "w": "across", "day": "2026-01-02"}], "ok": true, "any": []}`, "/list/0/w: across is not up|down"},
		{"empty list", `{"list": [], "ok": true, "any": []}`, "/list: the list is empty"},
		{"missing member", `{"list": [{"n": 1, "m": 2, "w": "up", "day": "2026-01-02"}], "any": []}`, ": member ok is missing; there are [any list]"},
		{"no list", `{"list": null, "ok": false, "any": []}`, "/list: <nil> is not a list"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var w, g any
			if err := errors.Join(json.Unmarshal([]byte(want), &w), json.Unmarshal([]byte(c.got), &g)); err != nil {
				t.Fatal(err)
			}
			if got := strings.Join(shapeFaults("", w, g), "\n"); got != c.fault {
				t.Errorf("got %q, want %q", got, c.fault)
			}
		})
	}
}
