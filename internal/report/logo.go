package report

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	_ "image/jpeg" // so that a JPEG is read
	"image/png"

	"github.com/a-h/templ"
)

// Limits of a logo: common practice, no source.
const (
	mostLogoBytes  = 2 << 20
	mostLogoPixels = 4096 // of a side
)

// CheckLogo says in a sentence why a logo cannot be used; nil when it can, or when there is none.
func (o Options) CheckLogo() error {
	if len(o.Logo) == 0 {
		return nil
	}
	_, _, err := readLogo(o.Logo)
	return err
}

// readLogo reads a PNG or JPEG and writes it again as a plain PNG on white, eight bits a colour: what any reader takes. Its
// size is in pixels.
func readLogo(file []byte) ([]byte, box, error) {
	if len(file) > mostLogoBytes {
		return nil, box{}, fmt.Errorf("the logo has %d bytes: at most %d are allowed", len(file), mostLogoBytes)
	}
	about, kind, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil || (kind != "png" && kind != "jpeg") {
		return nil, box{}, fmt.Errorf("the logo is no picture that can be read: PNG and JPEG are allowed")
	}
	if about.Width < 1 || about.Height < 1 || about.Width > mostLogoPixels || about.Height > mostLogoPixels {
		return nil, box{}, fmt.Errorf("the logo is %d × %d pixels: 1 to %d on a side are allowed", about.Width, about.Height, mostLogoPixels)
	}
	from, _, err := image.Decode(bytes.NewReader(file))
	if err != nil {
		return nil, box{}, fmt.Errorf("the logo is cut short or damaged: %w", err)
	}
	to := image.NewRGBA(image.Rect(0, 0, from.Bounds().Dx(), from.Bounds().Dy()))
	draw.Draw(to, to.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(to, to.Bounds(), from, from.Bounds().Min, draw.Over)
	var b bytes.Buffer
	if err := png.Encode(&b, to); err != nil {
		return nil, box{}, fmt.Errorf("writing the logo: %w", err)
	}
	return b.Bytes(), box{float64(about.Width), float64(about.Height)}, nil
}

// logoAddress is the logo as an address that holds it; empty without one that can be read.
func (m Model) logoAddress() string {
	flat, _, err := readLogo(m.Logo)
	if len(m.Logo) == 0 || err != nil {
		return ""
	}
	return "data:image/png;base64," + base64.StdEncoding.EncodeToString(flat)
}

// logoTag is the logo at an address, as the engine of the pages would not let an address that holds the picture pass.
func logoTag(address string) string {
	return `<img class="logo" src="` + templ.EscapeString(address) + `" alt=""/>`
}
