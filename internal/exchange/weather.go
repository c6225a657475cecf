package exchange

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"underfoot"
)

// WeatherFile is a weather file by itself, read.
type WeatherFile struct {
	Form     string              // what it was taken for, in words
	Station  string              // its name in the file, if it has one
	Days     []underfoot.Weather // by date
	Doubtful int                 // values left out because their source marks them as doubtful
	Early    int                 // days of a station before 1900, which were left out: records begin then
	Problems []Problem
}

// maxWeather is the largest weather file that is read: a station's 250 years take some 30 MB.
const maxWeather = 64 << 20

// ReadWeather reads a file of daily weather for a course. It may be a table with the columns of weather.csv (course may be missing
// or the course's own), or a station file of the Global Historical Climatology Network – Daily: the fixed-width .dly form, or a
// by-station CSV, long (station, day, element, value, marks) or wide (STATION, DATE, TMAX, TMIN, PRCP and their
// attributes); any of them may be packed by gzip. Source of the forms: NOAA, readme of GHCN-Daily (from memory): temperatures in tenths of °C, rain in
// tenths of mm, −9999 for missing, a quality mark on values that failed a check.
func ReadWeather(r io.Reader, name, course string) (*WeatherFile, error) {
	text, err := readAll(r)
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	if len(text) > maxWeather {
		return nil, underfoot.Errorf(underfoot.Invalid, "%s is larger than %d MB, the most a weather file may be", name, maxWeather>>20)
	}
	w := &weatherReader{name: name, course: course, days: map[underfoot.Date]*underfoot.Weather{}, out: &WeatherFile{}}
	text = bytes.TrimPrefix(text, []byte("\uFEFF"))
	first, _, _ := bytes.Cut(text, []byte("\n"))
	head := strings.TrimRight(string(first), "\r")
	switch {
	case isFixed(head):
		w.fixed(text)
	case isLong(head):
		w.long(text)
	case hasColumns(head, "STATION", "DATE"):
		w.table(text, wideColumns)
		w.tenths()
	case hasColumns(head, "date"):
		w.table(text, ownColumns)
	default:
		return nil, underfoot.Errorf(underfoot.Invalid, "%s is no weather file that is known here: its first line is %q: bring a table with the columns date, tmin_c, tmax_c and rain_mm, or a GHCN-Daily station file (.dly or by-station .csv); a laboratory’s sheet needs a column for the value and one for the sample, or for its green and layer", name, clip(head))
	}
	return w.finish(), nil
}

// readAll reads a file to the limit and one byte beyond, packed by gzip or not: station files are handed out packed.
func readAll(r io.Reader) ([]byte, error) {
	b := bufio.NewReader(r)
	if head, err := b.Peek(2); err != nil || head[0] != 0x1f || head[1] != 0x8b {
		return io.ReadAll(io.LimitReader(b, maxWeather+1))
	}
	z, err := gzip.NewReader(b)
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "it is packed, and cannot be unpacked: %w", err)
	}
	text, err := io.ReadAll(io.LimitReader(z, maxWeather+1))
	if err != nil {
		return nil, underfoot.Errorf(underfoot.Invalid, "it is packed, and cannot be unpacked: %w", err)
	}
	return text, nil
}

func clip(s string) string {
	if len(s) > 60 {
		return s[:60] + "…"
	}
	return s
}

// weatherReader gathers days.
type weatherReader struct {
	name, course string
	days         map[underfoot.Date]*underfoot.Weather
	others       bool // lines of a second station
	out          *WeatherFile
}

func (w *weatherReader) problem(line int, column, found, text string) {
	w.out.Problems = append(w.out.Problems, Problem{File: w.name, Line: line, Column: column, Found: found, Text: text})
}

func (w *weatherReader) day(d underfoot.Date) *underfoot.Weather {
	x := w.days[d]
	if x == nil {
		x = &underfoot.Weather{Course: w.course, Date: d}
		w.days[d] = x
	}
	return x
}

// finish puts the days in order and leaves those out that say nothing.
func (w *weatherReader) finish() *WeatherFile {
	for _, x := range w.days {
		if x.TMinC.Known && x.TMaxC.Known && x.TMinC.Value > x.TMaxC.Value {
			x.TMinC, x.TMaxC = underfoot.Opt[float64]{}, underfoot.Opt[float64]{} // a station's own values that contradict one another
			w.out.Doubtful += 2
		}
		if x.Date < firstDay && w.out.Form != ownColumns.form {
			w.out.Early++
			continue
		}
		if x.TMinC.Known || x.TMaxC.Known || x.RainMM.Known {
			w.out.Days = append(w.out.Days, *x)
		}
	}
	slices.SortFunc(w.out.Days, func(a, b underfoot.Weather) int { return int(a.Date - b.Date) })
	if len(w.out.Days) == 0 && len(w.out.Problems) == 0 {
		text := "there is no day with a temperature or rain in it"
		if w.out.Early > 0 {
			text += fmt.Sprintf(" from %s on", firstDay)
		}
		w.problem(0, "", "", text)
	}
	return w.out
}

// element puts a GHCN-Daily value [tenths of a unit] on a day; quality: its mark, blank for good.
func (w *weatherReader) element(d underfoot.Date, element string, tenths int, quality string) {
	if tenths == -9999 || element != "TMIN" && element != "TMAX" && element != "PRCP" {
		return
	}
	v := float64(tenths) / 10
	bad := strings.TrimSpace(quality) != ""
	switch element {
	case "PRCP":
		bad = bad || v < 0 || v > 2000
	default:
		bad = bad || v < -90 || v > 60
	}
	if bad {
		w.out.Doubtful++
		return
	}
	x := w.day(d)
	switch element {
	case "TMIN":
		x.TMinC = underfoot.Some(v)
	case "TMAX":
		x.TMaxC = underfoot.Some(v)
	case "PRCP":
		x.RainMM = underfoot.Some(v)
	}
}

// Places in a line of the fixed-width form: 11 of the station, 4 of the year, 2 of the month, 4 of the element, then 31
// times 5 of the value and 3 marks (measurement, quality, source).
const (
	fixedHead = 21
	fixedCell = 8
	fixedLine = fixedHead + 31*fixedCell
)

func isFixed(line string) bool {
	if len(line) < fixedHead+fixedCell || strings.ContainsAny(line[:fixedHead], ",;\t") {
		return false
	}
	_, errYear := strconv.ParseUint(line[11:15], 10, 16)
	month, errMonth := strconv.Atoi(strings.TrimSpace(line[15:17]))
	return errYear == nil && errMonth == nil && month >= 1 && month <= 12
}

// fixed reads the .dly form.
func (w *weatherReader) fixed(text []byte) {
	w.out.Form = "GHCN-Daily station file, fixed width"
	lines := bufio.NewScanner(bytes.NewReader(text))
	lines.Buffer(nil, 1<<20)
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimRight(lines.Text(), "\r")
		if strings.TrimSpace(line) == "" {
			continue
		}
		if !isFixed(line) {
			w.problem(n, "", "", fmt.Sprintf("a line of this form begins with a station (11 places), year, month and element: found %q", clip(line)))
			continue
		}
		if len(line) < fixedLine {
			line += strings.Repeat(" ", fixedLine-len(line)) // marks at the end of the line may be cut off
		}
		if !w.station(n, line[:11]) {
			continue
		}
		year, _ := strconv.Atoi(line[11:15])
		month, _ := strconv.Atoi(strings.TrimSpace(line[15:17]))
		for d := 1; d <= 31; d++ {
			cell := line[fixedHead+(d-1)*fixedCell:][:fixedCell]
			value := strings.TrimSpace(cell[:5])
			if value == "" {
				continue
			}
			tenths, err := strconv.Atoi(value)
			if err != nil {
				w.problem(n, fmt.Sprintf("day %d", d), value, fmt.Sprintf("%q is not a whole number: values are in tenths, -9999 for missing", value))
				continue
			}
			date := time.Date(year, time.Month(month), d, 0, 0, 0, 0, time.UTC)
			if date.Day() != d {
				if tenths != -9999 {
					w.problem(n, fmt.Sprintf("day %d", d), value, fmt.Sprintf("%04d-%02d has no day %d", year, month, d))
				}
				continue
			}
			w.element(underfoot.DateOf(date), line[17:21], tenths, cell[6:7])
		}
	}
	if err := lines.Err(); err != nil {
		w.problem(0, "", "", err.Error())
	}
}

// station keeps the station's name and says whether the line is of it. A second one is a problem, told once.
func (w *weatherReader) station(line int, name string) bool {
	name = strings.TrimSpace(name)
	if w.out.Station == "" {
		w.out.Station = name
	}
	if name == w.out.Station {
		return true
	}
	if !w.others {
		w.others = true
		w.problem(line, "", name, fmt.Sprintf("station %q after %q: a file has to be of one station", name, w.out.Station))
	}
	return false
}

func isLong(line string) bool {
	f := strings.Split(line, ",")
	if len(f) < 4 || len(f[1]) != 8 {
		return false
	}
	_, err := time.Parse("20060102", f[1])
	return err == nil && len(f[2]) == 4
}

// long reads the by-station CSV of one value a line.
func (w *weatherReader) long(text []byte) {
	w.out.Form = "GHCN-Daily by-station table, a value a line"
	w.eachRow(text, func(line int, f []string) {
		if len(f) < 4 {
			w.problem(line, "", "", fmt.Sprintf("%d cells: station, day, element and value are needed", len(f)))
			return
		}
		if !w.station(line, f[0]) {
			return
		}
		date, err := time.Parse("20060102", f[1])
		if err != nil {
			w.problem(line, "day", f[1], fmt.Sprintf("%q is not a day of the form 20261008", f[1]))
			return
		}
		tenths, err := strconv.Atoi(strings.TrimSpace(f[3]))
		if err != nil {
			w.problem(line, "value", f[3], fmt.Sprintf("%q is not a whole number: values are in tenths, -9999 for missing", f[3]))
			return
		}
		quality := ""
		if len(f) > 5 {
			quality = f[5]
		}
		w.element(underfoot.DateOf(date), f[2], tenths, quality)
	})
}

// eachRow gives the rows of a CSV with their lines.
func (w *weatherReader) eachRow(text []byte, do func(line int, f []string)) {
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord = -1
	for {
		f, err := r.Read()
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			var bad *csv.ParseError
			if errors.As(err, &bad) {
				w.problem(bad.StartLine, "", "", bad.Err.Error())
			} else {
				w.problem(0, "", "", err.Error())
			}
			return
		}
		line, _ := r.FieldPos(0)
		do(line, f)
	}
}

func hasColumns(head string, names ...string) bool {
	cells, err := csv.NewReader(strings.NewReader(head)).Read()
	if err != nil {
		return false
	}
	for _, n := range names {
		if !slices.ContainsFunc(cells, func(c string) bool { return strings.TrimSpace(c) == n }) {
			return false
		}
	}
	return true
}

// tenths refuses a table whose values cannot be tenths of °C: over most of a year somewhere grass grows, the warmest day
// is above 13 °C, and whole °F or °C read as tenths stay below.
func (w *weatherReader) tenths() {
	const least, warm = 330, 13.0 // days; °C
	n, warmest := 0, math.Inf(-1)
	for _, x := range w.days {
		if x.TMaxC.Known {
			n, warmest = n+1, max(warmest, x.TMaxC.Value)
		}
	}
	if n >= least && warmest < warm {
		w.problem(0, "TMAX", "", fmt.Sprintf("the warmest of %d days would have %s °C: values have to be in tenths of °C, these look like whole °F or °C", n, underfoot.FormatNumber(warmest)))
	}
}

// weatherColumns says how a table's columns are read.
type weatherColumns struct {
	form                  string
	date, low, high, rain string
	tenths                bool
}

var (
	wideColumns = weatherColumns{"GHCN-Daily by-station table, a day a line", "DATE", "TMIN", "TMAX", "PRCP", true}
	ownColumns  = weatherColumns{"table of daily weather", "date", "tmin_c", "tmax_c", "rain_mm", false}
)

// table reads a CSV with a header.
func (w *weatherReader) table(text []byte, c weatherColumns) {
	w.out.Form = c.form
	var at map[string]int
	w.eachRow(text, func(line int, f []string) {
		if at == nil {
			at = map[string]int{}
			for i, name := range f {
				at[strings.TrimSpace(name)] = i
			}
			return
		}
		if len(f) > len(at) {
			w.problem(line, "", "", fmt.Sprintf("%d cells under %d headers: numbers take a decimal point, and text with a comma quotation marks", len(f), len(at)))
			return
		}
		cell := func(name string) string {
			if i, ok := at[name]; ok && i < len(f) {
				return strings.TrimSpace(f[i])
			}
			return ""
		}
		if s := cell("STATION"); s != "" && !w.station(line, s) {
			return
		}
		if own := cell("course"); own != "" && own != w.course {
			w.problem(line, "course", own, fmt.Sprintf("%q is not the course the file is for, %q", own, w.course))
			return
		}
		date, err := underfoot.ParseDate(cell(c.date))
		if err != nil {
			w.problem(line, c.date, cell(c.date), err.Error())
			return
		}
		if date < firstDay && !c.tenths {
			w.problem(line, c.date, cell(c.date), fmt.Sprintf("%s is before %s: dates from then on are allowed", date, firstDay))
			return
		}
		w.row(line, date, c, cell)
	})
}

// row takes one day of a table.
func (w *weatherReader) row(line int, date underfoot.Date, c weatherColumns, cell func(string) string) {
	if c.tenths {
		for _, element := range []string{"TMIN", "TMAX", "PRCP"} {
			text := cell(element)
			if text == "" {
				continue
			}
			tenths, err := strconv.Atoi(text)
			if err != nil {
				w.problem(line, element, text, fmt.Sprintf("%q is not a whole number: values are in tenths, -9999 for missing", text))
				continue
			}
			marks := strings.Split(cell(element+"_ATTRIBUTES"), ",")
			quality := ""
			if len(marks) > 1 {
				quality = marks[1]
			}
			w.element(date, element, tenths, quality)
		}
		return
	}
	if w.days[date] != nil {
		w.problem(line, c.date, date.String(), fmt.Sprintf("%s stands in the file twice", date))
		return
	}
	x := w.day(date)
	number := func(column string, low, high float64, unit string) underfoot.Opt[float64] {
		text := cell(column)
		if text == "" {
			return underfoot.Opt[float64]{}
		}
		v, err := underfoot.ParseNumber(text)
		if err != nil || v < low || v > high {
			w.problem(line, column, text, fmt.Sprintf("%q is not a number from %g to %g %s with a decimal point", text, low, high, unit))
			return underfoot.Opt[float64]{}
		}
		if v == 0 {
			v = 0 // no minus zero
		}
		return underfoot.Some(v)
	}
	x.TMinC, x.TMaxC = number(c.low, -90, 60, "°C"), number(c.high, -90, 60, "°C")
	x.RainMM = number(c.rain, 0, 2000, "mm")
	for _, f := range x.Check() {
		w.problem(line, f.Column, "", f.Text)
	}
}
