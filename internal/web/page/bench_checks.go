package page

// Quality is what the checks of the bench show for one run.
type Quality struct {
	Controls   []Figure
	Range      *Figure
	RangeNote  string
	Rules      []RunCheck // rules of the control chart, each with whether this run broke it
	Tares      []RunCheck // crucibles whose tare drifts or stepped
	TaresSay   string
	Tray       *Tray
	Release    *ReleaseForm // of a failed run
	Reasons    []string     // why it failed
	Wider      string       // the budget with what duplicates and controls show
	Correction string
}

// Tray is where the crucibles stood in the furnace.
type Tray struct {
	Columns []string
	Rows    []TrayRow
	Door    string
}

// TrayRow is one row of the tray, the back of the furnace first.
type TrayRow struct {
	Name   string
	Places []TrayPlace
}

// TrayPlace is one place.
type TrayPlace struct {
	Crucible, What string
	Kind           string // "sample", "duplicate", "control", "blank" or "empty"
}

// ReleaseForm releases a failed run.
type ReleaseForm struct {
	Course, Run  string
	Results      string // "12 composites"
	By, Reason   string
	Errors       []FieldError
	Released     string // who released it, when and why; blank while it is held
	ReasonLabel  string
	WithdrawText string
}

func (f ReleaseForm) error(field string) string {
	for _, e := range f.Errors {
		if e.Field == field {
			return e.Text
		}
	}
	return ""
}
