package report

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"strings"
	"testing"
)

// corners is a picture of 64 × 32 pixels, red in its upper left quarter, blue in its upper right one, white below.
func corners() *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, 64, 32))
	for y := range 32 {
		for x := range 64 {
			c := color.RGBA{255, 255, 255, 255}
			switch {
			case y < 16 && x < 32:
				c = color.RGBA{220, 20, 20, 255}
			case y < 16:
				c = color.RGBA{20, 20, 220, 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	return m
}

// stored gives the picture as a camera stores it that says the turning t: what turns upright into corners.
func stored(t turning, from *image.RGBA) *image.RGBA {
	back := map[turning]turning{6: 8, 8: 6} // the others undo themselves
	if b, ok := back[t]; ok {
		t = b
	}
	return t.of(from)
}

// withExif puts an orientation into a JPEG.
func withExif(file []byte, order binary.AppendByteOrder, name string, t turning) []byte {
	tiff := []byte(name)
	tiff = order.AppendUint16(tiff, 42)
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2) // entries
	for _, e := range [][3]uint16{{0x010F, 2, 0}, {0x0112, 3, uint16(t)}} {
		tiff = order.AppendUint16(tiff, e[0])
		tiff = order.AppendUint16(tiff, e[1])
		tiff = order.AppendUint32(tiff, 1)
		tiff = order.AppendUint16(tiff, e[2])
		tiff = order.AppendUint16(tiff, 0)
	}
	part := append([]byte("Exif\x00\x00"), tiff...)
	out := append([]byte{}, file[:2]...)
	out = append(out, 0xFF, 0xE1)
	out = binary.BigEndian.AppendUint16(out, uint16(len(part)+2))
	return append(append(out, part...), file[2:]...)
}

// A JPEG that says how the camera was held is kept and set upright, for each of the eight ways, in either byte order.
func TestLogoUpright(t *testing.T) {
	for turn := turning(1); turn <= 8; turn++ {
		var b bytes.Buffer
		if err := jpeg.Encode(&b, stored(turn, corners()), &jpeg.Options{Quality: 95}); err != nil {
			t.Fatal(err)
		}
		for name, order := range map[string]binary.AppendByteOrder{"II": binary.LittleEndian, "MM": binary.BigEndian} {
			file := withExif(b.Bytes(), order, name, turn)
			kept, err := FitLogo(file)
			if err != nil {
				t.Fatal(err)
			}
			if (turn == 1) != bytes.Equal(kept, file) {
				t.Errorf("turning %d: the file itself is kept: %v", turn, bytes.Equal(kept, file))
			}
			for _, made := range [][]byte{kept, file} {
				flat, size, err := readLogo(made)
				if err != nil || size != (box{64, 32}) {
					t.Fatalf("turning %d: %v, %v", turn, size, err)
				}
				m, err := png.Decode(bytes.NewReader(flat))
				if err != nil {
					t.Fatal(err)
				}
				for at, want := range map[image.Point]string{{10, 8}: "red", {54, 8}: "blue", {10, 25}: "white", {54, 25}: "white"} {
					r, g, b, _ := m.At(at.X, at.Y).RGBA()
					got := "white"
					switch {
					case r > 0x8000 && b < 0x8000 && g < 0x8000:
						got = "red"
					case b > 0x8000 && r < 0x8000 && g < 0x8000:
						got = "blue"
					}
					if got != want {
						t.Errorf("turning %d, %s: %v is %s, want %s", turn, name, at, got, want)
					}
				}
			}
		}
	}
}

// Exif that is cut short or wrong counts as upright and never panics.
func FuzzTurning(f *testing.F) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, corners(), nil); err != nil {
		f.Fatal(err)
	}
	whole := withExif(b.Bytes(), binary.LittleEndian, "II", 6)
	for n := range 60 {
		f.Add(whole[:n])
	}
	f.Add(whole)
	f.Fuzz(func(t *testing.T, file []byte) {
		turn := turningOf(file)
		if got := turn.size(image.Pt(3, 2)); got != image.Pt(3, 2) && !turn.sideways() {
			t.Errorf("turning %d changes the size to %v", turn, got)
		}
	})
}

// A large picture is kept as large as paper shows it, light enough for a cell of a package whatever it shows; one that is
// too large in bytes or pixels is refused in a sentence.
func TestLargeLogo(t *testing.T) {
	noise := image.NewRGBA(image.Rect(0, 0, 1600, 900))
	r := rand.New(rand.NewPCG(1, 2))
	for i := range noise.Pix {
		noise.Pix[i] = byte(r.Uint32())
	}
	var b bytes.Buffer
	if err := png.Encode(&b, noise); err != nil {
		t.Fatal(err)
	}
	if b.Len() < 2<<20 {
		t.Fatalf("the picture has %d bytes only", b.Len())
	}
	kept, err := FitLogo(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	about, kind, err := image.DecodeConfig(bytes.NewReader(kept))
	if err != nil || kind != "png" || about.Width != 455 || about.Height != 256 || len(kept) > 700_000 {
		t.Errorf("kept as %s of %d × %d pixels and %d bytes, %v, want a PNG of 455 × 256", kind, about.Width, about.Height, len(kept), err)
	}
	again, err := FitLogo(kept)
	if err != nil || len(again) > 700_000 {
		t.Errorf("kept again: %d bytes, %v", len(again), err)
	}
	if _, err := FitLogo(make([]byte, MostLogoBytes+1)); err == nil || err.Error() != "the logo has 8.1 MB: at most 8 MB are allowed" {
		t.Errorf("too many bytes: %v", err)
	}
	wide := image.NewGray(image.Rect(0, 0, mostLogoPixels+1, 1))
	b.Reset()
	if err := png.Encode(&b, wide); err != nil {
		t.Fatal(err)
	}
	if _, err := FitLogo(b.Bytes()); err == nil || !strings.HasPrefix(err.Error(), "the logo is 12001 × 1 pixels: 1 to 12000") {
		t.Errorf("too wide: %v", err)
	}
}
