package web

import (
	"net/http"

	"underfoot/internal/web/page"
)

// showHelp explains words and marks.
func (s *server) showHelp(w http.ResponseWriter, r *http.Request) error {
	p := page.Help{
		Frame: s.frame(r, "Words and marks", "help"),
		Depth: page.Depths{Name: "20–40 mm", TopMM: 20, BottomMM: 40, TotalMM: 60},
		Words: []page.Word{
			{Word: "Organic matter, OM", Means: "What the whole oven-dry sample loses when it is burnt, in % of its oven-dry mass. Nothing is screened out first, nothing scooped."},
			{Word: "OM stock", Means: "Organic matter per area in a layer, kg/m²: its share times the density times the thickness."},
			{Word: "Layer", Means: "A depth below the surface, named by its ends in millimetres."},
			{Word: "Round", Means: "One sampling occasion: which greens, which layers, how many cores."},
			{Word: "Core, composite", Means: "A core is one plug. The composite is the cores of one green and layer, burnt together."},
			{Word: "±, “9 in 10”", Means: "The interval that holds the true value in nine of ten such cases, given what was measured and how. It covers the scatter of cores and greens, the balance and the burn; it cannot cover a mistake in the records."},
			{Word: "No change that this sampling could see", Means: "The change, if any, is smaller than the cores and rounds taken can tell from chance. It does not say that nothing changed; beside it stands the change that would have been seen."},
			{Word: "At fixed depth", Means: "The same depth in each round. Sand buries what was there: 20–40 mm this year holds other material than 20–40 mm last year."},
			{Word: "Direction", Means: "What the surface asks of organic matter: lower where it plays too soft or wet, raise where too firm or dry, hold in between. It comes from readings against what is wanted, or from a stated judgement with a reason; never from an OM figure."},
			{Word: "Made less decayed", Means: "The organic matter a layer gained by growth less what rotted, after burial, cores and sand are accounted for, kg/m² a year."},
			{Word: "Sand to hold", Means: "Sand a year that would keep the layer’s organic matter where it is, at the rate it forms now."},
			{Word: "Profile model", Means: "An account of sand and organic matter by depth, run forward from the first round with the weather and the work of the log, its unknowns learnt from the course’s own rounds. It leaves out water, compaction, disease and traffic."},
			{Word: "Burial chart", Means: "Time goes across, depth below the surface of each date goes down, colour is organic matter. A line is the surface of one January, sinking as sand is laid on it."},
			{Word: "Foretold", Means: "What the model said of a round before it was shown that round. Where it lies beside what was measured tells how far the forecast can be trusted."},
			{Word: "Still the prior", Means: "The rounds have not decided this figure: it is what was taken before any round of the course."},
			{Word: "Points", Means: "Percentage points of organic matter: from 7.0 to 7.5 % is half a point."},
			{Word: "mm, kg/m², t", Means: "The same sand three ways: depth over the surface, dry mass per area, dry mass over all greens. They agree through the sand’s bulk density."},
			{Word: "Screened or scooped", Means: "A sample from which something was taken before it was burnt. It is another quantity: kept, marked, and never mixed into a trend."},
		},
		Marks: []page.Word{
			{Word: "Whisker", Means: "Holds 9 times in 10; its thick part, where there is one, 5 in 10. No dot stands without it, except the daily means of readings."},
			{Word: "Filled and open dots", Means: "In readings, a filled dot lies outside what is wanted. Elsewhere filled is measured and open is reckoned."},
			{Word: "Warm colours", Means: "Organic matter, pale sand to dark peat, from 0 to 10 %, the same on every page."},
			{Word: "Stippled bars", Means: "Sand."},
			{Word: "Blue", Means: "Reckoned, not measured; and anything you can press."},
		},
		Keys: []page.Word{
			{Word: "Tab", Means: "Goes from one thing to the next: links, fields, and the values of a figure, which then show."},
			{Word: "Enter", Means: "Saves a form, opens a link."},
			{Word: "Ctrl P", Means: "Prints any page without its controls; the client report is laid out for paper."},
		},
		Care: []string{
			"Underfoot advises; a qualified person decides. Follow local law, the makers’ manuals and licensed practice.",
			"Furnace and crucibles stay hot long after they stop glowing, and ignition gives fumes: burn under extraction.",
			"Dry sand and ash carry silica dust that harms lungs: keep it damp, do not brush or blow it dry.",
			"A forecast is no promise: weather, play and what is really put on decide.",
		},
	}
	return s.send.page(w, r, http.StatusOK, page.HelpPage(p))
}
