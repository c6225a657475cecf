package underfoot

import "fmt"

// Closing is a time in which a season plan does nothing on the greens, or an event they have to be at their best for.
type Closing struct {
	Course       string   `col:"course" key:"1" refers:"courses" about:"Course it holds for."`
	From         Date     `col:"from" key:"1" about:"First day."`
	Why          string   `col:"why" key:"1" oneof:"closed,tournament,holiday" about:"Closed for work, a tournament, or a public holiday on which the crew is away."`
	Until        Date     `col:"until" need:"1" about:"Last day; the first again for a single day."`
	Name         string   `col:"name" about:"What it is called."`
	HealedDays   Opt[int] `col:"healed_days" unit:"d" min:"0" max:"90" about:"Days before a tournament by which the surface has to be itself again." default:"3"`
	UnopenedDays Opt[int] `col:"unopened_days" unit:"d" min:"0" max:"200" about:"Days before a tournament in which nothing opens the surface, however fast it would heal." default:"no word on it"`
	Extra        Extra
}

// UsualHealedDays is how many days before a tournament the surface has to be itself again where nobody says otherwise;
// working default, no source.
const UsualHealedDays = 3

// Closings describes the table of a course's closed times and tournaments.
var Closings = newTable[Closing]("closings", "Closed times and tournaments")

// Table returns [Closings].
func (*Closing) Table() *Table { return Closings }

// Check refuses a time that ends before it begins or lasts more than a year, and days before what is no tournament.
func (c *Closing) Check() []Fault {
	var faults []Fault
	if c.From.Year() < 1900 {
		faults = append(faults, Fault{"from", fmt.Sprintf("%s is before 1900: days from then on are allowed", c.From)})
	}
	switch days := int(c.Until-c.From) + 1; {
	case days < 1:
		faults = append(faults, Fault{"until", fmt.Sprintf("it ends on %s, before it begins on %s", c.Until, c.From)})
	case days > 366:
		faults = append(faults, Fault{"until", fmt.Sprintf("it lasts %d days: 366 at most are allowed", days)})
	case c.Why == "tournament" && days > 31:
		faults = append(faults, Fault{"until", fmt.Sprintf("a tournament lasts %d days: 31 at most are allowed", days)})
	}
	if c.Why != "tournament" {
		if c.HealedDays.Known {
			faults = append(faults, Fault{"healed_days", "it is said of what is no tournament: leave it empty"})
		}
		if c.UnopenedDays.Known {
			faults = append(faults, Fault{"unopened_days", "it is said of what is no tournament: leave it empty"})
		}
	}
	return faults
}

// Crew is what people a season plan can count on from a day on, and what their hours cost.
type Crew struct {
	Course       string       `col:"course" key:"1" refers:"courses" about:"Course it holds for."`
	From         Date         `col:"from" key:"1" about:"First day it holds; the next row of the course ends it."`
	HoursPerWeek Opt[float64] `col:"hours_per_week" unit:"h" above:"0" max:"100000" about:"Crew hours a week that work on the greens may take." default:"no limit"`
	PricePerH    Opt[float64] `col:"price_per_h" above:"0" max:"100000" about:"What an hour of labour costs, in the course's currency."`
	Note         string       `col:"note" about:"Anything else."`
	Extra        Extra
}

// Crews describes the table of a course's crew.
var Crews = newTable[Crew]("crew", "Crew hours")

// Table returns [Crews].
func (*Crew) Table() *Table { return Crews }

// Check refuses a row that says nothing.
func (c *Crew) Check() []Fault {
	if !c.HoursPerWeek.Known && !c.PricePerH.Known {
		return []Fault{{"hours_per_week", "neither hours nor a price: give one or both"}}
	}
	return nil
}
