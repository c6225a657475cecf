package growth

import (
	"math"
	"strings"
)

// Habit is when in the year a grass grows.
type Habit uint8

// The two habits.
const (
	Cool Habit = iota // cool-season: bents, fescues, bluegrasses, ryegrasses
	Warm              // warm-season: bermudagrasses, paspalum, zoysia, kikuyu
)

// String names the habit.
func (h Habit) String() string {
	if h == Warm {
		return "warm-season"
	}
	return "cool-season"
}

// warm and cool list what the names of the grasses of greens contain, lower case.
var (
	warm = []string{"bermuda", "cynodon", "couch", "paspalum", "zoysia", "kikuyu", "cenchrus clandestinus", "digitaria", "stenotaphrum", "buffalo"}
	cool = []string{"bent", "agrostis", "bluegrass", "meadow-grass", "meadow grass", "poa", "fescue", "festuca", "rye", "lolium"}
)

// HabitOf reads the habit from the name of a species, such as "hybrid bermudagrass" or "Agrostis stolonifera". known is
// false when the name says nothing; the habit is then Cool.
func HabitOf(species string) (h Habit, known bool) {
	name := strings.ToLower(species)
	for _, w := range warm {
		if strings.Contains(name, w) {
			return Warm, true
		}
	}
	for _, c := range cool {
		if strings.Contains(name, c) {
			return Cool, true
		}
	}
	return Cool, false
}

// Optimum and width of growth by temperature, °C: Gelernter & Stowell (2005, Golf Course Management, March:108–113); the numbers from memory.
const (
	coolOptimum, coolWidth = 20, 5.5
	warmOptimum, warmWidth = 31, 7
)

// Potential gives the growth potential of a day, 0..1:
//
//	GP = exp(−½·((T − Topt)/sd)²)
//
// celsius: mean air temperature of the day. Light, water, nitrogen and growth regulators are not in it. Source:
// Gelernter & Stowell (2005, Golf Course Management, March:108–113).
func Potential(celsius float64, h Habit) float64 {
	optimum, width := float64(coolOptimum), coolWidth
	if h == Warm {
		optimum, width = warmOptimum, warmWidth
	}
	d := (celsius - optimum) / width
	return math.Exp(-d * d / 2)
}
