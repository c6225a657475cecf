package figure

//gather:none

// Style names how a primitive looks. It is the CSS class of the screen (the rules are in base.css
// and Stylesheet, so that every view has its own colours) and the key of the print colours.
type Style string

// The styles of the figures.
const (
	axis       Style = "ax"      // a plot's foot
	zero       Style = "ax0"     // the zero line and ticks
	grid       Style = "gr"      // hairlines
	tick       Style = "tk"      // tick labels
	word       Style = "lb"      // labels
	wordBold   Style = "lbs"     // labels of what was measured
	wordQuiet  Style = "lb2"     // second lines
	wordModel  Style = "lbm"     // labels of what was modelled
	wordStop   Style = "lbx"     // labels of what is held
	dot        Style = "obs"     // measured, or outside what is wanted
	dotOpen    Style = "obs-o"   // within what is wanted, or released although failed
	held       Style = "heldbox" // held: a square without a value
	whisker    Style = "iv"      // 90 % interval, measured
	thick      Style = "iv50"    // 50 % interval, measured
	mWhisker   Style = "ivm"     // 90 % interval, modelled
	mThick     Style = "ivm50"   // 50 % interval, modelled
	fitLine    Style = "fit"     // fitted line; the edge of sand put on
	fitBand    Style = "fitband" // its 90 % band
	model      Style = "mod"     // a modelled line
	band90     Style = "b90"     // its 90 % band
	band50     Style = "b50"     // its 50 % band
	mDotOpen   Style = "modpt-o" // a modelled value
	wanted     Style = "want"    // the wanted band
	wantedEdge Style = "want-l"  // its edges, where another band crosses it
	wantLine   Style = "wline"   // a reference line
	thin       Style = "thin"    // a line that joins readings
	sandBar    Style = "sandbar" // sand, stippled, edged
	sandArea   Style = "sandarea"
	edge       Style = "edge"  // the wall of a core
	block      Style = "block" // a measured layer, filled with its OM colour
	blockWord  Style = "snum"  // its value
	empty      Style = "empt"  // what will be filled
	notTaken   Style = "nomeas"
	solid      Style = "solid"
	turf       Style = "turf"
	tipStyle   Style = "tip-w"
	plate      Style = "plate"

	soil         Style = "soil"     // modelled soil, filled with its OM colour
	surface      Style = "sunk"     // a surface that was buried
	surfaceUnder Style = "sunk-u"   // the dark beneath it, so that it shows on pale soil
	roundLine    Style = "rnd"      // where a round looked
	hole         Style = "hole"     // the hole of a hollow tine
	slit         Style = "slit"     // of a solid one, or of injection
	slitUnder    Style = "slit-u"   // the dark beneath it
	veil         Style = "veil"     // over what is planned
	today        Style = "now-l"    // today
	growBar      Style = "growbar"  // made by growth: blades
	decayBar     Style = "decbar"   // decayed: diagonal
	tineBar      Style = "tinebar"  // taken out: upright tines
	plainBar     Style = "plainbar" // a bar without a texture
	prior90      Style = "pri90"    // what was assumed: 90 %
	prior50      Style = "pri50"    // and 50 %
	priorMid     Style = "pri-m"    // and its median
	mDot         Style = "modpt"    // a modelled value outside its interval

	sieveRoot  Style = "svroot"  // the root zone on a sieve picture
	sieveSand  Style = "svsand"  // the sand that is put on
	sieveOther Style = "svother" // another sand

	glyphWall Style = "dg-wall"
	glyphTop  Style = "dg-top"
	glyphFill Style = "dg-fill"
	oddsFull  Style = "od1"
	oddsOpen  Style = "od0"
	arrow     Style = "arrow"
	tine      Style = "tine"
	stStop    Style = "st-stop"
	stOn      Style = "st-on"
	stYou     Style = "st-you"
	stWait    Style = "st-wait"
	stDone    Style = "st-done"
	stWarn    Style = "st-warn"
	stInk     Style = "st-ink"
)

// Look is what a style means on white paper: colours as "#RRGGBB" ("" is none), lengths in pixels.
type Look struct {
	Stroke, Fill string
	Width        float64
	Dash         []float64
	Round        bool    // round ends and corners
	Opacity      float64 // of the fill; 0 means opaque
	Pattern      string  // fill with this pattern instead: "sand"
	Size         float64 // of lettering
	Weight       int     // of lettering; 0 means regular
}

// Paper is the colour of the page in the Desk view.
const Paper = "#F3F6F5"

// The colours of the Desk view: tokens.css.
const (
	paper  = Paper
	ink    = "#13211D"
	ink2   = "#3F4E49"
	ink3   = "#5A6964"
	rule   = "#7A8983"
	hair   = "#D6DEDB"
	loch   = "#0E4B72"
	loch90 = "#D5E4EE"
	loch50 = "#B4CFE1"
	stop   = "#9C1140"
	want   = "#DFE5E2"
	sheet  = "#FFFFFF"
	growth = "#2E6B48"
)

// Look gives the print colours of a style; an unknown style is drawn in ink.
func (s Style) Look() Look {
	if l, ok := looks[s]; ok {
		return l
	}
	return Look{Stroke: ink, Width: 1}
}

// looks is the table from style to print colours. It is never written to.
var looks = map[Style]Look{
	axis: {Stroke: rule, Width: 1},
	zero: {Stroke: ink, Width: 1},
	grid: {Stroke: hair, Width: 1},

	tick:      {Fill: ink3, Size: 13},
	word:      {Fill: ink, Size: 13.5},
	wordBold:  {Fill: ink, Size: 13.5, Weight: 650},
	wordQuiet: {Fill: ink2, Size: 13},
	wordModel: {Fill: loch, Size: 13.5, Weight: 650},
	wordStop:  {Fill: stop, Size: 13.5, Weight: 650},
	blockWord: {Fill: ink, Size: 15, Weight: 650},
	tipStyle:  {Fill: paper, Size: 13.5},
	plate:     {Fill: ink},

	dot:        {Fill: ink},
	dotOpen:    {Stroke: ink, Fill: paper, Width: 1.8},
	held:       {Stroke: stop, Fill: paper, Width: 1.8},
	whisker:    {Stroke: ink, Width: 1.3},
	thick:      {Stroke: ink, Width: 4},
	mWhisker:   {Stroke: loch, Width: 1.7},
	mThick:     {Stroke: loch, Width: 5},
	fitLine:    {Stroke: ink, Width: 2},
	fitBand:    {Fill: ink, Opacity: .1},
	model:      {Stroke: loch, Width: 2.4},
	band90:     {Fill: loch90},
	band50:     {Fill: loch50},
	mDotOpen:   {Stroke: loch, Fill: paper, Width: 2},
	wanted:     {Fill: want},
	wantedEdge: {Stroke: rule, Width: 1},
	wantLine:   {Stroke: ink, Width: 1, Dash: []float64{2, 3}},
	thin:       {Stroke: ink3, Width: 1.2},

	sandBar:  {Stroke: ink, Width: 1, Pattern: "sand"},
	sandArea: {Pattern: "sand", Opacity: .9},
	edge:     {Stroke: ink, Width: 1.6},
	block:    {Stroke: paper, Width: 1},
	empty:    {Stroke: rule, Width: 1.2, Dash: []float64{4, 5}},
	notTaken: {Stroke: rule, Width: 1, Dash: []float64{2, 3}},
	solid:    {Fill: ink},
	turf:     {Stroke: growth, Width: 1.5, Round: true},

	soil:         {},
	surface:      {Stroke: sheet, Width: 1.5, Round: true},
	surfaceUnder: {Stroke: ink, Width: 3, Round: true, Opacity: .3},
	roundLine:    {Stroke: sheet, Width: 1, Opacity: .75},
	hole:         {Stroke: ink, Fill: "#F6F0C4", Width: .9},
	slit:         {Stroke: sheet, Width: 1.6, Dash: []float64{3, 3}},
	slitUnder:    {Stroke: ink, Width: 2.8, Opacity: .5},
	veil:         {Fill: paper, Opacity: .45},
	today:        {Stroke: ink, Width: 1.4, Dash: []float64{2, 3}},
	growBar:      {Stroke: ink, Width: 1, Pattern: "blade"},
	decayBar:     {Stroke: ink, Width: 1, Pattern: "decay"},
	tineBar:      {Stroke: ink, Width: 1, Pattern: "tine"},
	plainBar:     {Stroke: ink, Fill: sheet, Width: 1},
	prior90:      {Fill: want},
	prior50:      {Fill: "#BCC8C3"},
	priorMid:     {Stroke: ink3, Width: 2.4},
	mDot:         {Fill: loch},

	sieveRoot:  {Stroke: rule, Width: 4},
	sieveSand:  {Stroke: ink, Width: 1.6, Dash: []float64{8, 4}},
	sieveOther: {Stroke: ink, Width: 1.6, Dash: []float64{2, 4}},

	glyphWall: {Stroke: ink3, Fill: sheet, Width: 1},
	glyphTop:  {Stroke: ink, Width: 1.5},
	glyphFill: {Fill: ink},
	oddsFull:  {Fill: ink},
	oddsOpen:  {Stroke: ink3, Width: 1},
	arrow:     {Stroke: ink, Width: 2.2},
	tine:      {Stroke: ink, Width: 3},
	stStop:    {Fill: stop},
	stOn:      {Stroke: paper, Width: 2},
	stYou:     {Fill: loch},
	stWait:    {Stroke: ink3, Width: 2},
	stDone:    {Stroke: ink, Width: 2.4},
	stWarn:    {Stroke: ink, Width: 1.8, Round: true},
	stInk:     {Stroke: ink, Width: 1.8},
}
