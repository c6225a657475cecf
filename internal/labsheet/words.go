package labsheet

//gather:none

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// normal writes a heading in small letters with nothing but letters, figures and a few signs, for comparison.
func normal(heading string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(signs(heading)) {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("%µ°#±φ", r) {
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			b.WriteRune(r)
			continue
		}
		gap = true
	}
	return b.String()
}

// says says whether a normal heading has one of the words: whole words, or beginnings where the word ends with a star.
func says(heading string, list ...string) bool {
	padded := " " + heading + " "
	for _, w := range list {
		if begin, ok := strings.CutSuffix(w, "*"); ok {
			if strings.Contains(padded, " "+begin) {
				return true
			}
		} else if inner, ok := strings.CutPrefix(w, "~"); ok {
			if strings.Contains(padded, inner) {
				return true
			}
		} else if strings.Contains(padded, " "+w+" ") {
			return true
		}
	}
	return false
}

var (
	wordsOM       = []string{"om", "o m", "organic*", "loi", "loss on ignition", "ignition loss", "~glühverlust", "gv", "~gluhverlust", "glødetap*", "glødetab*", "glödförlust*", "glodtap*", "~organisk", "~organische", "~organiskt", "humus*", "organique", "matière organique", "multa*"}
	wordsSD       = []string{"sd", "s d", "std*", "±", "u", "uncertainty", "unsicherheit", "messunsicherheit", "avvik", "standardabweichung", "usikkerhet", "osäkerhet"}
	wordsAsh      = []string{"ash*", "asche*", "~asche", "aske*", "aska*", "~glührückstand", "~glührest", "gløderest*", "glödrest*", "after ignition", "after furnace", "after burn*", "nach glühen", "nach dem glühen", "burnt", "ignited", "cendre*", "geglüht", "glødet", "glödgad", "550", "440"}
	wordsDry      = []string{"dry*", "dried", "trocken*", "~trocken", "tørr*", "tør", "torr*", "torkad", "getrocknet", "oven", "105", "105 °c", "sec", "ds", "ts"}
	wordsMoist    = []string{"moist*", "wet", "fresh", "as received", "as came", "feucht*", "frisch*", "fuktig*", "våt*", "fersk*", "humide", "naturfeucht"}
	wordsTare     = []string{"tare*", "tara", "empty", "leer*", "~leergewicht", "tom", "tomvekt", "tomt", "vide", "crucible mass", "crucible weight", "crucible g", "mass of crucible", "weight of crucible", "tiegelgewicht", "digelvekt", "degelvikt"}
	wordsCrucible = []string{"crucible*", "tiegel*", "digel*", "degel*", "creuset*", "pot", "dish", "boat", "tray place"}
	wordsRun      = []string{"run", "furnace*", "batch", "ofen*", "ovn*", "ugn*", "charge", "glühgang"}
	wordsSample   = []string{"sample*", "probe*", "~probe", "~proben", "prøve*", "prov*", "specimen*", "échantillon*", "muster*", "bag", "id", "lab no", "labnr", "lab nr", "lab id", "ref", "reference", "näyte*"}
	wordsGreen    = []string{"green*", "grün", "grøn*", "hole*", "loch", "hull", "hål", "bahn*", "spielbahn", "site", "location*", "bane", "surface", "standort", "sted", "plats", "lieu"}
	wordsLayer    = []string{"depth*", "layer*", "tiefe*", "~tiefe", "schicht*", "dybde*", "~dybde", "djup*", "sjikt*", "horizon*", "lag", "lager", "profondeur*", "section", "syvyys"}
	wordsTop      = []string{"from", "von", "fra", "från", "top", "upper", "start", "oben", "obere*", "topp", "øvre", "övre", "begin*"}
	wordsBottom   = []string{"to", "bis", "til", "till", "bottom", "lower", "end", "unten", "untere*", "bunn", "nedre", "unter*"}
	wordsDate     = []string{"date*", "datum*", "~datum", "dato*", "~dato", "day", "sampled", "tag", "dag", "pvm", "collected", "cut", "prøvetatt*", "provtag*", "entnommen*", "entnahme*"}
	wordsNotCut   = []string{"received*", "analys*", "reported", "report", "eingang*", "~eingang", "mottat*", "printed", "issued", "tested", "test", "prüf*", "bericht*", "~bericht", "ankomst*"}
	wordsRound    = []string{"round*", "runde*", "campaign", "visit", "occasion", "season", "omgang"}
	wordsCores    = []string{"cores", "plugs", "no of cores", "number of cores", "einstiche", "stiche", "stikk", "stick", "kerne", "anzahl kerne", "antall kjerner"}
	wordsCorer    = []string{"core diameter", "corer*", "bohrerdurchmesser", "diameter*", "durchmesser*"}
	wordsMethod   = []string{"method*", "preparation", "prep", "aufbereitung", "metode*", "metod", "vorbehandlung", "treatment", "forbehandling"}
	wordsLab      = []string{"lab", "laboratory", "labor", "laboratorium", "laborato*"}
	wordsPosition = []string{"position*", "where", "stelle", "spot"}
	wordsSieve    = []string{"sieve*", "screen size", "mesh*", "opening*", "aperture*", "~sieb", "sieb*", "maschen*", "sikt*", "maskevidde*", "maskvidd*", "grain size", "particle size", "korngrö*", "kornstør*", "kornstor*", "phi", "φ", "size", "size class", "fraction*", "fraktion*", "sigte*"}
	wordsThrough  = []string{"pass*", "finer*", "through", "durchgang*", "~durchgang", "gjennomgang*", "undergods", "genomgång*", "passer*", "underløp", "undersize"}
	wordsOn       = []string{"retain*", "on sieve", "rückstand*", "~rückstand", "tilbakeholdt", "sikterest*", "~rest", "coarser*", "oversize", "kvar*", "mass*", "weight*", "masse*", "gewicht*", "vekt*", "vikt*", "tilbageholdt"}
	wordsSum      = []string{"cum*", "kum*", "~kumul", "~summe", "sum", "total retained", "aufsummiert", "akk*", "running"}
	wordsTotalG   = []string{"total mass", "total weight", "sample mass", "sample weight", "mass sieved", "einwaage*", "start mass", "initial mass", "innvekt", "invägt", "indvejet"}
	wordsWashed   = []string{"washed*", "wash loss", "washing loss", "lost in washing", "abgeschlämmt*", "ausgewaschen*", "utvasket", "uttvättat", "vasketap", "udvasket"}
	wordsSand     = []string{"sand", "material", "sorte"}
	wordsInside   = []string{"kind", "type", "art", "contents", "qc", "probenart", "innhold"}
	wordsNet      = []string{"net", "netto", "without crucible", "ohne tiegel", "uten digel", "sample only", "utan degel"}
	wordsWater    = []string{"moisture*", "water*", "wasser*", "vann*", "vatten*", "fuktighet*", "feuchte", "tørrstoff*", "trockensubstanz*", "trockenrückstand", "dry matter"}
	wordsOther    = []string{"ph", "remark*", "note", "notes", "comment*", "bemerkung*", "merknad*", "anmärkning*", "invoice", "price", "density", "no", "nr", "#", "lfd nr", "row"}
	wordsTotals   = []string{"total*", "sum", "summe*", "gesamt*", "mean*", "average*", "avg", "mittelwert*", "durchschnitt*", "gjennomsnitt*", "snitt", "medel*", "middel*", "gennemsnit*", "ø", "stdev", "median", "moyenne", "subtotal", "zwischensumme", "standardabweichung", "minimum", "maximum"}
	totalsAlone   = []string{"sd", "std", "std dev", "cv", "cv %", "min", "max", "range", "mittel"}
)

// fieldOf guesses what a heading speaks of; an empty field for none. It looks at words only.
func fieldOf(heading string) Field {
	h := normal(heading)
	om, ash, dry, layer := says(h, wordsOM...), says(h, wordsAsh...), says(h, wordsDry...), says(h, wordsLayer...)
	date := says(h, wordsDate...)
	switch {
	case h == "":
		return ""
	case om && says(h, wordsSD...):
		return FieldOMSD
	case says(h, wordsWashed...) && !says(h, wordsSieve...):
		return FieldWashed
	case says(h, wordsTotalG...) && !dry:
		return FieldTotal
	case says(h, wordsThrough...), says(h, wordsOn...) && (says(h, wordsSum...) || says(h, "retain*", "~rückstand", "~rest", "coarser*", "tilbakeholdt", "sikterest*")) && !om && !ash:
		return FieldAmount
	case says(h, "temperature", "temp", "temperatur", "°c") && !says(h, "g"):
		if dry || says(h, "oven", "trocken*", "tørke*") && !ash {
			return FieldDryC
		}
		return FieldAshC
	case says(h, "hours", "hour", "stunden", "timer", "timmar", "glühdauer", "burn time", "minutes"):
		return FieldAshHours
	case says(h, wordsTare...):
		return FieldTare
	case om:
		return FieldOM
	case ash:
		return FieldAsh
	case date && says(h, wordsNotCut...):
		return ""
	case date:
		return FieldDate
	case says(h, wordsWater...):
		return ""
	case says(h, wordsCorer...):
		return FieldCorer
	case says(h, wordsCores...):
		return FieldCores
	case dry:
		return FieldDry
	case says(h, wordsMoist...):
		return FieldMoist
	case layer && says(h, wordsTop...) && !says(h, wordsBottom...):
		return FieldTop
	case layer && says(h, wordsBottom...) && !says(h, wordsTop...):
		return FieldBottom
	case layer && says(h, wordsGreen...):
		return FieldPlace
	case layer:
		return FieldLayer
	case says(h, "from", "von", "fra", "från") && says(h, "mm", "cm", "in", "inch", "inches"):
		return FieldTop
	case says(h, "to", "bis", "til", "till") && says(h, "mm", "cm", "in", "inch", "inches") && !says(h, wordsSieve...):
		return FieldBottom
	case says(h, wordsSieve...):
		return FieldOpening
	case says(h, wordsCrucible...):
		return FieldCrucible
	case says(h, wordsRun...):
		return FieldRun
	case says(h, wordsInside...), says(h, wordsSample...) && says(h, "type", "kind", "art"):
		return FieldInside
	case says(h, wordsMethod...):
		return FieldMethod
	case says(h, wordsRound...):
		return FieldRound
	case says(h, wordsGreen...):
		return FieldGreen
	case says(h, wordsSample...):
		return FieldSample
	case says(h, wordsPosition...):
		return FieldPosition
	case says(h, wordsSand...):
		return FieldSand
	case says(h, wordsLab...):
		return FieldLab
	case says(h, wordsOn...):
		return FieldAmount
	}
	return ""
}

var unitForms = []struct {
	unit string
	form *regexp.Regexp
}{
	{GPerKg, regexp.MustCompile(`(^|[^a-z])(g ?/ ?kg|g ?kg ?-1|mg ?/ ?g|g per kg|‰)`)},
	{Fraction, regexp.MustCompile(`(^|[^a-z])(g ?/ ?g|kg ?/ ?kg|fraction|w/w|anteil|andel 0)($|[^a-z%])`)},
	{Percent, regexp.MustCompile(`%|(^|[^a-z])(percent|per cent|prozent|prosent|procent|pct|m-?%)`)},
	{"mg", regexp.MustCompile(`(^|[^a-z])mg($|[^a-z/])`)},
	{"kg", regexp.MustCompile(`(^|[^a-z/])kg($|[^a-z/])`)},
	{"g", regexp.MustCompile(`(^|[^a-zåäöøæ/])(g|gram|grams|gramm)($|[^a-zåäöøæ/])`)},
	{"mm", regexp.MustCompile(`(^|[^a-z])mm($|[^a-z])`)},
	{"cm", regexp.MustCompile(`(^|[^a-z])cm($|[^a-z])`)},
	{"in", regexp.MustCompile(`(^|[^a-z])(in|inch|inches)\.?($|[^a-z])|[0-9]"|\("\)`)},
	{"min", regexp.MustCompile(`(^|[^a-z])(min|minutes|minuten)($|[^a-z])`)},
	{"h", regexp.MustCompile(`(^|[^a-z])(h|hours|hour|stunden|timer)($|[^a-z])`)},
	{"°C", regexp.MustCompile(`°c|(^|[^a-z])(degc|celsius)`)},
}

// unitIn finds a unit that the field may have in a heading; an empty one for none.
func unitIn(heading string, f Field) string {
	a, ok := aboutOf(f)
	if !ok || a.Text() {
		return ""
	}
	if f == FieldOpening {
		return openingUnit(heading)
	}
	h := strings.ToLower(signs(heading))
	for _, u := range unitForms {
		if slices.Contains(a.Units, u.unit) && u.form.MatchString(h) {
			return u.unit
		}
	}
	return ""
}

// MethodOf reads how a sample was prepared from words: "whole", "screened", "scooped", or empty for not said.
func MethodOf(text string) string {
	h := normal(text)
	switch {
	case h == "":
		return ""
	case says(h, "whole", "unsieved", "unscreened", "ungesiebt", "not screened", "not sieved", "usiktet", "osiktad", "osiktat", "hel", "hele", "ganze*", "gesamtprobe", "hele prøven", "entire"):
		return "whole"
	case says(h, "scoop*", "löffel*", "subsample by volume", "spatel*", "skje", "volumetric scoop"):
		return "scooped"
	case says(h, "screened", "sieved", "gesiebt", "siktet", "siktad", "siktat", "abgesiebt", "sold", "passing 2 mm", "fine earth", "feinboden", "tamisé"):
		return "screened"
	}
	return ""
}

// insideOf reads what is in a crucible; empty for a sample.
func insideOf(text string) (string, bool) {
	h := normal(text)
	switch {
	case h == "", says(h, "sample", "probe", "prøve", "prov", "s"):
		return "sample", true
	case says(h, "blank*", "leer*", "blind*", "tom", "b"):
		return "blank", true
	case says(h, "control*", "kontroll*", "standard", "reference", "referenz*", "crm", "c", "qc"):
		return "control", true
	case says(h, "dup*", "doppel*", "dublett*", "repeat", "replicate", "d"):
		return "duplicate", true
	}
	return "", false
}
