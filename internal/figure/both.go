package figure

import "strings"

// PhoneWidth is the width a figure is drawn at for a phone [px]: 390 less the margins of the page.
const PhoneWidth = 358

// Both writes a figure drawn for a desk and the same drawn for a phone, of which the style sheet shows one: for figures that
// are too rich to narrow. The other is hidden from everyone, readers of the screen too. On paper it is the one for the desk.
func Both(desk, phone *Scene, opts ...Option) string {
	d, p := *desk, *phone
	d.Class, p.Class = strings.TrimSpace(d.Class+" at-desk"), strings.TrimSpace(p.Class+" at-phone")
	return d.SVG(opts...) + p.SVG(opts...)
}
