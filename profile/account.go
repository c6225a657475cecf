package profile

import (
	"fmt"
	"math"
)

// Account is where mass came from and went, over a whole column and since its start, kg/m².
type Account struct {
	OrganicStart, SandStart float64
	Made, Decayed, TakenOut float64 // organic
	SandIn, SandOut         float64
	OrganicEnd, SandEnd     float64 // set by [Column.Account]
}

// Gap gives what is missing of organic matter and sand, relative to what there is.
func (a Account) Gap() float64 {
	organic := a.OrganicStart + a.Made - a.Decayed - a.TakenOut - a.OrganicEnd
	sand := a.SandStart + a.SandIn - a.SandOut - a.SandEnd
	return math.Max(relative(organic, a.OrganicStart+a.Made), relative(sand, a.SandStart+a.SandIn))
}

// relative gives a gap as a share of what there is; where there is nothing, as it is.
func relative(gap, of float64) float64 {
	if of == 0 {
		return math.Abs(gap)
	}
	return math.Abs(gap) / of
}

// closing is the largest gap a run may have, relative.
const closing = 1e-9

// Account gives the account up to now, or says by how much it does not close.
func (c *Column) Account() (Account, error) {
	a := c.account
	end := c.edges[c.end]
	a.OrganicEnd, a.SandEnd = end.o+end.q, end.s
	if i := c.hollow(); i >= 0 {
		return a, fmt.Errorf("mass account of a column: parcel %d from the bottom holds less than nothing or no number", i-c.end+1)
	}
	if gap := a.Gap(); !(gap <= closing) {
		return a, fmt.Errorf("mass account of a column: %.3g of it is missing, %.0e is allowed", gap, closing)
	}
	return a, nil
}

// hollow gives the first parcel that holds less than nothing (beyond rounding), −1 when none does.
func (c *Column) hollow() int {
	rounding := 1e-9 * (c.edges[c.end].s + c.edges[c.end].o)
	for i := c.end; i < c.n; i++ {
		var upper edge
		if i+1 < c.n {
			upper = c.edges[i+1]
		}
		e := &c.edges[i]
		if !(e.s-upper.s >= -rounding && e.o-upper.o >= -rounding && e.q-upper.q >= -rounding) {
			return i
		}
	}
	return -1
}

// String prints the account as lines of a sheet.
func (a Account) String() string {
	return fmt.Sprintf(`organic matter, kg/m²
  at the start   %9.4f
  made           %9.4f
  decayed        %9.4f
  taken out      %9.4f
  at the end     %9.4f
sand, kg/m²
  at the start   %9.3f
  put in         %9.3f
  taken out      %9.3f
  at the end     %9.3f
`, a.OrganicStart, a.Made, -a.Decayed, -a.TakenOut, a.OrganicEnd, a.SandStart, a.SandIn, -a.SandOut, a.SandEnd)
}
