package bench

import (
	"math"
	"testing"

	"underfoot/internal/reference"
	"underfoot/unit"
)

func TestIgnitionReference(t *testing.T) {
	type weighed struct {
		Tare, Dry, Ash    unit.Grams
		Moist, Resolution *unit.Grams
	}
	for _, c := range reference.Load(t, "testdata/reference/ignition.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct{ Crucibles []weighed }
			var want struct {
				Organic  *float64 `json:"organic_percent"`
				Ash      *float64 `json:"ash_percent"`
				Dry      *float64 `json:"dry_g"`
				Water    *float64 `json:"water_percent"`
				Standard *float64 `json:"standard_percent"`
			}
			c.Decode(t, &in, &want)
			var crucibles []Crucible
			for _, w := range in.Crucibles {
				crucibles = append(crucibles, Crucible{Tare: w.Tare, Moist: w.Moist, Dry: w.Dry, Ash: w.Ash, Resolution: w.Resolution})
			}
			got, err := OrganicMatter(crucibles)
			if err != nil {
				t.Fatal(err)
			}
			near(t, c, "organic matter [%]", float64(got.OrganicMatter.Percent()), want.Organic)
			near(t, c, "ash [%]", float64(got.Ash.Percent()), want.Ash)
			near(t, c, "dry mass [g]", float64(got.DryMass), want.Dry)
			near(t, c, "standard uncertainty [points]", float64(got.Uncertainty.Standard), want.Standard)
			if want.Water != nil {
				near(t, c, "water [%]", float64(got.Water.Percent()), want.Water)
			}
		})
	}
}

// near compares only what the case states.
func near(t *testing.T, c reference.Case, name string, got float64, want *float64) {
	t.Helper()
	if want != nil {
		c.Near(t, name, got, *want)
	}
}

func TestMineralLossReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/mineral_loss.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct{ Loss, Sand, Completeness unit.Fraction }
			var want struct {
				Organic float64 `json:"organic_percent"`
			}
			c.Decode(t, &in, &want)
			got, err := MineralLoss{Loss: in.Sand, Completeness: in.Completeness}.Organic(in.Loss)
			if err != nil {
				t.Fatal(err)
			}
			c.Near(t, "organic fraction [%]", float64(got.Percent()), want.Organic)
		})
	}
}

func TestUncertaintyReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/uncertainty.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				Components []struct{ Standard, DF float64 } // df 0 stands for unlimited
			}
			var want struct{ Standard, DF, Expanded *float64 }
			c.Decode(t, &in, &want)
			var parts []Component
			for _, p := range in.Components {
				if p.DF == 0 {
					p.DF = math.Inf(1)
				}
				parts = append(parts, Component{Standard: unit.Percent(p.Standard), DF: p.DF})
			}
			got := combine(parts...)
			near(t, c, "u_c", float64(got.Standard), want.Standard)
			near(t, c, "ν_eff", got.DF, want.DF)
			near(t, c, "U", float64(got.Expanded()), want.Expanded)
		})
	}
}

func TestMixtureReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/mixture.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				Fraction         unit.Fraction
				Organic, Mineral unit.KgPerM3
			}
			var want struct {
				Density        float64
				OrganicDensity *float64 `json:"organic_density"`
			}
			c.Decode(t, &in, &want)
			got, err := Mixture{Organic: in.Organic, Mineral: in.Mineral}.Density(in.Fraction)
			if err != nil {
				t.Fatal(err)
			}
			c.Near(t, "density [kg/m³]", float64(got), want.Density)
			near(t, c, "organic matter per volume [kg/m³]", float64(in.Fraction)*float64(got), want.OrganicDensity)
		})
	}
}

func TestStockReference(t *testing.T) {
	for _, c := range reference.Load(t, "testdata/reference/stock.json") {
		t.Run(c.ID, func(t *testing.T) {
			var in struct {
				Cores       int
				Diameter    unit.Millimetres
				Top, Bottom unit.Millimetres
				Dry         unit.Grams
				DryStandard unit.Grams   `json:"dry_standard"`
				Organic     unit.Percent `json:"organic_percent"`
			}
			var want struct {
				Area     *float64 `json:"area_m2"`
				Volume   *float64 `json:"volume_cm3"`
				Density  *float64
				Relative *float64 `json:"density_relative"`
				Organic  *float64
				Total    *float64
			}
			c.Decode(t, &in, &want)
			cores, layer := Cores{in.Cores, in.Diameter}, Layer{in.Top, in.Bottom}
			got, err := Measure(Composite{
				Layer: layer, Cores: &cores, Method: Whole,
				Reported: &Reported{OrganicMatter: in.Organic, DryMass: &in.Dry},
			}, Defaults())
			if err != nil {
				t.Fatal(err)
			}
			area, err := cores.Area()
			if err != nil {
				t.Fatal(err)
			}
			near(t, c, "area [m²]", float64(area), want.Area)
			near(t, c, "volume [cm³]", float64(*got.Volume), want.Volume)
			near(t, c, "density [kg/m³]", float64(got.BulkDensity.Value), want.Density)
			near(t, c, "organic stock [kg/m²]", float64(got.OrganicStock.Value), want.Organic)
			near(t, c, "whole stock [kg/m²]", float64(got.OrganicStock.Value+got.Mineral.Value), want.Total)
			rho, err := BulkDensity(Estimate[unit.Grams]{in.Dry, in.DryStandard}, cores, layer, Defaults())
			if err != nil {
				t.Fatal(err)
			}
			near(t, c, "relative uncertainty of the density", rho.Relative(), want.Relative)
		})
	}
}
