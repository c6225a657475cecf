package sieve

import (
	"fmt"
	"math"

	"underfoot/unit"
)

// Permeability is what a formula gives for water through a clean, loose, saturated sand. It is for choosing sands; organic
// matter, packing and layering of a green make the field figure much lower.
type Permeability struct {
	Formula string
	Value   float64  // hydraulic conductivity [m/s]
	Within  bool     // the sand is within the limits the formula was made for
	Why     []string // what is outside them, or what to know
}

// MMPerHour gives the conductivity in mm/h.
func (p Permeability) MMPerHour() float64 { return p.Value * 3.6e6 }

// Hazen gives k = C_H·D10², k in cm/s and D10 in cm, C_H = 100 /(cm·s) (printed values run from 1 to 1000). It was made for
// loose clean filter sands: D10 0.1 to 3 mm and C_u below 5; above 0.4 mm k no longer goes with D10². ok is false where D10 is
// outside the sieves. Source: Carrier 2003, Journal of Geotechnical and Geoenvironmental Engineering 129:1054.
func (c *Curve) Hazen() (Permeability, bool) {
	d, ok := c.D(10)
	if !ok {
		return Permeability{}, false
	}
	p := hazen(d)
	p.Within = d >= 0.1 && d <= 3
	if !p.Within {
		p.Why = append(p.Why, fmt.Sprintf("D10 %.3g mm is outside 0.1 to 3 mm", float64(d)))
	}
	switch cu, ok := c.Uniformity(); {
	case !ok:
		p.Within = false
		p.Why = append(p.Why, "D60/D10 is not known, so it cannot be said to be below 5")
	case cu >= 5:
		p.Within = false
		p.Why = append(p.Why, fmt.Sprintf("D60/D10 %.1f is not below 5", cu))
	}
	if d > 0.4 {
		p.Why = append(p.Why, fmt.Sprintf("D10 %.2g mm is above 0.4 mm, where water no longer goes with its square", float64(d)))
	}
	return p, true
}

func hazen(d10 unit.Millimetres) Permeability {
	const perCmS = 100 // C_H [1/(cm·s)]
	cm := float64(d10) / 10
	return Permeability{Formula: "Hazen", Value: perCmS * cm * cm / 100}
}

// gravity is standard gravity [m/s²], 3rd CGPM 1901.
const gravity = 9.80665

// water gives dynamic viscosity [Pa·s] and density [kg/m³] from 0 to 40 °C: straight in the logarithm of the viscosity, and
// in the density, between 5 °C steps. Source: IAPWS 2008 formulation for the viscosity, and IAPWS-95 for the density, of
// ordinary water at 0.1 MPa (values from memory).
func water(t unit.Celsius) (mu, rho float64) {
	table := [...][2]float64{
		{1.7916e-3, 999.84},
		{1.5182e-3, 999.97},
		{1.3059e-3, 999.70},
		{1.1375e-3, 999.10},
		{1.0016e-3, 998.21},
		{0.8900e-3, 997.05},
		{0.7972e-3, 995.65},
		{0.7191e-3, 994.03},
		{0.6527e-3, 992.22},
	}
	x := float64(t) / 5
	i := max(0, min(len(table)-2, int(x)))
	f := x - float64(i)
	return table[i][0] * math.Pow(table[i+1][0]/table[i][0], f), table[i][1] + f*(table[i+1][1]-table[i][1])
}

// KozenyCarman gives K = ρg/μ · n³/(1−n)² · d²/180 for grains of one size d [mm], porosity n and water of t [°C].
// Source: Carman 1956, Flow of Gases through Porous Media, as in texts on groundwater.
func KozenyCarman(n unit.Fraction, d unit.Millimetres, t unit.Celsius) (Permeability, error) {
	if !(n > 0 && n < 1) {
		return Permeability{}, fmt.Errorf("Kozeny–Carman: porosity %g: give a share above 0 and below 1", float64(n))
	}
	if !(d > 0 && d <= coarsest) {
		return Permeability{}, fmt.Errorf("Kozeny–Carman: grain size %g mm: give above 0 to %g mm", float64(d), float64(coarsest))
	}
	if !(t >= 0 && t <= 40) {
		return Permeability{}, fmt.Errorf("Kozeny–Carman: water of %g °C: give 0 to 40 °C", float64(t))
	}
	mu, rho := water(t)
	x, m := float64(n), d.Metres()
	return Permeability{Formula: "Kozeny–Carman", Value: rho * gravity / mu * x * x * x / ((1 - x) * (1 - x)) * m * m / 180, Within: true}, nil
}

// EffectiveSize is the grain size with the surface of the mixture [mm]:
//
//	1/d_e = Σ f_i/(d_l^0.404·d_s^0.595)
//
// over the classes between sieves d_s and d_l, f_i their share of the mass. ok is false where more than 2 % of the mass
// lies outside the sieves: its surface is not known. Source: Carrier 2003 (from memory).
func (c *Curve) EffectiveSize() (unit.Millimetres, bool) {
	const unknown = 2.0 // % of mass, working default, no source
	n := len(c.sizes)
	inside := 100 - c.share[0] - c.share[n]
	if c.share[0]+c.share[n] > unknown || !(inside > 0) {
		return 0, false
	}
	sum := 0.0
	for i := 1; i < n; i++ {
		sum += c.share[i] / inside / (math.Pow(c.sizes[i], 0.404) * math.Pow(c.sizes[i-1], 0.595))
	}
	return unit.Millimetres(1 / sum), sum > 0
}

// KozenyCarman is the formula for the effective size of the curve at porosity n and water of t [°C]. It holds for clean
// sands, not for clayey soil, with slow flow and grains of no extreme shape: within its limits are D10 from 0.06 to 3 mm,
// n from 0.25 to 0.55, and at most 2 % outside the sieves. Source: Carrier 2003 (limits from memory).
func (c *Curve) KozenyCarman(n unit.Fraction, t unit.Celsius) (Permeability, bool, error) {
	d, ok := c.EffectiveSize()
	if !ok {
		return Permeability{}, false, nil
	}
	p, err := KozenyCarman(n, d, t)
	if err != nil {
		return Permeability{}, false, err
	}
	if n < 0.25 || n > 0.55 {
		p.Within = false
		p.Why = append(p.Why, fmt.Sprintf("porosity %.2f is outside 0.25 to 0.55", float64(n)))
	}
	if d10, ok := c.D(10); !ok || d10 < 0.06 || d10 > 3 {
		p.Within = false
		p.Why = append(p.Why, "D10 is not known to lie in 0.06 to 3 mm")
	}
	if c.share[0] > 0 {
		p.Why = append(p.Why, fmt.Sprintf("the %.1f %% that passed the finest sieve are left out, so the figure is too high", c.share[0]))
	}
	return p, true, nil
}

// Porosity is n = 1 − ρ_b/ρ_s of a sand of dry bulk density ρ_b [kg/m³], grains of ρ_s = 2650 kg/m³ (quartz, from memory).
func Porosity(bulk unit.KgPerM3) unit.Fraction { return 1 - unit.Fraction(bulk/2650) }

// Trust says how far such figures go.
func Trust() string {
	return "Such formulas are for clean, loose sand in a tube: within their limits they are right to a factor of about three, and only the order of sands is to be trusted. Organic matter, packing and layers make a green let through far less."
}
