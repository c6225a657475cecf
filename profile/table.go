package profile

// Table is the one table of the unknowns: names, limits, what is taken before any round of the course and where that
// is from. "working default" marks a figure nobody published; it is wide on purpose and can be changed.
var Table = [Unknowns]Entry{
	Growth: {
		"organic matter made at full growth", "κ", "kg/m²/a", Log, 2.4, 0.6, 0.05, 30,
		"working default: net formation of 0.1 to 0.8 kg/m²/a in the top 20 mm, two to three times that before decay, at a mean growth index of 0.3 to 0.5",
	},
	SlowRate: {
		"decay of the slow pool at 20 °C", "k", "1/a", Log, 0.16, 0.6, 0.005, 3,
		"geometric mean of resistant plant matter, 0.3/a, and humus, 0.02/a, at 9.25 °C (RothC-26.3, Coleman & Jenkinson 1996, from memory), brought to 20 °C by a Q10 of 2; the spread is a working default that takes both in within two of it",
	},
	FastRate: {
		"decay of the fast pool at 20 °C", "kq", "1/a", Log, 1.6, 0.35, 0.2, 15,
		"61.7 % of grass litter lost in 46 weeks is 1.09/a for fast and slow together (Hamido et al. 2016)",
	},
	FastShare: {
		"share of what is made that decays fast", "a", "1", Logit, 0.5, 0.4, 0.02, 0.98,
		"plant matter on grassland is split 0.59 to 0.41 (RothC-26.3, Coleman & Jenkinson 1996, from memory); spread is a working default",
	},
	RootDepth: {
		"depth by which most is made", "λ", "mm", Log, 10, 0.35, 2, 60,
		"working default: stolons, crowns and most roots of a mown green lie in the top 20 mm (common practice, no source)",
	},
	DeepShare: {
		"share made by deeper roots", "ω", "1", Logit, 0.2, 0.5, 0.005, 0.8,
		"working default, no source",
	},
	Surface: {
		"organic matter at the surface at the start", "f0", "1", Log, 0.085, 0.45, 0.005, 0.6,
		"0–20 mm of greens about 4 to 12 % with the verdure on (from memory, depends on method)",
	},
	Base: {
		"organic matter deep down at the start", "fb", "1", Log, 0.008, 0.4, 0.0005, 0.05,
		"a root zone of sand and peat 80 to 20 by volume holds 0.5 to 1 % (Gaussoin 2019)",
	},
	Fade: {
		"depth by which the surface value fades", "ζ", "mm", Log, 18, 0.35, 3, 90,
		"working default: organic matter falls roughly exponentially with depth (from memory)",
	},
	Coring: {
		"what tines take out, of what their geometry says", "e", "1", Log, 0.9, 0.1, 0.3, 1.5,
		"working default, no source: holes overlap, tear and close",
	},
	Filling: {
		"what goes into the holes, of what was written down", "c", "1", Log, 0.95, 0.1, 0.2, 1.5,
		"working default: holes are filled to 0.6 to 0.9 (no source)",
	},
	Sanding: {
		"sand on the greens, of what was written down", "m", "1", Log, 1, 0.05, 0.5, 2,
		"working default for the whole log: single dressings are off by some 10 % either way, and 1 to 10 % is picked up by brushing and mowing (Stier & Hollman 2003; catch tests)",
	},
	Nitrogen: {
		"part of growth that follows nitrogen", "b", "1", Logit, 0.6, 0.4, 0.02, 0.98,
		"nitrogen is the main driver of growth on greens; clippings rise linearly with it (Zhou & Soldat 2021, Front Plant Sci 12:749854); the figure is a working default",
	},
	OrganicDensity: {
		"density of organic matter in the mat", "ρo", "kg/m³", Log, 235, 0.08, 80, 700,
		"0.244 g/cm³ (Adams 1973, J Soil Sci 24:10–17, from memory); a start of 0.22 is used for greens",
	},
}
