package label

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
)

// readCode reads a picture with a reader of codes that has nothing to do with what made it. pure is for a picture of
// nothing but the squares; otherwise the code is looked for.
func readCode(img image.Image, pure bool) (string, error) {
	hints := map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true}
	if pure {
		hints[gozxing.DecodeHintType_PURE_BARCODE] = true
	}
	var err error
	for _, binary := range []func(gozxing.LuminanceSource) gozxing.Binarizer{gozxing.NewHybridBinarizer, gozxing.NewGlobalHistgramBinarizer} {
		var b *gozxing.BinaryBitmap
		if b, err = gozxing.NewBinaryBitmap(binary(gozxing.NewLuminanceSourceFromImage(img))); err != nil {
			continue
		}
		var r *gozxing.Result
		if r, err = qrcode.NewQRCodeReader().Decode(b, hints); err == nil {
			return r.GetText(), nil
		}
	}
	return "", err
}

// picture draws the squares of a code with its white border.
func (c code) picture(scale int) image.Image {
	n := (len(c) + 2*quiet) * scale
	img := image.NewGray(image.Rect(0, 0, n, n))
	draw.Draw(img, img.Bounds(), image.White, image.Point{}, draw.Src)
	for y := range c {
		for x := range c[y] {
			if c[y][x] {
				at := image.Rect((x+quiet)*scale, (y+quiet)*scale, (x+quiet+1)*scale, (y+quiet+1)*scale)
				draw.Draw(img, at, image.Black, image.Point{}, draw.Src)
			}
		}
	}
	return img
}

// tool finds a program that reads PDF. The gate requires it; elsewhere its tests are skipped.
func tool(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		if os.Getenv("UNDERFOOT_POPPLER") == "require" {
			t.Fatalf("%s is not there: install poppler-utils", name)
		}
		t.Skipf("%s is not there: install poppler-utils to read the PDF back", name)
	}
	return path
}

func run(t *testing.T, name string, args ...string) []byte {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	out, err := exec.CommandContext(ctx, name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return out
}

func saved(t *testing.T, pdf []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "out.pdf")
	if err := os.WriteFile(path, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// textOf reads the text of a PDF.
func textOf(t *testing.T, pdf []byte) string {
	t.Helper()
	return string(run(t, tool(t, "pdftotext"), "-layout", saved(t, pdf), "-"))
}

// textAt reads the text inside a rectangle in mm of a page, its lines joined.
func textAt(t *testing.T, path string, page int, x, y, w, h float64) string {
	t.Helper()
	const dpi = 254 // ten dots a mm
	n, px := strconv.Itoa(page), func(mm float64) string { return strconv.Itoa(int(math.Round(10 * mm))) }
	out := run(t, tool(t, "pdftotext"), "-r", strconv.Itoa(dpi), "-f", n, "-l", n, "-x", px(x), "-y", px(y), "-W", px(w), "-H", px(h), path, "-")
	return strings.Join(strings.Fields(string(out)), "")
}

// pageOf renders a page of a PDF with so many dots an inch.
func pageOf(t *testing.T, pdf []byte, page, dpi int) image.Image {
	t.Helper()
	to := filepath.Join(t.TempDir(), "page")
	n := strconv.Itoa(page)
	run(t, tool(t, "pdftoppm"), "-png", "-r", strconv.Itoa(dpi), "-f", n, "-l", n, "-singlefile", saved(t, pdf), to)
	b, err := os.ReadFile(to + ".png")
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// cut takes the part of a page that a rectangle in mm covers.
func cut(img image.Image, dpi int, x, y, w, h float64) image.Image {
	px := func(mm float64) int { return int(mm / 25.4 * float64(dpi)) }
	from := image.Rect(px(x), px(y), px(x+w), px(y+h)).Intersect(img.Bounds())
	out := image.NewGray(image.Rect(0, 0, from.Dx(), from.Dy()))
	draw.Draw(out, out.Bounds(), img, from.Min, draw.Src)
	return out
}

// darkRun gives the length in mm of the longest dark run along a line of a page.
func darkRun(img image.Image, dpi int, x0, y0, x1, y1 float64) float64 {
	const steps = 20000
	longest, now := 0, 0
	for i := range steps {
		f := float64(i) / steps
		x, y := (x0+f*(x1-x0))/25.4*float64(dpi), (y0+f*(y1-y0))/25.4*float64(dpi)
		if color.GrayModel.Convert(img.At(int(x), int(y))).(color.Gray).Y < 140 {
			now++
			longest = max(longest, now)
		} else {
			now = 0
		}
	}
	length := (x1 - x0) + (y1 - y0)
	return float64(longest) / steps * length
}
