package profile

import "math"

// daysPerYear is the length of a year of rates, d (Julian year).
const daysPerYear = 365.25

// DecayFactor gives how much faster decay runs at a temperature than at 20 °C.
//
//	r(T) = Q10^((T−20)/10)
//
// celsius: mean air temperature of the day; soil water is not taken into account. With lloydTaylor,
//
//	r(T) = exp(308.56·(1/(20+46.02) − 1/(T+46.02))), no decay at or below −46.02 °C
//
// which is equation 11 of Lloyd & Taylor (1994, Funct Ecol 8:315–323; 308.56 K, T0 227.13 K) referred to 20 °C.
func (s Settings) DecayFactor(celsius float64) float64 {
	if s.LloydTaylor {
		const e0, t0 = 308.56, 46.02 // K; 273.15 − 227.13 °C
		if celsius <= -t0 {
			return 0
		}
		return math.Exp(e0 * (1/(20+t0) - 1/(celsius+t0)))
	}
	return math.Pow(s.Q10, (celsius-20)/10)
}
