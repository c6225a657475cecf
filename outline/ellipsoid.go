package outline

import "math"

// WGS 84, NIMA TR8350.2, 3rd ed. 2000, table 3.1.
const (
	semiMajor  = 6378137.0                     // a [m]
	flattening = 1 / 298.257223563             // f
	semiMinor  = semiMajor * (1 - flattening)  // b [m]
	e2         = flattening * (2 - flattening) // e², first eccentricity squared
)

const radian = math.Pi / 180 // [rad/°]

// authalic is q of an ellipsoid with first eccentricity squared e2 at latitude φ [rad],
//
//	q = (1 − e²)·(sin φ/(1 − e² sin² φ) + artanh(e sin φ)/e)
//
// The area between the equator and φ, a longitude λ [rad] wide, is a²·q·λ/2.
// Source: Snyder, Map Projections: A Working Manual, USGS Professional Paper 1395, 1987, eq. 3-12.
func authalic(phi, e2 float64) float64 {
	e, s := math.Sqrt(e2), math.Sin(phi)
	return (1 - e2) * (s/(1-e2*s*s) + math.Atanh(e*s)/e)
}

// gauss are nodes and weights of the Gauss–Legendre rule with 5 points on [−1, 1].
// Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, table 25.4.
var gauss = [5][2]float64{
	{0, 0.568888888888889},
	{-0.538469310105683, 0.478628670499366},
	{0.538469310105683, 0.478628670499366},
	{-0.906179845938664, 0.236926885056189},
	{0.906179845938664, 0.236926885056189},
}

// ringArea is the area of a ring on WGS 84 [m²], positive where it runs counter-clockwise:
//
//	−a²/2 ∮ (q(φ) − q(φ₀)) dλ
//
// with edges that are straight in degrees, as RFC 7946, section 3.1.1, wants them. φ₀ is any latitude near by; it takes
// nothing away and keeps the digits. Each edge is integrated by Gauss–Legendre with 5 points.
func ringArea(r Ring) float64 {
	var sum float64
	if len(r) == 0 {
		return 0
	}
	base := authalic(r[0].Latitude*radian, e2)
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		middle, half := (a.Latitude+b.Latitude)/2, (b.Latitude-a.Latitude)/2
		var mean float64
		for _, g := range gauss {
			mean += g[1] / 2 * (authalic((middle+half*g[0])*radian, e2) - base)
		}
		sum -= mean * (b.Longitude - a.Longitude) * radian
	}
	return sum * semiMajor * semiMajor / 2
}
