// Command forecast holds what `underfoot forecast` says of virtual courses against what was true of them.
//
//	go run ./bench/forecast [-underfoot PROGRAM] [-v] FOLDER…
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

// row is a line of the answer, in percent.
type row struct {
	Green string  `json:"green"`
	Date  string  `json:"date"`
	Top   float64 `json:"top_mm"`
	Mean  float64 `json:"mean"`
	Q05   float64 `json:"q05"`
	Q95   float64 `json:"q95"`
}

// truth is what the generator knows about a course.
type truth struct {
	Course string `json:"course"`
	Cut    string `json:"cut"`
	Layers []struct {
		Date  string  `json:"date"`
		Green string  `json:"green"`
		Top   float64 `json:"top_mm"`
		OM    float64 `json:"om_percent"`
	} `json:"layers"`
}

func main() {
	program := flag.String("underfoot", "", "program to measure; without it this source is built")
	verbose := flag.Bool("v", false, "a line for every course")
	flag.Parse()
	if flag.NArg() == 0 {
		fmt.Fprintln(os.Stderr, "forecast: no folder of virtual courses: name at least one")
		os.Exit(2)
	}
	if err := run(*program, *verbose, flag.Args()); err != nil {
		fmt.Fprintln(os.Stderr, "forecast:", err)
		os.Exit(1)
	}
}

func run(program string, verbose bool, folders []string) error {
	if program == "" {
		temp, err := os.MkdirTemp("", "underfoot-forecast-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(temp) //nolint:errcheck // a temporary folder
		program = filepath.Join(temp, "underfoot")
		if out, err := exec.Command("go", "build", "-o", program, "underfoot/cmd/underfoot").CombinedOutput(); err != nil {
			return fmt.Errorf("building the program: %w: %s", err, out)
		}
	}
	s, courses := score{}, 0
	for _, folder := range folders {
		names, err := filepath.Glob(filepath.Join(folder, "truth", "*.json"))
		if err != nil {
			return err
		}
		slices.Sort(names)
		for _, name := range names {
			if err := s.measure(program, folder, name, verbose); err != nil {
				return err
			}
			courses++
		}
	}
	s.print(os.Stdout, courses)
	return nil
}

// measure asks for a course's forecast on the days after the cut and takes it in.
func (s *score) measure(program, folder, name string, verbose bool) error {
	var t truth
	text, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	if err := json.Unmarshal(text, &t); err != nil {
		return fmt.Errorf("truth %s: %w", name, err)
	}
	var dates []string
	for _, l := range t.Layers {
		if l.Date >= t.Cut && !slices.Contains(dates, l.Date) {
			dates = append(dates, l.Date)
		}
	}
	course := filepath.Join(folder, t.Course)
	text, err = exec.Command(program, "forecast", course, "--json", "--dates", strings.Join(dates, ",")).Output()
	if err != nil {
		return fmt.Errorf("forecast of %s: %w", course, err)
	}
	var rows []row
	if err := json.Unmarshal(text, &rows); err != nil {
		return fmt.Errorf("forecast of %s: %w", course, err)
	}
	records, err := readRecords(course)
	if err != nil {
		return err
	}
	s.add(t, rows, records, verbose)
	return nil
}
