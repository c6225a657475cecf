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
