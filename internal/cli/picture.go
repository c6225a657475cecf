package cli

import (
	"os"
	"path/filepath"
	"strings"

	"underfoot"
	drawing "underfoot/internal/figure"
	"underfoot/internal/raster"
	"underfoot/internal/report"
)

// pngScale is how many dots a picture has to the pixel it is drawn in.
const pngScale = 2

// writePicture writes a picture into a file, as SVG or PNG by the ending of its name.
func writePicture(s *drawing.Scene, file string) error {
	s = s.Titled()
	var body []byte
	switch end := strings.ToLower(filepath.Ext(file)); end {
	case ".svg":
		body = []byte(s.SVG(drawing.Standalone(), drawing.Lettered(report.FontAddress(report.SansFont))) + "\n")
	case ".png":
		var err error
		if body, err = raster.PNG(s, pngScale); err != nil {
			return underfoot.Errorf(underfoot.Invalid, "drawing the picture: %w", err)
		}
	default:
		return underfoot.Errorf(underfoot.Invalid, "--figure %s: a picture ends in .svg or .png", file)
	}
	if err := os.WriteFile(file, body, 0o644); err != nil {
		return underfoot.Errorf(underfoot.Invalid, "writing the picture: %w", err)
	}
	return nil
}
