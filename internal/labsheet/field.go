package labsheet

// Kind is what a sheet is about.
type Kind string

// The kinds of sheet.
const (
	Results   Kind = "results"   // organic matter
	Weighings Kind = "weighings" // crucible masses
	Sieve     Kind = "sieve"     // sieve analyses
)

// Kinds lists the kinds of sheet.
func Kinds() []Kind { return []Kind{Results, Weighings, Sieve} }

// Word says the kind.
func (k Kind) Word() string {
	switch k {
	case Results:
		return "organic matter results"
	case Weighings:
		return "crucible weighings"
	case Sieve:
		return "sieve analyses"
	}
	return "not known"
}

// Field is what a column holds.
type Field string

// The fields of a row. Ignored columns have none.
const (
	FieldSample   Field = "sample"
	FieldGreen    Field = "green"
	FieldPlace    Field = "green_and_layer" // both in one cell
	FieldLayer    Field = "layer"
	FieldTop      Field = "top"
	FieldBottom   Field = "bottom"
	FieldDate     Field = "date"
	FieldRound    Field = "round"
	FieldCores    Field = "cores"
	FieldCorer    Field = "core_diameter"
	FieldPosition Field = "position"
	FieldLab      Field = "lab"
	FieldMethod   Field = "method"

	FieldOM      Field = "om"
	FieldOMSD    Field = "om_sd"
	FieldDryMass Field = "dry_mass"

	FieldCrucible Field = "crucible"
	FieldRun      Field = "furnace_run"
	FieldTare     Field = "tare"
	FieldMoist    Field = "moist"
	FieldDry      Field = "dry"
	FieldAsh      Field = "ash"
	FieldDryC     Field = "dry_c"
	FieldAshC     Field = "ash_c"
	FieldAshHours Field = "ash_hours"
	FieldInside   Field = "kind" // what is in the crucible

	FieldSand    Field = "sand"
	FieldOpening Field = "sieve"
	FieldAmount  Field = "amount" // on or through the sieve
	FieldTotal   Field = "total"  // mass sieved
	FieldWashed  Field = "washed" // mass that washing took away
)

// About is what a field is called on pages, what units it may come in, and its limits in the first of them.
type About struct {
	Field Field
	Name  string
	Units []string // the first is the one that rows are given in; none for text
	Low   float64
	High  float64
	Only  []Kind // nil for every kind
}

// Text says whether the field is no number.
func (a About) Text() bool { return a.Units == nil }

// Units of the organic matter column that are not a mass or a share of the dry sample as such.
const (
	Percent    = "%"
	Fraction   = "fraction"
	GPerKg     = "g/kg"
	AshPercent = "% ash" // 100 less it is organic matter
)

// net marks a unit of masses that do not include the crucible.
const net = " without crucible"

var (
	massUnits = []string{"g", "mg", "kg"}
	netUnits  = []string{"g", "mg", "kg", "g" + net, "mg" + net}
)

// Fields lists what a column of a sheet of a kind may hold, in the order for a page.
func Fields(k Kind) []About {
	var out []About
	for _, a := range abouts {
		if a.in(k) {
			out = append(out, a)
		}
	}
	return out
}

func (a About) in(k Kind) bool {
	if a.Only == nil {
		return true
	}
	for _, o := range a.Only {
		if o == k {
			return true
		}
	}
	return false
}

func aboutOf(f Field) (About, bool) {
	for _, a := range abouts {
		if a.Field == f {
			return a, true
		}
	}
	return About{}, false
}

// Limits are those of the columns of the exchange format.
var abouts = []About{
	{Field: FieldSample, Name: "Sample"},
	{Field: FieldGreen, Name: "Green"},
	{Field: FieldPlace, Name: "Green and layer in one"},
	{Field: FieldLayer, Name: "Layer, both depths", Units: []string{"mm", "cm", "in"}, High: deepest},
	{Field: FieldTop, Name: "Upper depth of the layer", Units: []string{"mm", "cm", "in"}, High: deepest},
	{Field: FieldBottom, Name: "Lower depth of the layer", Units: []string{"mm", "cm", "in"}, High: deepest},
	{Field: FieldDate, Name: "Date of sampling"},
	{Field: FieldOM, Name: "Organic matter", Units: []string{Percent, Fraction, GPerKg, AshPercent}, High: 100, Only: []Kind{Results}},
	{Field: FieldOMSD, Name: "Its standard uncertainty", Units: []string{Percent, Fraction, GPerKg}, High: 100, Only: []Kind{Results}},
	{Field: FieldDryMass, Name: "Dry mass of the sample", Units: massUnits, High: 100000, Only: []Kind{Results}},
	{Field: FieldMethod, Name: "Method (whole, screened, scooped)", Only: []Kind{Results}},
	{Field: FieldLab, Name: "Laboratory", Only: []Kind{Results}},
	{Field: FieldCrucible, Name: "Crucible", Only: []Kind{Weighings}},
	{Field: FieldTare, Name: "Empty crucible", Units: massUnits, High: 100000, Only: []Kind{Weighings}},
	{Field: FieldMoist, Name: "Moist mass", Units: netUnits, High: 100000, Only: []Kind{Weighings}},
	{Field: FieldDry, Name: "Oven-dry mass", Units: netUnits, High: 100000, Only: []Kind{Weighings}},
	{Field: FieldAsh, Name: "Ash mass", Units: netUnits, High: 100000, Only: []Kind{Weighings}},
	{Field: FieldInside, Name: "What is in it (sample, blank, control, duplicate)", Only: []Kind{Weighings}},
	{Field: FieldRun, Name: "Furnace run", Only: []Kind{Weighings}},
	{Field: FieldDryC, Name: "Oven temperature", Units: []string{"°C"}, High: 300, Only: []Kind{Weighings}},
	{Field: FieldAshC, Name: "Furnace temperature", Units: []string{"°C"}, High: 1500, Only: []Kind{Weighings}},
	{Field: FieldAshHours, Name: "Time in the furnace", Units: []string{"h", "min"}, High: 1000, Only: []Kind{Weighings}},
	{Field: FieldSand, Name: "Sand", Only: []Kind{Sieve}},
	{Field: FieldOpening, Name: "Sieve", Units: []string{InMM, InMicro, InPhi, InMesh, InInch}, High: widest, Only: []Kind{Sieve}},
	{Field: FieldAmount, Name: "On or through the sieve", Units: []string{"as said below"}, High: 1000000, Only: []Kind{Sieve}},
	{Field: FieldTotal, Name: "Mass sieved", Units: massUnits, High: 1000000, Only: []Kind{Sieve}},
	{Field: FieldWashed, Name: "Washed out, finer than the finest sieve", Units: massUnits, High: 1000000, Only: []Kind{Sieve}},
	{Field: FieldRound, Name: "Round"},
	{Field: FieldCores, Name: "Number of cores", Units: []string{"cores"}, Low: 1, High: 1000},
	{Field: FieldCorer, Name: "Corer diameter", Units: []string{"mm", "cm", "in"}, High: 500},
	{Field: FieldPosition, Name: "Position on the green"},
}

// factors turn a unit into the first unit of its field.
var factors = map[string]float64{
	"mg": 0.001, "kg": 1000, "g" + net: 1, "mg" + net: 0.001, Fraction: 100, GPerKg: 0.1, "cm": 10, "in": 25.4, "min": 1. / 60,
}

// Measure says what the amounts of a sieve sheet are.
type Measure string

// The measures of a sieve sheet.
const (
	RetainedG         Measure = "retained_g"
	RetainedPercent   Measure = "retained_percent"
	CumulativeG       Measure = "cumulative_g"
	CumulativePercent Measure = "cumulative_percent"
	PassingPercent    Measure = "passing_percent"
)

// Measures lists the measures.
func Measures() []Measure {
	return []Measure{RetainedG, RetainedPercent, CumulativeG, CumulativePercent, PassingPercent}
}

// Word says the measure.
func (m Measure) Word() string {
	switch m {
	case RetainedG:
		return "mass on each sieve, g"
	case RetainedPercent:
		return "percent on each sieve"
	case CumulativeG:
		return "mass on the sieve and all coarser ones, g"
	case CumulativePercent:
		return "percent on the sieve and all coarser ones"
	case PassingPercent:
		return "percent passing the sieve"
	}
	return "not known"
}

func (m Measure) percent() bool {
	return m == RetainedPercent || m == CumulativePercent || m == PassingPercent
}
