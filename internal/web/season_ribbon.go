package web

import (
	"encoding/json"
	"math"

	"underfoot/internal/web/page"
	"underfoot/season"
)

// ribbonData is what the ribbon of a plan goes by in the browser; days since 1970-01-01.
type ribbonData struct {
	From        int                `json:"from"`
	Until       int                `json:"until"`
	Today       int                `json:"today"`
	Weekday     int                `json:"weekday"` // work falls on when days are taken by the week, 0 for Sunday
	Growth      []float64          `json:"growth"`  // by week from the first day on
	Closed      [][2]int           `json:"closed"`
	Tournaments []ribbonTournament `json:"tournaments"`
	Operations  []ribbonOperation  `json:"operations"`
}

type ribbonTournament struct {
	Day    int `json:"day"`
	Before int `json:"before"`
}

type ribbonOperation struct {
	ID    string       `json:"id"`
	Name  string       `json:"name"`
	Opens bool         `json:"opens"`
	Sand  bool         `json:"sand"` // it is nothing without sand
	Low   float64      `json:"low"`
	High  float64      `json:"high"`
	Bars  []ribbonBars `json:"bars"`
}

type ribbonBars struct {
	From  int    `json:"from"`
	Until int    `json:"until"`
	Why   string `json:"why"`
	Hard  bool   `json:"hard"`
}

// ribbon is the year ribbon: a picture, and what a script makes it one to work on by.
func (v *seasonView) ribbon() page.SeasonRibbon {
	p := v.plan
	c := p.Search.Calendar
	d := ribbonData{From: c.From, Until: c.Until, Today: int(v.st.Today), Weekday: int(c.Weekday), Closed: [][2]int{}, Tournaments: []ribbonTournament{}}
	for day := c.From; day <= c.Until; day += 7 {
		d.Growth = append(d.Growth, math.Round(100*c.Index(day))/100)
	}
	for _, x := range c.Closed {
		d.Closed = append(d.Closed, [2]int{x.From, x.Until})
	}
	for _, t := range c.Tournaments {
		d.Tournaments = append(d.Tournaments, ribbonTournament{t.Day, t.Before})
	}
	for i := range p.Search.Operations {
		o := &p.Search.Operations[i]
		sand := o.Kind == season.Topdress || o.Kind == season.InjectSand
		x := ribbonOperation{ID: o.ID, Name: o.Name, Opens: !sand, Sand: sand, Low: o.SandLow, High: o.SandHigh, Bars: []ribbonBars{}}
		for _, b := range p.Barred(o) {
			x.Bars = append(x.Bars, ribbonBars{int(b.From), int(b.Until), page.Sentence(b.Why), b.Hard})
		}
		d.Operations = append(d.Operations, x)
	}
	text, err := json.Marshal(d)
	if err != nil {
		text = nil // numbers and words only: cannot happen
	}
	return page.SeasonRibbon{Data: string(text), Picture: v.year()}
}
