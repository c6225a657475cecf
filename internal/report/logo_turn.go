package report

import (
	"encoding/binary"
	"image"
)

// turning is how a camera says that its picture stands: the orientation of Exif (JEITA CP-3451, tag 0x0112), 1 to 8. Anything
// else counts as 1, upright.
type turning uint16

func (t turning) upright() bool { return t < 2 || t > 8 }

// sideways says whether width and height change places.
func (t turning) sideways() bool { return t >= 5 && t <= 8 }

// size is that of the upright picture.
func (t turning) size(p image.Point) image.Point {
	if t.sideways() {
		return image.Pt(p.Y, p.X)
	}
	return p
}

// of turns a picture upright.
func (t turning) of(from *image.RGBA) *image.RGBA {
	if t.upright() {
		return from
	}
	w, h := from.Bounds().Dx(), from.Bounds().Dy()
	to := image.NewRGBA(image.Rectangle{Max: t.size(image.Pt(w, h))})
	for y := range h {
		for x := range w {
			tx, ty := x, y
			switch t {
			case 2:
				tx = w - 1 - x
			case 3:
				tx, ty = w-1-x, h-1-y
			case 4:
				ty = h - 1 - y
			case 5:
				tx, ty = y, x
			case 6:
				tx, ty = h-1-y, x
			case 7:
				tx, ty = h-1-y, w-1-x
			case 8:
				tx, ty = y, w-1-x
			}
			to.SetRGBA(tx, ty, from.RGBAAt(x, y))
		}
	}
	return to
}

// turningOf reads the orientation in the Exif part of a JPEG; a file without one that can be read is upright.
func turningOf(file []byte) turning {
	for at := 2; at+4 <= len(file) && file[at] == 0xFF; {
		marker, size := file[at+1], int(binary.BigEndian.Uint16(file[at+2:]))
		if marker == 0xDA || size < 2 || at+2+size > len(file) { // the picture itself begins
			return 1
		}
		part := file[at+4 : at+2+size]
		if marker == 0xE1 && len(part) > 6 && string(part[:6]) == "Exif\x00\x00" {
			return turningIn(part[6:])
		}
		at += 2 + size
	}
	return 1
}

// turningIn reads the orientation in the first directory of a TIFF.
func turningIn(tiff []byte) turning {
	if len(tiff) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.LittleEndian
	if string(tiff[:2]) == "MM" {
		order = binary.BigEndian
	}
	at := int64(order.Uint32(tiff[4:]))
	if at+2 > int64(len(tiff)) {
		return 1
	}
	for i := range int64(order.Uint16(tiff[at:])) {
		entry := at + 2 + 12*i
		if entry+12 > int64(len(tiff)) {
			return 1
		}
		const orientation, short = 0x0112, 3
		if order.Uint16(tiff[entry:]) == orientation && order.Uint16(tiff[entry+2:]) == short {
			return turning(order.Uint16(tiff[entry+8:]))
		}
	}
	return 1
}
