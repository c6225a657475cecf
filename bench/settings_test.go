package bench

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestDefaultsAreThoseOfTheTable(t *testing.T) {
	d := Defaults()
	var got []float64
	for _, p := range Parameters() {
		got = append(got, p.Default)
		if p.Default < p.Low || p.Default > p.High || p.Source == "" {
			t.Errorf("%s: default %g, %g to %g, source %q", p.Name, p.Default, p.Low, p.High, p.Source)
		}
	}
	want := []float64{
		float64(d.DiameterStandard), float64(d.CutStandard), float64(d.Mixture.Organic), float64(d.Mixture.Mineral),
		float64(d.MixtureRelative), float64(DefaultResolution),
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("defaults (-settings +table):\n%s", diff)
	}
}

func TestDocumentationPrintsTheTable(t *testing.T) {
	page, err := os.ReadFile("../docs/model/bench.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range Parameters() {
		row := fmt.Sprintf("| %s | %s | %s | %s | %s | %s | %s |",
			p.Name, p.Symbol, p.Unit, number(p.Default), number(p.Low), number(p.High), p.Source)
		if !strings.Contains(string(page), row) {
			t.Errorf("docs/model/bench.md lacks the row\n%s", row)
		}
	}
}
