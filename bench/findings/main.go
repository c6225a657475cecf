// Command findings holds what `underfoot findings` says of virtual courses against what was true of them.
//
//	go run ./bench/findings [-underfoot PROGRAM] [-v] FOLDER…
//
// A FOLDER holds packages v01, v02, … and truth/v01.json, …, as the generator of the virtual courses writes them. It is
// a measurement and no test: nothing passes or fails. The answer is the same every time.
package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// found is the part of the answer of `underfoot findings DIR --json` that is measured.
type found struct {
	Layers []struct {
		Top    float64 `json:"top_mm"`
		Bottom float64 `json:"bottom_mm"`
		Trend  *struct {
			Slope    float64 `json:"slope_per_year"`
			SE       float64 `json:"se"`
			DF       float64 `json:"df"`
			Lower    float64 `json:"lower95"`
			Upper    float64 `json:"upper95"`
			PRising  float64 `json:"p_rising"`
			Verdict  string  `json:"verdict"`
			Steady   bool    `json:"steady"`
			Smallest float64 `json:"smallest_visible_per_year"`
			Model    string  `json:"model"`
		} `json:"trend"`
		SD      *float64 `json:"between_green_sd"`
		SDLower *float64 `json:"between_green_sd_lower95"`
		SDUpper *float64 `json:"between_green_sd_upper95"`
		Spread  *struct {
			PGrowing float64 `json:"p_growing"`
			Verdict  string  `json:"verdict"`
		} `json:"spread"`
		Greens []struct {
			Green     string  `json:"green"`
			Estimate  float64 `json:"estimate"`
			SE        float64 `json:"se"`
			StandsOut bool    `json:"stands_out"`
		} `json:"greens"`
	} `json:"layers"`
	Direction struct {
		Verdict     string   `json:"verdict"`
		Probability *float64 `json:"probability"`
	} `json:"direction"`
}

func main() {
	program := flag.String("underfoot", "", "program to measure; without it this source is built")
	verbose := flag.Bool("v", false, "a line for every course and layer")
	flag.Parse()
	if flag.NArg() == 0 {
		fmt.Fprintln(os.Stderr, "findings: no folder of virtual courses: name at least one")
		os.Exit(2)
	}
	if err := run(*program, *verbose, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "findings:", err)
		os.Exit(1)
	}
}

func run(program string, verbose bool, folders []string) error {
	if program == "" {
		temp, err := os.MkdirTemp("", "underfoot-findings-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(temp) //nolint:errcheck // a temporary folder
		program = filepath.Join(temp, "underfoot")
		if out, err := exec.Command("go", "build", "-o", program, "underfoot/cmd/underfoot").CombinedOutput(); err != nil {
			return fmt.Errorf("building the program: %w: %s", err, out)
		}
	}
	var s score
	for _, folder := range folders {
		names, err := filepath.Glob(filepath.Join(folder, "truth", "*.json"))
		if err != nil {
			return err
		}
		slices.SortFunc(names, func(a, b string) int {
			if len(a) != len(b) {
				return len(a) - len(b)
			}
			return strings.Compare(a, b)
		})
		for _, name := range names {
			if err := measure(&s, program, folder, name, verbose); err != nil {
				return err
			}
		}
	}
	s.print(os.Stdout)
	return nil
}

func measure(s *score, program, folder, name string, verbose bool) error {
	t, err := readTruth(name)
	if err != nil {
		return err
	}
	course := filepath.Join(folder, t.Course)
	days, err := sampled(course)
	if err != nil {
		return err
	}
	text, err := exec.Command(program, "findings", course, "--json").Output()
	if err != nil {
		return fmt.Errorf("findings of %s: %w", course, err)
	}
	var f found
	if err := json.Unmarshal(text, &f); err != nil {
		return fmt.Errorf("findings of %s: %w", course, err)
	}
	s.add(t, f, days, verbose)
	return nil
}
