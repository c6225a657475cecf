package balance

import (
	"math"
	"time"

	"underfoot/unit"
)

// Measured is a value with its standard uncertainty.
type Measured struct{ Value, SE float64 }

// Account is one layer between one round and the next, in kg/m².
type Account struct {
	Top, Bottom unit.Millimetres
	From, To    time.Time
	FromRound   string
	ToRound     string
	Years       float64

	Sand           Measured // put into the layer
	RemovedMineral Measured // with cores
	RemovedOrganic Measured
	EnteredMineral Measured // sunk in from the layer above; 0 for the top layer
	EnteredOrganic Measured
	LeftMineral    Measured // sunk out of the bottom; negative when material rose into the layer
	LeftOrganic    Measured
	ChangeMineral  Measured // in the layer, second round less first
	ChangeOrganic  Measured
	Formed         Measured // organic matter formed less decayed
	FormedPerYear  Measured // kg/m²/a
}

// Audit says by how much the account misses balance, when it does.
func (a Account) Audit() error {
	return account{
		sandIn: a.Sand.Value, mineralRemoved: a.RemovedMineral.Value, organicRemoved: a.RemovedOrganic.Value,
		mineralEntered: a.EnteredMineral.Value, organicEntered: a.EnteredOrganic.Value,
		mineralLeft: a.LeftMineral.Value, organicLeft: a.LeftOrganic.Value,
		mineralChange: a.ChangeMineral.Value, organicChange: a.ChangeOrganic.Value, formed: a.Formed.Value,
	}.close(span(a.Top, a.Bottom))
}

func (m *model) accounts(k int, value *state, d *draws, rounds []Round) []Account {
	t := m.tracks[k]
	n := float64(len(d.applied))
	out := make([]Account, t.intervals())
	for i := range out {
		from, to := t.rounds[i], t.rounds[i+1]
		years := m.rounds[to].years - m.rounds[from].years
		get := func(q entry) Measured {
			sum := d.sum[i][q]
			return Measured{value.of(m, k, i)[q], math.Sqrt(max(0, (d.squares[i][q]-sum*sum/n)/(n-1)))}
		}
		made := get(formed)
		out[i] = Account{
			Top: m.cuts[k].top, Bottom: m.cuts[k].bottom,
			From: m.rounds[from].at, To: m.rounds[to].at, FromRound: rounds[from].Label, ToRound: rounds[to].Label, Years: years,
			Sand: get(sandIn), RemovedMineral: get(mineralRemoved), RemovedOrganic: get(organicRemoved),
			EnteredMineral: get(mineralEntered), EnteredOrganic: get(organicEntered),
			LeftMineral: get(mineralLeft), LeftOrganic: get(organicLeft),
			ChangeMineral: get(mineralChange), ChangeOrganic: get(organicChange),
			Formed: made, FormedPerYear: Measured{made.Value / years, made.SE / years},
		}
	}
	return out
}
