package cli

import (
	"fmt"
	"slices"
	"strings"

	"underfoot"
	"underfoot/balance"
	"underfoot/bench"
	"underfoot/coring"
	"underfoot/unit"
)

// calcCommand holds the small sums of the trade, one subcommand each.
type calcCommand struct {
	Coring  calcCoring  `cmd:"" help:"Share of the surface that tines open, what comes out and the sand that fills it."`
	Slits   calcSlits   `cmd:"" help:"The same for blades: scarifying or slitting."`
	Convert calcConvert `cmd:"" help:"An amount of sand, a density or a size in other units."`
	Density calcDensity `cmd:"" help:"Dry bulk density of a layer from its organic matter."`
	Volume  calcVolume  `cmd:"" help:"Volume of a composite, and whether it lies within 30 to 150 cm³."`
	Hold    calcHold    `cmd:"" help:"Sand a year that builds new mat with a wanted organic matter."`
	Loss    calcLoss    `cmd:"" help:"Organic matter of one crucible from its three masses."`
}

// figure is one line of a small sum.
type figure struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

// sum is the answer of a small sum.
type sum struct {
	Figures []figure `json:"figures"`
	Notes   []string `json:"notes"`
}

func (s *sum) add(name string, value float64, unit string) {
	s.Figures = append(s.Figures, figure{name, value, unit})
}

func (s *sum) print(env *Env, asJSON bool) error {
	if asJSON {
		if s.Notes == nil {
			s.Notes = []string{}
		}
		return printJSON(env.Stdout, s)
	}
	g := newGrid("", ">", "")
	for _, f := range s.Figures {
		g.row(f.Name, significant(f.Value), f.Unit)
	}
	g.print(env.Stdout)
	for _, n := range s.Notes {
		fmt.Fprintln(env.Stdout, n)
	}
	return nil
}

// significant prints six significant digits without an exponent.
func significant(v float64) string {
	s := fmt.Sprintf("%.6g", v)
	if strings.ContainsAny(s, "eE") {
		s = underfoot.FormatNumber(v)
	}
	return strings.Replace(s, "-", "−", 1)
}

func invalid(err error) error {
	if err == nil {
		return nil
	}
	return underfoot.Errorf(underfoot.Invalid, "%w", err)
}

type calcCoring struct {
	Diameter    float64 `required:"" help:"Tine diameter in mm: inside for what is removed, outside for what is disturbed."`
	Along       float64 `required:"" help:"Spacing along the run, mm; side of the triangle for a triangular pattern."`
	Across      float64 `help:"Spacing across the run, mm; as along when left out."`
	Pattern     string  `enum:"square,triangular" default:"square" help:"How the holes lie: square or triangular."`
	Passes      int     `default:"1" help:"Number of passes."`
	Depth       float64 `required:"" help:"Depth, mm."`
	SandDensity float64 `default:"1550" help:"Dry bulk density of the sand, kg/m³."`
	Filled      float64 `default:"1" help:"Share of the holes that is filled, 0 to 1."`
	JSON        bool    `help:"Print JSON."`
}

// Run prints what a set-up of tines opens.
func (c *calcCoring) Run(env *Env) error {
	t := coring.Tines{
		Diameter: unit.Millimetres(c.Diameter), Along: unit.Millimetres(c.Along), Across: unit.Millimetres(c.Across), Passes: c.Passes,
		Depth: unit.Millimetres(c.Depth),
	}
	if c.Pattern == "triangular" {
		t.Pattern = coring.Triangular
	}
	o, err := t.Open()
	if err != nil {
		return invalid(err)
	}
	return printOpening(env, o, c.SandDensity, c.Filled, c.JSON)
}

type calcSlits struct {
	Width       float64 `required:"" help:"Width of the slit, mm."`
	Spacing     float64 `required:"" help:"Distance between slits, middle to middle, mm."`
	Passes      int     `default:"1" help:"Number of passes."`
	Depth       float64 `required:"" help:"Depth, mm."`
	SandDensity float64 `default:"1550" help:"Dry bulk density of the sand, kg/m³."`
	Filled      float64 `default:"1" help:"Share of the slits that is filled, 0 to 1."`
	JSON        bool    `help:"Print JSON."`
}

// Run prints what a set-up of blades opens.
func (c *calcSlits) Run(env *Env) error {
	o, err := coring.Blades{
		Width: unit.Millimetres(c.Width), Spacing: unit.Millimetres(c.Spacing), Passes: c.Passes, Depth: unit.Millimetres(c.Depth),
	}.Open()
	if err != nil {
		return invalid(err)
	}
	return printOpening(env, o, c.SandDensity, c.Filled, c.JSON)
}

func printOpening(env *Env, o coring.Opening, density, filled float64, asJSON bool) error {
	fill, err := o.SandToFill(unit.KgPerM3(density), unit.Fraction(filled))
	if err != nil {
		return invalid(err)
	}
	var s sum
	s.add("opened by one pass", float64(o.PerPass.Percent()), "% of the surface")
	s.add("passes added up", float64(o.Counted.Percent()), "% of the surface")
	s.add("opened at least once", float64(o.Touched.Percent()), "% of the surface")
	s.add("volume opened", float64(o.Volume), "L/m², that is mm")
	s.add("sand to fill", float64(fill.Depth(unit.KgPerM3(density))), "mm over the surface")
	s.add("sand to fill", float64(fill), "kg/m²")
	s.add("sand to fill", float64(fill.PoundsPer1000Ft2()), "lb/1000 ft²")
	s.Notes = o.Warnings
	return s.print(env, asJSON)
}

type calcConvert struct {
	Value       float64 `arg:"" help:"The number to convert."`
	From        string  `arg:"" help:"Its unit: mm, in, ft3/1000ft2, yd3/1000ft2, kg/m2, lb/1000ft2, uston/1000ft2, kg/ha, t/ha, kg/m3, lb/ft3, m2, ft2."`
	SandDensity float64 `default:"1550" help:"Dry bulk density of the sand between depth and mass, kg/m³."`
	JSON        bool    `help:"Print JSON."`
}

// Run prints a quantity in every unit of its sort.
func (c *calcConvert) Run(env *Env) error {
	if !(c.SandDensity > 0) {
		return underfoot.Errorf(underfoot.Invalid, "sand density %g kg/m³: give one above 0", c.SandDensity)
	}
	var s sum
	rho := unit.KgPerM3(c.SandDensity)
	v := c.Value
	depth := map[string]func() unit.Millimetres{
		"mm":            func() unit.Millimetres { return unit.Millimetres(v) },
		"in":            func() unit.Millimetres { return unit.Inches(v).Millimetres() },
		"ft3/1000ft2":   func() unit.Millimetres { return unit.CubicFeetPer1000Ft2(v).Millimetres() },
		"yd3/1000ft2":   func() unit.Millimetres { return unit.CubicYardsPer1000Ft2(v).Millimetres() },
		"kg/m2":         func() unit.Millimetres { return unit.KgPerM2(v).Depth(rho) },
		"lb/1000ft2":    func() unit.Millimetres { return unit.PoundsPer1000Ft2(v).KgPerM2().Depth(rho) },
		"uston/1000ft2": func() unit.Millimetres { return unit.ShortTonsPer1000Ft2(v).KgPerM2().Depth(rho) },
		"kg/ha":         func() unit.Millimetres { return unit.KilogramsPerHectare(v).KgPerM2().Depth(rho) },
		"t/ha":          func() unit.Millimetres { return unit.KilogramsPerHectare(v * 1000).KgPerM2().Depth(rho) },
	}
	switch {
	case depth[c.From] != nil:
		addSand(&s, depth[c.From](), rho)
	case c.From == "kg/m3":
		s.add("density", v, "kg/m³")
		s.add("density", float64(unit.KgPerM3(v).PoundsPerFt3()), "lb/ft³")
	case c.From == "lb/ft3":
		s.add("density", float64(unit.PoundsPerFt3(v).KgPerM3()), "kg/m³")
		s.add("density", v, "lb/ft³")
	case c.From == "m2":
		s.add("area", v, "m²")
		s.add("area", float64(unit.SquareMetres(v).SquareFeet()), "ft²")
	case c.From == "ft2":
		s.add("area", float64(unit.SquareFeet(v).SquareMetres()), "m²")
		s.add("area", v, "ft²")
	default:
		known := []string{"kg/m3", "lb/ft3", "m2", "ft2"}
		for name := range depth {
			known = append(known, name)
		}
		slices.Sort(known)
		return underfoot.Errorf(underfoot.Invalid, "unit %q is not known: allowed are %s", c.From, strings.Join(known, ", "))
	}
	return s.print(env, c.JSON)
}

func addSand(s *sum, mm unit.Millimetres, rho unit.KgPerM3) {
	kg := mm.Mass(rho)
	s.add("depth", float64(mm), "mm, that is L/m²")
	s.add("depth", float64(mm.Inches()), "in")
	s.add("depth", float64(mm.CubicFeetPer1000Ft2()), "ft³/1000 ft²")
	s.add("depth", float64(mm.CubicYardsPer1000Ft2()), "yd³/1000 ft²")
	s.add("mass", float64(kg), "kg/m²")
	s.add("mass", float64(kg.KilogramsPerHectare())/1000, "t/ha")
	s.add("mass", float64(kg.PoundsPer1000Ft2()), "lb/1000 ft²")
	s.add("mass", float64(kg.ShortTonsPer1000Ft2()), "US tons/1000 ft²")
	s.Notes = append(s.Notes, fmt.Sprintf("Between depth and mass: dry bulk density %g kg/m³.", float64(rho)))
}

type calcDensity struct {
	Organic    float64 `required:"" help:"Organic matter, % of dry mass."`
	OrganicRho float64 `default:"220" help:"Bulk density of the organic part, kg/m³ (working default, no source)."`
	MineralRho float64 `default:"1600" help:"Bulk density of the mineral part, kg/m³ (working default, no source)."`
	JSON       bool    `help:"Print JSON."`
}

// Run prints the density of the two-phase mixture.
func (c *calcDensity) Run(env *Env) error {
	m := bench.Mixture{Organic: unit.KgPerM3(c.OrganicRho), Mineral: unit.KgPerM3(c.MineralRho)}
	rho, err := m.Density(unit.Percent(c.Organic).Fraction())
	if err != nil {
		return invalid(err)
	}
	var s sum
	s.add("dry bulk density", float64(rho), "kg/m³")
	s.add("organic matter in 10 mm", c.Organic/100*float64(rho)/100, "kg/m²")
	return s.print(env, c.JSON)
}

type calcVolume struct {
	Cores    int     `required:"" help:"Number of cores."`
	Diameter float64 `required:"" help:"Inner diameter of the corer, mm."`
	Top      float64 `default:"0" help:"Upper end of the layer, mm."`
	Bottom   float64 `required:"" help:"Lower end of the layer, mm."`
	JSON     bool    `help:"Print JSON."`
}

// Run prints the volume of a composite.
func (c *calcVolume) Run(env *Env) error {
	layer := bench.Layer{Top: unit.Millimetres(c.Top), Bottom: unit.Millimetres(c.Bottom)}
	cores := bench.Cores{Count: c.Cores, Diameter: unit.Millimetres(c.Diameter)}
	v, err := cores.Volume(layer)
	if err != nil {
		return invalid(err)
	}
	var s sum
	s.add("volume", float64(v), "cm³")
	area, err := cores.Area()
	if err != nil {
		return invalid(err)
	}
	s.add("area", float64(area)*1e4, "cm²")
	if v < bench.VolumeLow || v > bench.VolumeHigh {
		s.Notes = append(s.Notes, bench.VolumeOutside{Volume: v, Cores: cores, Layer: layer}.String()+" (common practice, no source)")
	} else {
		s.Notes = append(s.Notes, "within 30 to 150 cm³ (common practice, no source)")
	}
	return s.print(env, c.JSON)
}

type calcHold struct {
	Formed  float64 `required:"" help:"Net organic matter formed, kg/m² a year."`
	Wanted  float64 `required:"" help:"Wanted organic matter, % of dry mass."`
	SandRho float64 `default:"1550" help:"Dry bulk density of the sand, kg/m³."`
	JSON    bool    `help:"Print JSON."`
}

// Run prints the sand that builds new mat with the wanted organic matter.
func (c *calcHold) Run(env *Env) error {
	kg, err := balance.SandToHold(unit.KgPerM2(c.Formed), unit.Percent(c.Wanted).Fraction())
	if err != nil {
		return invalid(err)
	}
	if !(c.SandRho > 0) {
		return underfoot.Errorf(underfoot.Invalid, "sand density %g kg/m³: give one above 0", c.SandRho)
	}
	var s sum
	s.add("sand a year", float64(kg), "kg/m²")
	s.add("sand a year", float64(kg.Depth(unit.KgPerM3(c.SandRho))), "mm")
	return s.print(env, c.JSON)
}

type calcLoss struct {
	Tare       float64 `required:"" help:"Empty crucible, g."`
	Dry        float64 `required:"" help:"Crucible with the oven-dry sample, g."`
	Ash        float64 `required:"" help:"Crucible with the ash, g."`
	Resolution float64 `default:"0.001" help:"Smallest step of the balance, g."`
	JSON       bool    `help:"Print JSON."`
}

// Run prints the organic matter of one crucible.
func (c *calcLoss) Run(env *Env) error {
	res := unit.Grams(c.Resolution)
	ig, err := bench.OrganicMatter([]bench.Crucible{{
		Tare: unit.Grams(c.Tare), Dry: unit.Grams(c.Dry), Ash: unit.Grams(c.Ash), Resolution: &res,
	}})
	if err != nil {
		return invalid(err)
	}
	var s sum
	s.add("organic matter", float64(ig.OrganicMatter.Percent()), "% of dry mass")
	s.add("standard uncertainty of the burn", float64(ig.Uncertainty.Standard), "percentage points")
	s.add("dry mass", float64(ig.DryMass), "g")
	for _, w := range ig.Warnings {
		s.Notes = append(s.Notes, w.String())
	}
	return s.print(env, c.JSON)
}
