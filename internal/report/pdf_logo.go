package report

import (
	"bytes"

	"codeberg.org/go-pdf/fpdf"
)

// Most room a logo takes.
const logoWide, logoHigh = 132.0, 64.0

// picture takes the logo in; one that cannot be read is left out, as [Options.CheckLogo] has said before.
func (p *press) picture(file []byte) {
	if len(file) == 0 {
		return
	}
	flat, size, err := readLogo(file)
	if err != nil {
		return
	}
	p.pdf.RegisterImageOptionsReader("logo", fpdf.ImageOptions{ImageType: "PNG"}, bytes.NewReader(flat))
	k := min(logoWide/size.w, logoHigh/size.h)
	p.logo = box{size.w * k, size.h * k}
}

func (p *press) drawLogo(x, y float64) {
	if p.logo.w == 0 {
		return
	}
	p.flush()
	p.forTheEye(func() {
		p.pdf.ImageOptions("logo", x*ptPerPx, y*ptPerPx, p.logo.w*ptPerPx, p.logo.h*ptPerPx, false, fpdf.ImageOptions{ImageType: "PNG"}, 0, "")
	})
}
