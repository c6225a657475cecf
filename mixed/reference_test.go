package mixed_test

import (
	"compress/gzip"
	"encoding/csv"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"underfoot/internal/reference"
	"underfoot/mixed"
)

// problem is the input of a reference case: a table, a formula, and how to read the table.
type problem struct {
	Data        string              `json:"data"`
	Formula     string              `json:"formula"`
	Factors     []string            `json:"factors"`      // columns of numbers that are labels
	Copies      map[string]string   `json:"copies"`       // new column: the column it repeats
	Layer       string              `json:"layer"`        // only rows of this layer; empty is all
	WeightsFrom string              `json:"weights_from"` // weights are 1/s² of this column over their mean in the rows used
	Weights     string              `json:"weights"`      // weights are this column
	KnownSD     string              `json:"known_sd"`     // known standard deviations of measurement are this column
	ML          bool                `json:"ml"`           // fit by maximum likelihood only
	At          map[string][]string `json:"at"`           // rows to predict
}

// answer is what a reference case says; parts a source does not give are nil and are not compared.
type answer struct {
	N             int          `json:"n"`
	Names         []string     `json:"names"`
	Criterion     float64      `json:"criterion"`
	Sigma         float64      `json:"sigma"`
	Terms         []termAnswer `json:"terms"`
	Components    []component  `json:"components"`
	Boundary      []int        `json:"boundary"` // thetas that are zero
	Zero          []string     `json:"zero"`     // standard deviations that are zero, in a fit with known measurement variance
	Beta          []float64    `json:"beta"`
	SE            []float64    `json:"se"`
	Cov           [][]float64  `json:"cov"`
	Modes         []mode       `json:"modes"`
	Fitted        []float64    `json:"fitted"`
	Residuals     []float64    `json:"residuals"`
	Satterthwaite []float64    `json:"satterthwaite"`
	Slope         float64      `json:"satterthwaite_slope"` // of the second coefficient alone
	KenwardRoger  *adjusted    `json:"kenward_roger"`
	ML            *likelihood  `json:"ml"`
	ProfileREML   []interval   `json:"profile_reml"`
	ProfileML     []interval   `json:"profile_ml"`
	Aliased       []string     `json:"aliased"`
	Contrasts     []contrast   `json:"contrasts"`
	Predictions   *predictions `json:"predictions"`
}

type termAnswer struct {
	Group string    `json:"group"`
	Names []string  `json:"names"`
	Theta []float64 `json:"theta"`
}

type component struct {
	Group       string  `json:"group"`
	Name        string  `json:"name"`
	Other       string  `json:"other"`
	SD          float64 `json:"sd"`
	Correlation float64 `json:"correlation"`
}

type mode struct {
	Group        string   `json:"group"`
	Level        string   `json:"level"`
	Name         string   `json:"name"`
	Estimate     float64  `json:"estimate"`
	SD           *float64 `json:"sd"`
	PredictionSE *float64 `json:"prediction_se"`
}

type adjusted struct {
	DF []float64 `json:"df"`
	SE []float64 `json:"se"`
}

type likelihood struct {
	Criterion float64   `json:"criterion"`
	Sigma     float64   `json:"sigma"`
	Theta     []float64 `json:"theta"` // in the order of the answer's terms
	Beta      []float64 `json:"beta"`
	SE        []float64 `json:"se"`
}

type interval struct {
	Group    string  `json:"group"`
	Name     string  `json:"name"`
	Other    string  `json:"other"`
	Estimate float64 `json:"estimate"`
	Lower    float64 `json:"lower"`
	Upper    float64 `json:"upper"`
}

// fitCase reads the table of a case, writes the model out as numbers and fits it.
func fitCase(t *testing.T, in problem, o mixed.Options) (*mixed.Design, *mixed.Fitted) {
	t.Helper()
	d := designOf(t, in)
	f, err := mixed.Fit(d, o)
	if err != nil {
		t.Fatalf("fitting %s: %v", in.Formula, err)
	}
	return d, f
}

func designOf(t testing.TB, in problem) *mixed.Design {
	t.Helper()
	formula, err := mixed.ParseFormula(in.Formula)
	if err != nil {
		t.Fatalf("reading the formula: %v", err)
	}
	table := readTable(t, in.Data)
	for name, from := range in.Copies {
		table[name] = table[from]
	}
	if in.Layer != "" {
		table = table.where("layer", in.Layer)
	}
	options := mixed.DesignOptions{Weights: in.Weights, KnownSD: in.KnownSD}
	if in.WeightsFrom != "" {
		response, _, _ := strings.Cut(in.Formula, "~")
		table["weight of the row"] = table.precision(t, in.WeightsFrom, strings.TrimSpace(response))
		options.Weights = "weight of the row"
	}
	d, err := formula.Design(table.frame(t, in.Factors), options)
	if err != nil {
		t.Fatalf("writing the model out as numbers: %v", err)
	}
	return d
}

// table is a CSV file by column.
type table map[string][]string

func readTable(t testing.TB, name string) table {
	t.Helper()
	file, err := os.Open(filepath.Join("testdata", "reference", "data", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var in io.Reader = file
	if strings.HasSuffix(name, ".gz") {
		if in, err = gzip.NewReader(file); err != nil {
			t.Fatal(err)
		}
	}
	records, err := csv.NewReader(in).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := table{}
	for j, name := range records[0] {
		for _, record := range records[1:] {
			out[name] = append(out[name], record[j])
		}
	}
	return out
}

func (x table) where(column, value string) table {
	out := table{}
	for name, values := range x {
		out[name] = []string{}
		for i, v := range values {
			if x[column][i] == value {
				out[name] = append(out[name], v)
			}
		}
	}
	return out
}

// precision is 1/s² over its mean in the rows that have a response.
func (x table) precision(t testing.TB, column, response string) []string {
	t.Helper()
	sum, n := 0.0, 0
	for i, s := range x[column] {
		if x[response][i] != "" {
			sum += 1 / (number(t, s) * number(t, s))
			n++
		}
	}
	out := make([]string, len(x[column]))
	for i, s := range x[column] {
		w := 1 / (number(t, s) * number(t, s)) / (sum / float64(n))
		out[i] = strconv.FormatFloat(w, 'g', -1, 64)
	}
	return out
}

// frame makes every column that reads as numbers, and is not said to be a factor, numbers, and the rest labels.
func (x table) frame(t testing.TB, factors []string) *mixed.Frame {
	t.Helper()
	out := mixed.NewFrame()
	for name, values := range x {
		var err error
		if slices.Contains(factors, name) || !numeric(values) {
			err = out.Labels(name, values)
		} else {
			numbers := make([]float64, len(values))
			for i, v := range values {
				numbers[i] = number(t, v)
			}
			err = out.Numbers(name, numbers)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func numeric(values []string) bool {
	for _, v := range values {
		if _, err := strconv.ParseFloat(v, 64); v != "" && err != nil {
			return false
		}
	}
	return true
}

func number(t testing.TB, s string) float64 {
	t.Helper()
	if s == "" {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// eachCase runs a file of reference cases, each as a test of its own.
func eachCase(t *testing.T, file string, run func(t *testing.T, c reference.Case, in problem, want answer)) {
	t.Helper()
	for _, c := range reference.Load(t, filepath.Join("testdata", "reference", file)) {
		t.Run(c.ID, func(t *testing.T) {
			var in problem
			var want answer
			c.Decode(t, &in, &want)
			run(t, c, in, want)
		})
	}
}
