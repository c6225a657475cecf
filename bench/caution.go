package bench

// Cautions are the sentences to show wherever someone is about to dry, burn, weigh or sieve. They give no
// limits: those differ by country and furnace. The tool cannot cover every hazard, as the scope clauses
// of ASTM D2974, F1647 and F1632 say of themselves.
func Cautions() []string {
	return []string{
		"A furnace at 440 °C and the crucibles in it burn at a touch: load and unload it cool, with long tongs, heat-proof gloves and a face shield, and set hot crucibles down only where nothing can burn or crack them.",
		"Burning turf gives off smoke and carbon monoxide: work under a hood or a vented furnace, put in no plastic and nothing wet with oil or solvent, and do not leave the furnace alone without an over-temperature cut-out.",
		"Ash and dry sand give off fine silica dust that harms the lungs, and ash is caustic: do not blow or brush it dry, keep it damp or under extraction, and wear fitted breathing protection where the assessment of your workplace asks for it.",
		"These lines do not cover every hazard: the furnace maker's manual, the law where you work and a qualified person come first.",
	}
}
