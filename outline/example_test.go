package outline_test

import (
	"fmt"

	"underfoot/outline"
)

func Example() {
	green, err := outline.New([]outline.Polygon{{{{-3.20000, 55.90000}, {-3.19960, 55.90000}, {-3.19955, 55.90015}, {-3.19985, 55.90025}, {-3.20000, 55.90000}}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f m²\n", green.Area())
	places, err := green.Spread(outline.Wish{Count: 3, Seed: 1, Edge: outline.UsualEdge, Apart: outline.UsualApart})
	if err != nil {
		fmt.Println(err)
		return
	}
	heads := []outline.Fixed{
		{Name: "the head by the bunker", At: green.Plane().Point(outline.Position{Longitude: -3.20005, Latitude: 55.90002})},
		{Name: "the head at the back", At: green.Plane().Point(outline.Position{Longitude: -3.1996, Latitude: 55.90022})},
	}
	for _, n := range outline.Walk(places) {
		tape, err := outline.Tapes(places[n], heads, 50)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("core %d: %v\n", n+1, tape)
	}
	// Output:
	// 522 m²
	// core 2: 21.28 m from the head by the bunker and 19.18 m from the head at the back, to the right seen from the head by the bunker towards the head at the back (± 0.10 m)
	// core 1: 26.57 m from the head by the bunker and 12.15 m from the head at the back, to the right seen from the head by the bunker towards the head at the back (± 0.12 m)
	// core 3: 19.50 m from the head by the bunker and 16.69 m from the head at the back, to the left seen from the head by the bunker towards the head at the back (± 0.31 m)
}
