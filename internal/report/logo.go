package report

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // so that a JPEG is read
	"image/png"
	"math"

	"github.com/a-h/templ"
	"golang.org/x/image/draw"
)

// Limits of a logo: common practice, no source.
const (
	MostLogoBytes  = 8 << 20    // 8 MB
	mostLogoPixels = 12_000     // of a side
	mostLogoArea   = 40_000_000 // pixels; 160 MB while it is read
)

// A logo is set 132 × 64 px large at most; four times that is 384 dots an inch on paper.
const logoPixelsWide, logoPixelsHigh = 4 * logoWide, 4 * logoHigh

// CheckLogo says in a sentence why a logo cannot be used; nil when it can, or when there is none.
func (o Options) CheckLogo() error {
	if len(o.Logo) == 0 {
		return nil
	}
	_, err := logoRead(o.Logo)
	return err
}

// FitLogo makes the picture that is kept of a logo: the file itself where it is small, upright and light already, else a PNG of
// 528 × 256 pixels at most, turned upright.
func FitLogo(file []byte) ([]byte, error) {
	from, err := logoRead(file)
	if err != nil {
		return nil, err
	}
	if from.fits() && len(file) <= 128<<10 {
		return file, nil
	}
	flat, _, err := from.flat()
	return flat, err
}

// LogoTooLarge says of a file of so many bytes that it is too large for a logo.
func LogoTooLarge(bytes int64) error {
	return fmt.Errorf("the logo has %.1f MB: at most %d MB are allowed", math.Ceil(float64(bytes)/(1<<20)*10)/10, MostLogoBytes>>20)
}

// logoFile is a logo that was read.
type logoFile struct {
	image.Image
	turn turning
}

// logoRead reads a PNG or JPEG and says in a sentence why it cannot be used.
func logoRead(file []byte) (logoFile, error) {
	if len(file) > MostLogoBytes {
		return logoFile{}, LogoTooLarge(int64(len(file)))
	}
	about, kind, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil || (kind != "png" && kind != "jpeg") {
		return logoFile{}, fmt.Errorf("the logo is no picture that can be read: PNG and JPEG are allowed")
	}
	if about.Width < 1 || about.Height < 1 || about.Width > mostLogoPixels || about.Height > mostLogoPixels || about.Width*about.Height > mostLogoArea {
		return logoFile{}, fmt.Errorf("the logo is %d × %d pixels: 1 to %d on a side and %d million in all are allowed", about.Width, about.Height, mostLogoPixels, mostLogoArea/1_000_000)
	}
	from, _, err := image.Decode(bytes.NewReader(file))
	if err != nil {
		return logoFile{}, fmt.Errorf("the logo is cut short or damaged: %w", err)
	}
	l := logoFile{Image: from}
	if kind == "jpeg" {
		l.turn = turningOf(file)
	}
	return l, nil
}

// size is that of the upright picture.
func (l logoFile) size() image.Point { return l.turn.size(l.Bounds().Size()) }

// fits says whether the picture is upright, and has no more pixels than paper shows.
func (l logoFile) fits() bool {
	return l.turn.upright() && l.Bounds().Dx() <= logoPixelsWide && l.Bounds().Dy() <= logoPixelsHigh
}

// flat writes the logo as a plain PNG on white, upright, eight bits a colour and no larger than paper shows: what any reader
// takes. Its size is in pixels.
func (l logoFile) flat() ([]byte, box, error) {
	size := l.size()
	k := min(1, logoPixelsWide/float64(size.X), logoPixelsHigh/float64(size.Y))
	smaller := func(v int) int { return max(1, int(float64(v)*k+0.5)) }
	small := image.NewRGBA(image.Rect(0, 0, smaller(l.Bounds().Dx()), smaller(l.Bounds().Dy())))
	draw.Draw(small, small.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.CatmullRom.Scale(small, small.Bounds(), l.Image, l.Bounds(), draw.Over, nil)
	to := l.turn.of(small)
	var b bytes.Buffer
	if err := png.Encode(&b, to); err != nil {
		return nil, box{}, fmt.Errorf("writing the logo: %w", err)
	}
	return b.Bytes(), box{float64(to.Bounds().Dx()), float64(to.Bounds().Dy())}, nil
}

// readLogo reads a logo and writes it as [logoFile.flat] does.
func readLogo(file []byte) ([]byte, box, error) {
	l, err := logoRead(file)
	if err != nil {
		return nil, box{}, err
	}
	return l.flat()
}

// logoAddress is the logo as an address that holds it; empty without one that can be read.
func (m Model) logoAddress() string {
	if len(m.Logo) == 0 {
		return ""
	}
	flat, _, err := readLogo(m.Logo)
	if err != nil {
		return ""
	}
	return "data:image/png;base64," + base64.StdEncoding.EncodeToString(flat)
}

// logoTag is the logo at an address, as the engine of the pages would not let an address that holds the picture pass.
func logoTag(address string) string {
	return `<img class="logo" src="` + templ.EscapeString(address) + `" alt=""/>`
}
