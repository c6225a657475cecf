package report

import "math"

// texture lays one of the textures of the figures over a box, as figure.Patterns draws them: sand is stipple, coring upright
// tines, decay diagonal, growth blades. The path it shows in is set as the clip before.
func (c *canvas) texture(name string, x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = finite(x0), finite(y0), finite(x1), finite(y1)
	ground := map[string]string{"sand": "#F6F0C4", "blade": "#CFE2D4"}[name]
	if ground == "" {
		ground = paperColour
	}
	c.area(c.x+x0*c.k, c.y+y0*c.k, (x1-x0)*c.k, (y1-y0)*c.k, ground)
	switch name {
	case "sand":
		c.stipple(x0, y0, x1, y1)
	case "tine":
		c.ink(inkColour, 1.6, 0)
		for x := math.Floor(x0/6)*6 + 3; x < x1+1; x += 6 {
			c.stroke(x, y0, x, y1)
		}
	case "decay": // lines of the pattern, turned by 45 degrees to the left
		c.ink(ink3Colour, 1.2, 0)
		step := 6 * math.Sqrt2
		for s := math.Floor((x0-y1)/step) * step; s < x1-y0+step; s += step {
			c.stroke(s+y0, y0, s+y1, y1)
		}
	case "blade":
		c.ink("#2E6B48", 1.1, 0)
		for x := math.Floor(x0/6) * 6; x < x1; x += 6 {
			for y := math.Floor(y0/6) * 6; y < y1; y += 6 {
				c.stroke(x+1.5, y+6, x+3, y+1.5, x+4.5, y+6)
			}
		}
	}
}

// stipple draws the specks of sand as dots: strokes of no length with round ends.
func (c *canvas) stipple(x0, y0, x1, y1 float64) {
	for _, speck := range [...][3]float64{{1.6, 1.8, .95}, {6.2, 3.4, .8}, {3.4, 6.2, .9}, {7.9, 7.6, .75}} {
		c.ink("#77713F", 2*speck[2], 1)
		for x := math.Floor(x0/9) * 9; x < x1; x += 9 {
			for y := math.Floor(y0/9) * 9; y < y1; y += 9 {
				px, py := c.place(x+speck[0], y+speck[1])
				c.op("m", px, py)
				c.op("l", px, py)
			}
		}
		c.op("S")
	}
}

// ink chooses colour, width and ends of the strokes of a texture.
func (c *canvas) ink(colour string, width, ends float64) {
	c.colour("RG", colour)
	c.op("w", width*c.k*ptPerPx)
	c.op("J", ends)
}

// stroke draws a run of x, y pairs.
func (c *canvas) stroke(run ...float64) {
	for i := 0; i+1 < len(run); i += 2 {
		px, py := c.place(run[i], run[i+1])
		if i == 0 {
			c.op("m", px, py)
		} else {
			c.op("l", px, py)
		}
	}
	c.op("S")
}
