package web

import (
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/findings"
	"underfoot/internal/app"
	"underfoot/internal/say"
	"underfoot/internal/web/page"
	"underfoot/season"
)

// seasonAsk is the question for a season plan as it stands in the address: the texts of its fields and what is wrong with them.
type seasonAsk struct {
	st     *standing
	m      *app.Model
	layers []app.SeasonLayer
	texts  url.Values
	style  say.Style
	asked  bool // the address holds a question, not only the usual one
	errors map[string]string
}

// The fields of the question beside the bands.
var seasonFields = []string{
	"from", "until", "toward", "chance", "sand", "max_sand", "money", "disturbed", "crew", "n_low", "n_high", "closed", "tournaments", "day_worth", "hour",
}

// newSeasonAsk reads the question from an address; what is not in it is filled in.
func newSeasonAsk(st *standing, m *app.Model, q url.Values, style say.Style) *seasonAsk {
	a := &seasonAsk{st: st, m: m, style: style, layers: m.SeasonLayers(), texts: url.Values{}, asked: q.Has("from"), errors: map[string]string{}}
	if !a.asked {
		from, until := m.SeasonDates()
		dayWorth, hour, chance := app.Reckoned()
		for name, text := range map[string]string{
			"from": from.String(), "until": until.String(), "toward": string(st.Direction.Verdict), "sand": st.Sand.ID,
			"chance": underfoot.FormatNumber(10 * chance), "day_worth": underfoot.FormatNumber(dayWorth), "hour": underfoot.FormatNumber(hour),
		} {
			a.texts.Set(name, text)
		}
		crewHours, hourPrice := st.CrewOf(from, until)
		if crewHours > 0 {
			a.texts.Set("crew", underfoot.FormatNumber(crewHours))
		}
		if hourPrice > 0 {
			a.texts.Set("hour", underfoot.FormatNumber(hourPrice))
		}
		return a
	}
	for _, name := range a.names() {
		if text := strings.TrimSpace(q.Get(name)); text != "" {
			a.texts.Set(name, text)
		}
	}
	return a
}

// names are all fields of the question.
func (a *seasonAsk) names() []string {
	list := slices.Clone(seasonFields)
	for _, l := range a.layers {
		list = append(list, bandName("low", l), bandName("high", l), bandName("on", l))
	}
	return list
}

func bandName(end string, l app.SeasonLayer) string {
	return fmt.Sprintf("%s_%g_%g", end, l.Top, l.Bottom)
}

func (a *seasonAsk) text(name string) string { return a.texts.Get(name) }

// query is the question as an address holds it, the same for the same question.
func (a *seasonAsk) query() url.Values {
	q := url.Values{}
	for name, v := range a.texts {
		q[name] = v
	}
	return q
}

// read turns the texts into a question; errors say what is wrong with which field.
func (a *seasonAsk) read() app.SeasonAsk {
	ask := app.SeasonAsk{Sand: a.text("sand")}
	ask.From, ask.Until = a.day("from"), a.day("until")
	if a.errors["from"] == "" && ask.From <= a.m.LastDay() {
		a.errors["from"] = fmt.Sprintf("the record runs to %s: begin after that day", page.Day(a.m.LastDay().Time()))
	}
	if a.errors["from"] == "" && a.errors["until"] == "" {
		switch days := int(ask.Until - ask.From); {
		case days <= 0:
			a.errors["until"] = "it lies before the first day: give a later one"
		case days > 4*366:
			a.errors["until"] = "four years can be planned at most"
		}
	}
	if a.st.Direction.Verdict == findings.Unknown && a.text("toward") != "bands" {
		a.errors["toward"] = "there is no direction yet: state one on the findings page first"
	}
	switch toward := a.text("toward"); toward {
	case "lower", "hold", "raise":
		ask.Direction = toward
	case "bands":
		ask.Bands = a.bands()
	default:
		if a.errors["toward"] == "" {
			a.errors["toward"] = "choose lower, hold, raise or bands of your own"
		}
	}
	ask.Probability = a.number("chance", 0.5, 9.9, "in 10") / 10
	if a.text("chance") == "" {
		ask.Probability = 0
	}
	ask.Caps = season.Caps{
		SandMM: a.number("max_sand", 0.1, 200, "mm"), Money: a.number("money", 1, 1e9, ""), Disturbed: a.number("disturbed", 0.5, 366, "days"), CrewHours: a.number("crew", 0.5, 1e5, "h"),
	}
	ask.NitrogenLow, ask.NitrogenHigh = a.number("n_low", 1, 1000, "kg/ha"), a.number("n_high", 1, 1000, "kg/ha")
	if ask.NitrogenHigh > 0 && ask.NitrogenLow > ask.NitrogenHigh {
		a.errors["n_low"] = fmt.Sprintf("it is above the most, %g kg/ha", ask.NitrogenHigh)
	}
	ask.DayWorth, ask.Hour = a.number("day_worth", 1e-3, 1e7, ""), a.number("hour", 1e-3, 1e5, "")
	ask.Closed, ask.Tournaments = a.closed(), a.tournaments()
	return ask
}

func (a *seasonAsk) day(name string) underfoot.Date {
	text := a.text(name)
	if text == "" {
		a.errors[name] = "a day is needed"
		return 0
	}
	d, err := underfoot.ParseDate(text)
	if err != nil {
		a.errors[name] = err.Error()
	}
	return d
}

// number reads an optional number; 0 for none.
func (a *seasonAsk) number(name string, low, high float64, unit string) float64 {
	text := a.text(name)
	if text == "" {
		return 0
	}
	v, err := underfoot.ParseNumber(text)
	switch {
	case err != nil:
		a.errors[name] = err.Error()
	case !(v >= low && v <= high):
		a.errors[name] = strings.TrimSpace(fmt.Sprintf("%s to %s %s can be given; leave it empty for no word on it", underfoot.FormatNumber(low), underfoot.FormatNumber(high), unit))
	default:
		return v
	}
	return 0
}

// bands reads the bands of the layers; at least one is needed.
func (a *seasonAsk) bands() []app.SeasonBand {
	var list []app.SeasonBand
	some := false
	for _, l := range a.layers {
		low, high := bandName("low", l), bandName("high", l)
		if a.text(low) == "" && a.text(high) == "" {
			continue
		}
		some = true
		b := app.SeasonBand{TopMM: l.Top, BottomMM: l.Bottom, Low: a.percent(low), High: a.percent(high)}
		if a.text(low) == "" {
			b.Low, a.errors[low] = 0, ""
		}
		if a.text(high) == "" {
			b.High, a.errors[high] = 100, ""
		}
		if a.errors[low] == "" && a.errors[high] == "" && b.High <= b.Low {
			a.errors[high] = fmt.Sprintf("it is not above the least, %g %%", b.Low)
		}
		if on := bandName("on", l); a.text(on) != "" {
			b.On = a.day(on)
			if from, until := a.day("from"), a.day("until"); a.errors[on] == "" && (b.On <= from || b.On > until) {
				a.errors[on] = fmt.Sprintf("%s is not in the time planned for: give a day after %s, up to %s", b.On, from, until)
			}
		}
		list = append(list, b)
	}
	if !some {
		a.errors["toward"] = "no band is given: say where at least one layer is wanted"
	}
	return list
}

func (a *seasonAsk) percent(name string) float64 {
	v, err := underfoot.ParseNumber(a.text(name))
	if err != nil {
		a.errors[name] = err.Error()
		return 0
	}
	if !(v >= 0 && v <= 100) {
		a.errors[name] = "0 to 100 % can be given"
	}
	return v
}

var dayText = regexp.MustCompile(`\d{4}-\d{1,2}-\d{1,2}`)

// closed reads one closed time a line: a day, or two.
func (a *seasonAsk) closed() []season.Closed {
	var list []season.Closed
	for i, line := range lines(a.text("closed")) {
		days, err := daysIn(line)
		switch {
		case err != nil:
			a.errors["closed"] = fmt.Sprintf("line %d, %q: %v", i+1, line, err)
		case len(days) == 1:
			list = append(list, season.Closed{From: int(days[0]), Until: int(days[0])})
		case len(days) == 2 && days[1] >= days[0]:
			list = append(list, season.Closed{From: int(days[0]), Until: int(days[1])})
		case len(days) == 2:
			a.errors["closed"] = fmt.Sprintf("line %d, %q: it ends before it begins", i+1, line)
		default:
			a.errors["closed"] = fmt.Sprintf("line %d, %q: give a day or two, such as 2027-07-01 to 2027-07-14", i+1, line)
		}
	}
	return list
}

// tournaments reads one a line: a day, and how many days before it the greens have to be at their best.
func (a *seasonAsk) tournaments() []season.Tournament {
	var list []season.Tournament
	for i, line := range lines(a.text("tournaments")) {
		days, err := daysIn(line)
		if err != nil || len(days) != 1 {
			a.errors["tournaments"] = fmt.Sprintf("line %d, %q: give a day, and the days before it if they are not 3, such as 2027-06-12, 5", i+1, line)
			continue
		}
		t := season.Tournament{Day: int(days[0]), Before: usualBefore}
		if rest := strings.Trim(dayText.ReplaceAllString(line, ""), " ,;:"); rest != "" {
			if t.Before, err = strconv.Atoi(rest); err != nil || t.Before < 0 || t.Before > 90 {
				a.errors["tournaments"] = fmt.Sprintf("line %d, %q: the days before it are %q: give a whole number from 0 to 90", i+1, line, rest)
			}
		}
		list = append(list, t)
	}
	return list
}

const usualBefore = 3 // days; working default, no source

func lines(text string) []string {
	var out []string
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" {
			out = append(out, line)
		}
	}
	return out
}

func daysIn(line string) ([]underfoot.Date, error) {
	var days []underfoot.Date
	for _, text := range dayText.FindAllString(line, -1) {
		d, err := underfoot.ParseDate(text)
		if err != nil {
			return nil, err
		}
		days = append(days, d)
	}
	return days, nil
}

// faulty says whether anything is wrong with the question.
func (a *seasonAsk) faulty() bool {
	for _, text := range a.errors {
		if text != "" {
			return true
		}
	}
	return false
}
