package underfoot

import (
	"sync"
	"time"
	_ "time/tzdata" // zones are known on every machine
)

// Course is a golf course, or another club with greens, that is looked after.
type Course struct {
	ID        string       `col:"course" key:"1" about:"Short name that all other tables refer to."`
	Name      string       `col:"name" about:"Name as people say it."`
	Latitude  Opt[float64] `col:"latitude_deg" unit:"°" min:"-90" max:"90" about:"Latitude, north positive."`
	Longitude Opt[float64] `col:"longitude_deg" unit:"°" min:"-180" max:"180" about:"Longitude, east positive."`
	Country   string       `col:"country" about:"Country, as a name or a code."`
	TimeZone  string       `col:"time_zone" about:"IANA time zone that the dates are in, such as Europe/London." default:"UTC"`
	Extra     Extra
}

// Courses describes the table of courses.
var Courses = newTable[Course]("courses", "Courses")

// Table returns [Courses].
func (*Course) Table() *Table { return Courses }

// Check refuses a time zone that is not in the IANA database.
func (c *Course) Check() []Fault {
	if _, err := time.LoadLocation(c.TimeZone); err != nil {
		return []Fault{{"time_zone", quote(c.TimeZone) + " is not a time zone of the IANA database, such as Europe/London"}}
	}
	return nil
}

// Title returns the name, or the key where there is none.
func (c *Course) Title() string {
	if c.Name != "" {
		return c.Name
	}
	return c.ID
}

// Zone returns the course's time zone, UTC when none is known.
func (c *Course) Zone() *time.Location {
	if z, known := zones.Load(c.TimeZone); known {
		return z.(*time.Location)
	}
	z, err := time.LoadLocation(c.TimeZone)
	if err != nil {
		return time.UTC // not remembered: anything can be asked for, and few zones are
	}
	zones.Store(c.TimeZone, z)
	return z
}

// zones are those that were asked for, by name: reading one takes a look at the disk, and a list of courses asks for thousands.
var zones sync.Map

// Today returns the calendar day it is on the course at the moment now.
func (c *Course) Today(now time.Time) Date { return DateOf(now.In(c.Zone())) }
