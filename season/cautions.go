package season

// Step is where in the work a caution belongs.
type Step string

// The steps.
const (
	WithSand       Step = "sand"
	WithMachines   Step = "machines"
	WithFertiliser Step = "fertiliser"
	WithAdvice     Step = "advice"
)

// Caution is a short word of safety for one step. It names no dose and no limit; law and limits differ by place.
type Caution struct {
	Step Step
	Text string
}

// Cautions gives the words of safety that stand beside sand work, machines, fertiliser and the advice itself.
func Cautions() []Caution {
	return []Caution{
		{WithSand, "Dry sand gives off respirable crystalline silica when it is spread, brushed, blown or sieved. Work with damp sand, keep out of the dust, and wear fitted breathing protection where the local rules or the site’s risk assessment ask for it."},
		{WithMachines, "Keep hands and feet off tines, blades and brushes, and isolate the machine before clearing it; water injection under high pressure can pierce skin and is an emergency. Follow the maker’s manual, its slope limits and local law."},
		{WithMachines, "Wet sand is heavy: a bucket of 25 litres can weigh 40 to 50 kg. Lift with two people or a machine."},
		{WithFertiliser, "No product and no rate is given here. Labels are law in many countries: follow the label, local rules on nutrients and water, and the advice of a licensed person."},
		{WithAdvice, "These are estimates with stated ranges, not targets, and not all that safety asks for. A qualified person on the course decides."},
	}
}
