package underfoot

import "fmt"

// Reading is something measured on the surface.
type Reading struct {
	ID      string       `col:"reading" key:"1" about:"Name of the reading."`
	Course  string       `col:"course" need:"1" refers:"courses" about:"Course it was taken on."`
	Green   string       `col:"green" refers:"greens" about:"Green it was taken on." default:"the course as a whole"`
	Date    Date         `col:"date" need:"1" about:"Day it was taken."`
	Kind    string       `col:"kind" need:"1" oneof:"firmness_gmax,firmness_mm,moisture_vwc_percent,speed_ft,speed_m,infiltration_mm_h" about:"What was measured."`
	Value   float64      `col:"value" need:"1" min:"0" max:"100000" about:"The reading, in the unit of its kind."`
	DepthMM Opt[float64] `col:"depth_mm" unit:"mm" min:"0" max:"1000" about:"Depth it reaches, for water content."`
	N       Opt[int]     `col:"n" min:"1" max:"100000" about:"Number of readings averaged."`
	Extra   Extra
}

// Readings describes the table of readings.
var Readings = newTable[Reading]("readings", "Readings")

// Table returns [Readings].
func (*Reading) Table() *Table { return Readings }

// Check refuses a water content above 100 %.
func (r *Reading) Check() []Fault {
	if r.Kind == "moisture_vwc_percent" && r.Value > 100 {
		return []Fault{{"value", fmt.Sprintf("water content %s %% is above 100 %% by volume", FormatNumber(r.Value))}}
	}
	return nil
}

// Target is the band of a reading that the manager wants, in the months it holds for.
type Target struct {
	Course    string       `col:"course" key:"1" refers:"courses" about:"Course it holds for."`
	Kind      string       `col:"kind" key:"1" oneof:"firmness_gmax,firmness_mm,moisture_vwc_percent,speed_ft,speed_m,infiltration_mm_h" about:"Reading it is about."`
	Low       Opt[float64] `col:"low" about:"Lowest value wanted."`
	High      Opt[float64] `col:"high" about:"Highest value wanted."`
	FromMonth Opt[int]     `col:"from_month" min:"1" max:"12" about:"First month it holds in." default:"1"`
	ToMonth   Opt[int]     `col:"to_month" min:"1" max:"12" about:"Last month it holds in; before from_month, the season runs over the new year." default:"12"`
	Extra     Extra
}

// Targets describes the table of wanted bands.
var Targets = newTable[Target]("targets", "Wanted bands")

// Table returns [Targets].
func (*Target) Table() *Table { return Targets }

// Check refuses a band that is upside down or open at both ends.
func (t *Target) Check() []Fault {
	if !t.Low.Known && !t.High.Known {
		return []Fault{{"low", "empty, and high is empty too: a band needs at least one end"}}
	}
	if t.Low.Known && t.High.Known && t.Low.Value > t.High.Value {
		return []Fault{{"high", fmt.Sprintf("%s is below low %s: the band is upside down", FormatNumber(t.High.Value), FormatNumber(t.Low.Value))}}
	}
	return nil
}

// Judgement is the manager's own word on what the surface asks for, which stands over the readings.
type Judgement struct {
	Course    string `col:"course" key:"1" refers:"courses" about:"Course it is about."`
	Date      Date   `col:"date" key:"1" about:"Day it was given."`
	Direction string `col:"direction" need:"1" oneof:"lower,hold,raise,withdrawn" about:"What the surface asks of organic matter; withdrawn gives the word back to the readings."`
	Reason    string `col:"reason" need:"1" about:"Why, in words."`
	By        string `col:"by" need:"1" about:"Who gave it."`
	Extra     Extra
}

// Judgements describes the table of judgements.
var Judgements = newTable[Judgement]("judgements", "Judgements")

// Table returns [Judgements].
func (*Judgement) Table() *Table { return Judgements }

// Check finds nothing beyond the limits of the columns.
func (*Judgement) Check() []Fault { return nil }
