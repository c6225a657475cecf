package labsheet

//gather:none

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Order is the order of the parts of a date.
type Order string

// The orders of a date.
const (
	DayFirst   Order = "dmy"
	MonthFirst Order = "mdy"
	YearFirst  Order = "ymd"
)

// Word says the order.
func (o Order) Word() string {
	switch o {
	case DayFirst:
		return "day, month, year"
	case MonthFirst:
		return "month, day, year"
	}
	return "year, month, day"
}

// Years that a date of a sheet may have.
const (
	firstYear = 1900
	lastYear  = 2100
	turnYear  = 70 // two figures from here on are of the twentieth century (common practice, no source)
)

var (
	timeBehind = regexp.MustCompile(`(?i)[T ,]+[0-9]{1,2}[:.][0-9]{2}([:.][0-9]{2}([.,][0-9]+)?)?( ?[ap]\.?m\.?)?( ?(z|uhr|[+-][0-9]{2}:?[0-9]{2}))?$`)
	threeParts = regexp.MustCompile(`^([0-9]{1,4}) ?[-/. ] ?([0-9]{1,2}) ?[-/. ] ?([0-9]{1,4})\.?$`)
	eight      = regexp.MustCompile(`^([0-9]{4})([0-9]{2})([0-9]{2})$`)
	inWords    = regexp.MustCompile(`[\p{L}]+|[0-9]+`)
)

// months by the first letters of their names in English, German, the Nordic tongues, French, Dutch and Spanish.
var months = [12][]string{
	{"jan", "jän", "ene", "tammi"},
	{"feb", "fév", "fev", "helmi"},
	{"mar", "mär", "mrz", "maa", "mrt"},
	{"apr", "avr", "abr", "huhti"},
	{"may", "mai", "maj", "mei", "touko"},
	{"jun", "juin", "kesä"},
	{"jul", "juil", "heinä"},
	{"aug", "aoû", "aou", "ago", "elo"},
	{"sep", "syys"},
	{"oct", "okt", "loka"},
	{"nov", "marras"},
	{"dec", "dez", "des", "déc", "dic", "joulu"},
}

var weekdays = []string{
	"mon", "tue", "wed", "thu", "fri", "sat", "sun", "mo", "di", "mi", "do", "fr", "sa", "so", "man", "tir", "ons", "tor", "fre", "lør", "søn", "tis", "lör", "sön",
	"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday", "montag", "dienstag", "mittwoch", "donnerstag", "freitag", "samstag", "sonntag",
	"mandag", "tirsdag", "onsdag", "torsdag", "fredag", "lørdag", "søndag", "måndag", "tisdag", "lördag", "söndag",
}

func monthOf(word string) int {
	best, most := 0, 0
	for i, names := range months {
		for _, n := range names {
			if strings.HasPrefix(word, n) && len(n) > most {
				best, most = i+1, len(n)
			}
		}
	}
	return best
}

// ReadDay reads a date and returns it as 2006-01-02. Order decides where a date of three numbers can be read in two
// ways; with no order such a date is refused with both readings.
func ReadDay(text string, order Order) (string, error) {
	list, err := readings(text)
	if err != nil {
		return "", err
	}
	if order != "" {
		if day, ok := list[order]; ok {
			return day, nil
		}
		if len(list) == 1 {
			for o, day := range list {
				if o == YearFirst && len(day) == 10 && strings.HasPrefix(strings.TrimSpace(text), day[:4]) || o == inWord {
					return day, nil // a year of four figures in front, or a month in words, leaves no doubt
				}
			}
		}
		return "", fmt.Errorf("%q is no date in the order %s", text, order.Word())
	}
	var days []string
	for _, day := range list {
		if !slices.Contains(days, day) {
			days = append(days, day)
		}
	}
	if len(days) > 1 {
		slices.Sort(days)
		return "", &TwoReadings{text, days}
	}
	return days[0], nil
}

// inWord is the order of a date whose month is a word.
const inWord Order = "word"

// readings returns what a date can be, by order.
func readings(text string) (map[Order]string, error) {
	s := strings.TrimSuffix(timeBehind.ReplaceAllString(tidy(signs(text)), ""), ",")
	bad := fmt.Errorf("%q is not a date: write it as 2026-10-08 (year-month-day)", text)
	out := map[Order]string{}
	put := func(o Order, y, m, d int) {
		if day, ok := dayOf(y, m, d); ok {
			out[o] = day
		}
	}
	if m := eight.FindStringSubmatch(s); m != nil {
		put(YearFirst, whole(m[1]), whole(m[2]), whole(m[3]))
	} else if m := threeParts.FindStringSubmatch(s); m != nil {
		a, b, c := whole(m[1]), whole(m[2]), whole(m[3])
		switch {
		case len(m[1]) == 4 && len(m[3]) <= 2:
			put(YearFirst, a, b, c)
		case len(m[1]) <= 2 && (len(m[3]) == 4 || len(m[3]) == 2):
			put(DayFirst, year(m[3]), b, a)
			put(MonthFirst, year(m[3]), a, b)
			if len(m[1]) == 2 && len(m[3]) == 2 {
				put(YearFirst, year(m[1]), b, c)
			}
		}
	} else if y, m, d, ok := wordDate(s); ok {
		put(inWord, y, m, d)
	}
	if len(out) == 0 {
		return nil, bad
	}
	return out, nil
}

// wordDate reads "8 Oct 2026", "Oct 8th, 2026", "Thu 8. Oktober 2026", "2026 Oct 8".
func wordDate(s string) (y, m, d int, ok bool) {
	var numbers []string
	for _, w := range inWords.FindAllString(strings.ToLower(s), -1) {
		switch {
		case w[0] >= '0' && w[0] <= '9':
			numbers = append(numbers, w)
		case monthOf(w) > 0 && m == 0:
			m = monthOf(w)
		case slices.Contains(weekdays, w), w == "st", w == "nd", w == "rd", w == "th", w == "of", w == "de", w == "den":
		default:
			return 0, 0, 0, false
		}
	}
	if m == 0 || len(numbers) != 2 {
		return 0, 0, 0, false
	}
	a, b := numbers[0], numbers[1]
	if len(a) == 4 {
		a, b = b, a
	}
	if len(a) > 2 || (len(b) != 4 && len(b) != 2) {
		return 0, 0, 0, false
	}
	return year(b), m, whole(a), true
}

func whole(s string) int {
	n, _ := strconv.Atoi(s)
	return n
}

func year(s string) int {
	n := whole(s)
	switch {
	case len(s) != 2:
		return n
	case n >= turnYear:
		return 1900 + n
	}
	return 2000 + n
}

func dayOf(y, m, d int) (string, bool) {
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if y < firstYear || y > lastYear || t.Day() != d || int(t.Month()) != m {
		return "", false
	}
	return t.Format("2006-01-02"), true
}

// serialDay reads the number of days that a spreadsheet counts from the end of 1899, where it came without its format.
func serialDay(v float64) (string, bool) {
	if v < 20000 || v > 73000 || v != float64(int(v)) {
		return "", false
	}
	return time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(v)).Format("2006-01-02"), true
}

// ordersOf returns the orders in which every date of the cells can be read, and whether they come to different days.
// Of dates that leave no doubt none is counted.
func ordersOf(cells []Cell) (orders []Order, differ bool) {
	may := map[Order]int{}
	asked := 0
	for _, c := range cells {
		if c.Day != "" || c.Numeric || Absent(c.Text) {
			continue
		}
		list, err := readings(c.Text)
		if err != nil || list[inWord] != "" {
			continue
		}
		if day, ok := list[YearFirst]; ok && len(list) == 1 && strings.HasPrefix(c.Text, day[:4]) {
			continue
		}
		asked++
		days := map[string]bool{}
		for o, day := range list {
			may[o]++
			days[day] = true
		}
		differ = differ || len(days) > 1
	}
	for _, o := range []Order{YearFirst, DayFirst, MonthFirst} {
		if asked > 0 && may[o] == asked {
			orders = append(orders, o)
		}
	}
	return orders, differ
}
