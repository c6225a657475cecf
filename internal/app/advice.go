package app

import (
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"underfoot"
	"underfoot/balance"
	"underfoot/coring"
	"underfoot/findings"
	"underfoot/season"
	"underfoot/unit"
)

// advise puts direction and a balance together into next season's sand.
func (s *Standing) advise(sheet *balance.Sheet) (season.Advice, error) {
	var layers []balance.Holding
	if sheet != nil {
		layers = sheet.Layers
	}
	advice, err := season.Advise(s.seasonDirection(), layers, s.seasonCourse())
	if err != nil {
		return season.Advice{}, underfoot.Errorf(underfoot.Invalid, "advice for %s: %w", s.Records.Course.ID, err)
	}
	switch why := s.noSandOnRecord(); {
	case sheet == nil:
		advice.Reason = strings.TrimSuffix(lowerFirst(s.Why), ".")
	case advice.Reason == "" && why != "":
		advice.Reason = why
	}
	return advice, nil
}

// noSandOnRecord says why a log without any sand cannot carry advice: it is far likelier that nobody entered the sand
// than that none was put on. An entry of 0 mm says that it was none.
func (s *Standing) noSandOnRecord() string {
	for _, d := range s.Done {
		if d.Work.SandMM.Known || d.Work.SandKgM2.Known || d.DeepMM > 0 {
			return ""
		}
	}
	return "no sand is on record, and the account would take that as none put on; log what was put on, or one dressing of 0 mm if it really was none"
}

func lowerFirst(s string) string {
	r, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToLower(r)) + s[size:]
}

func (s *Standing) seasonDirection() season.Direction {
	d := season.Direction{Chance: s.Direction.Probability, Judged: s.Direction.DecidedBy == "judgement"}
	switch s.Direction.Verdict {
	case findings.Lower:
		d.Toward = season.Lower
	case findings.Hold:
		d.Toward = season.Hold
	case findings.Raise:
		d.Toward = season.Raise
	}
	switch {
	case s.Judgement != nil:
		d.Reason = strings.TrimRight(strings.TrimSpace(s.Judgement.Reason), ".!?")
	case d.Toward == season.Unknown && len(s.Direction.Because) > 0:
		last := s.Direction.Because[len(s.Direction.Because)-1]
		d.Reason = strings.TrimSuffix(strings.TrimPrefix(last, "No direction: "), ".")
	}
	return d
}

// seasonCourse gives what the advice needs to know of the course; what is not known is left at its default.
func (s *Standing) seasonCourse() season.Course {
	c := season.Course{
		Surface: SurfaceName(s.Surface), Area: unit.SquareMetres(s.AreaM2), SandDensity: s.SandDensity(), SandWater: unit.Percent(s.Sand.MoisturePercent.Or(0)).Fraction(),
		Months: s.dressingMonths(),
	}
	for _, d := range s.Done {
		w := d.Work
		if w.Kind == "hollow_core" && d.Opened > 0 && w.Green == "" {
			c.Coring = coring.Tines{
				Diameter: unit.Millimetres(w.TineDiameterMM.Value), Along: unit.Millimetres(w.SpacingAlongMM.Value),
				Across: unit.Millimetres(w.SpacingAcrossMM.Or(0)), Passes: w.Passes.Or(1), Depth: unit.Millimetres(w.DepthMM.Value),
			}
			if w.Pattern == "triangular" {
				c.Coring.Pattern, c.Coring.Across = coring.Triangular, 0
			}
			c.Filled = unit.Fraction(w.Backfill.Or(0))
		}
	}
	for _, d := range s.Done { // of the twelve months up to the last record
		if d.Work.Date > s.AsOf.Add(-365) {
			c.Nitrogen += unit.KilogramsPerHectare(d.Work.NitrogenKgHa.Or(0) * d.Share)
		}
	}
	return c
}

// AdviceFound is the answer of the advise command; sand a year in the top layer unless it says otherwise.
type AdviceFound struct {
	Course     string         `json:"course"`
	Direction  DirectionFound `json:"direction"`
	Reason     string         `json:"why_not"`
	Statement  string         `json:"statement"`
	Sentences  []string       `json:"sentences"`
	Sand       *AmountFound   `json:"sand"`
	Hold       *AmountFound   `json:"sand_to_hold"`
	Applied    *AmountFound   `json:"sand_applied"` // lately, since applied_from
	Lately     string         `json:"applied_from,omitempty"`
	Dressings  int            `json:"dressings"`
	EachMM     float64        `json:"each_mm"`
	EveryDays  int            `json:"every_days"`
	Deeper     []DeeperFound  `json:"deeper"`
	CoringLess *Spread        `json:"coring_saves_mm"`
	Cautions   []string       `json:"cautions"`
}

// AmountFound is sand a year in the units it is ordered and spread in.
type AmountFound struct {
	MM         *Spread `json:"mm"`
	KgM2       *Spread `json:"kg_m2"`
	DryT       *Spread `json:"dry_t"`
	DeliveredT *Spread `json:"delivered_t"`
}

// DeeperFound is a layer that sand on top does not reach.
type DeeperFound struct {
	TopMM    float64      `json:"top_mm"`
	BottomMM float64      `json:"bottom_mm"`
	Why      string       `json:"why"`
	Sand     *AmountFound `json:"sand"`
}

// AdviceFound gives the answer of the advise command.
func (s *Standing) AdviceFound() AdviceFound {
	a := s.Advice()
	out := AdviceFound{
		Course: s.Records.Course.ID, Direction: s.directionFound(), Reason: a.Reason, Statement: a.Statement(), Sentences: a.Sentences(),
		Deeper: []DeeperFound{}, Cautions: []string{},
	}
	for _, c := range season.Cautions() {
		out.Cautions = append(out.Cautions, c.Text)
	}
	if a.Reason != "" {
		return out
	}
	out.Hold, out.Applied, out.Lately = s.amountFound(a.Holding), s.amountFound(a.Applied), a.Lately.Format(time.DateOnly)
	if a.Direction.Toward == season.Unknown {
		return out
	}
	out.Sand = s.amountFound(a.Top.Sand)
	out.Dressings, out.EachMM, out.EveryDays = a.Dressings.Count, float64(a.Dressings.Each), a.Dressings.Every
	for _, p := range a.Deeper {
		out.Deeper = append(out.Deeper, DeeperFound{float64(p.Top), float64(p.Bottom), p.Why, s.amountFound(p.Sand)})
	}
	out.CoringLess = spread(a.Coring.Less)
	return out
}

// amountFound leaves tonnes out where the area is not known.
func (s *Standing) amountFound(a season.Amount) *AmountFound {
	out := &AmountFound{MM: spread(a.Depth), KgM2: spread(a.PerArea)}
	if s.AreaM2 > 0 {
		out.DryT, out.DeliveredT = spread(a.Dry), spread(a.Delivered)
	}
	return out
}
