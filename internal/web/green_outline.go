package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/exchange"
	"underfoot/internal/web/page"
	"underfoot/outline"
)

// outlineForm is the page of an outline as it was filled in.
type outlineForm struct {
	corners, order, wrong string
	which, fileWrong      string
	pointsWrong           string
	points                []page.PointRow
}

// showOutline shows the outline of a green, ready to be drawn.
func (s *server) showOutline(w http.ResponseWriter, r *http.Request) error {
	st, g, err := s.greenOf(r)
	if err != nil {
		return err
	}
	return s.outlinePage(w, r, http.StatusOK, st, g, nil)
}

// greenOf returns the green that the address names.
func (s *server) greenOf(r *http.Request) (*standing, *underfoot.Green, error) {
	st, err := s.app.Standing(r.Context(), r.PathValue("course"))
	if err != nil {
		return nil, nil, err
	}
	for i := range st.Records.Greens {
		if g := &st.Records.Greens[i]; g.ID == r.PathValue("green") {
			return st, g, nil
		}
	}
	return nil, nil, underfoot.Errorf(underfoot.NotFound, "course %q has no green %q", st.Records.Course.ID, r.PathValue("green"))
}

// saveOutline keeps the corners that were drawn, walked or typed.
func (s *server) saveOutline(w http.ResponseWriter, r *http.Request) error {
	st, g, err := s.greenOf(r)
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	f := &outlineForm{corners: r.PostFormValue("corners"), order: r.PostFormValue("order")}
	polygons, err := cornersOf(f.corners, f.order)
	if err != nil {
		f.wrong = err.Error()
		return s.outlinePage(w, r, http.StatusUnprocessableEntity, st, g, f)
	}
	change, err := s.app.SaveOutline(r.Context(), s.who(w, r, ""), g.Course, g.ID, polygons)
	var bad *app.FieldError
	if errors.As(err, &bad) {
		f.wrong = bad.Text
		return s.outlinePage(w, r, http.StatusUnprocessableEntity, st, g, f)
	}
	return s.outlineDone(w, r, g, change, err)
}

// outlineDone goes back to the page of the outline, which says what was changed.
func (s *server) outlineDone(w http.ResponseWriter, r *http.Request, g *underfoot.Green, change underfoot.Change, err error) error {
	if err != nil {
		return err
	}
	to := page.CoursePath(g.Course, "green", g.ID, "outline")
	if change.ID != 0 {
		to += "?done=" + strconv.FormatInt(change.ID, 10)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// deleteOutline takes the outline away; it can be undone.
func (s *server) deleteOutline(w http.ResponseWriter, r *http.Request) error {
	_, g, err := s.greenOf(r)
	if err != nil {
		return err
	}
	change, err := s.app.SaveOutline(r.Context(), s.who(w, r, ""), g.Course, g.ID, nil)
	return s.outlineDone(w, r, g, change, err)
}

// takeOutlineFile takes the outline from a GeoJSON or GPX file.
func (s *server) takeOutlineFile(w http.ResponseWriter, r *http.Request) error {
	st, g, err := s.greenOf(r)
	if err != nil {
		return err
	}
	f := &outlineForm{}
	refuse := func(text string) error {
		f.fileWrong = text
		return s.outlinePage(w, r, http.StatusUnprocessableEntity, st, g, f)
	}
	file, _, err := r.FormFile("file")
	if err != nil {
		var tooLarge *http.MaxBytesError
		if errors.As(err, &tooLarge) {
			return err
		}
		return refuse("no file was chosen: choose one with the outline")
	}
	defer file.Close()
	text, err := io.ReadAll(file)
	if err != nil {
		return err
	}
	f.which = strings.TrimSpace(r.FormValue("which"))
	shapes, err := exchange.ReadShapes(text)
	if err != nil {
		return refuse(err.Error())
	}
	shape, err := chooseShape(shapes, f.which, g)
	if err != nil {
		return refuse(err.Error())
	}
	change, err := s.app.SaveOutline(r.Context(), s.who(w, r, ""), g.Course, g.ID, shape.Polygons)
	var bad *app.FieldError
	if errors.As(err, &bad) {
		return refuse(bad.Text)
	}
	return s.outlineDone(w, r, g, change, err)
}

// chooseShape finds the outline of a green in a file: the one that is named, that of the green, or the only one.
func chooseShape(shapes []exchange.Shape, which string, g *underfoot.Green) (*exchange.Shape, error) {
	var names []string
	for i := range shapes {
		x := &shapes[i]
		if which != "" && (x.Name == which || x.Green == which) || which == "" && x.Green == g.ID {
			return x, nil
		}
		names = append(names, x.Name)
	}
	if which == "" && len(shapes) == 1 {
		return &shapes[0], nil
	}
	if len(names) > 12 {
		names = append(names[:12], "…")
	}
	if which == "" {
		return nil, fmt.Errorf("the file holds %d outlines and none says it is of green %s: name one of %s", len(shapes), g.ID, strings.Join(names, ", "))
	}
	return nil, fmt.Errorf("the file holds no outline called %q: name one of %s", which, strings.Join(names, ", "))
}

// saveFixedPoints keeps the fixed points beside a green.
func (s *server) saveFixedPoints(w http.ResponseWriter, r *http.Request) error {
	st, g, err := s.greenOf(r)
	if err != nil {
		return err
	}
	if err := parseForm(r); err != nil {
		return err
	}
	f := &outlineForm{}
	var points []underfoot.FixedPoint
	for n := 1; n <= mostPoints; n++ {
		k := strconv.Itoa(n)
		get := func(name string) string { return strings.TrimSpace(r.PostFormValue(name + "-" + k)) }
		row := page.PointRow{N: k, Name: get("point"), Latitude: get("lat"), Longitude: get("lon"), About: get("about")}
		if _, sent := r.PostForm["point-"+k]; !sent {
			break
		}
		if row.Name == "" {
			f.points = append(f.points, row)
			continue
		}
		row.Errors = map[string]string{}
		p := underfoot.FixedPoint{Course: g.Course, Green: g.ID}
		for _, c := range [][3]string{{"point", row.Name, "point"}, {"latitude_deg", plainMinus(row.Latitude), "lat"}, {"longitude_deg", plainMinus(row.Longitude), "lon"}, {"about", row.About, "about"}} {
			i, _ := underfoot.FixedPoints.Column(c[0])
			err := underfoot.FixedPoints.SetCell(&p, i, c[1])
			if err == nil && c[1] == "" && c[0] != "about" {
				err = errors.New("empty: a number of degrees is needed")
			}
			if err != nil {
				row.Errors[c[2]] = page.Sentence(err.Error())
			}
			if err != nil && f.pointsWrong == "" {
				f.pointsWrong = fmt.Sprintf("Point %s, %s: %v.", row.Name, strings.TrimSuffix(c[0], "_deg"), err)
			}
		}
		f.points = append(f.points, row)
		points = append(points, p)
	}
	if f.pointsWrong == "" {
		change, err := s.app.SaveFixedPoints(r.Context(), s.who(w, r, ""), g.Course, g.ID, points)
		var bad *app.FieldError
		if !errors.As(err, &bad) {
			return s.outlineDone(w, r, g, change, err)
		}
		f.pointsWrong = page.Sentence(bad.Text)
	}
	return s.outlinePage(w, r, http.StatusUnprocessableEntity, st, g, f)
}

// mostPoints is how many fixed points a green may have on the form.
const mostPoints = 24

// outlinePage shows the outline of a green, as it is stored or as it was typed.
func (s *server) outlinePage(w http.ResponseWriter, r *http.Request, status int, st *standing, g *underfoot.Green, f *outlineForm) error {
	p := page.GreenOutline{
		Frame: s.courseFrame(r, st, "Outline of "+g.Title(), "round"), Course: g.Course, Green: g.ID, Title: g.Title(), Order: "lat",
		Back: page.CoursePath(g.Course, "round"), Statement: g.Title() + " has no outline yet.",
		Because: "With one, cores are placed evenly over the green, and its area is known. No map is needed: the drawing is in metres.",
	}
	p.Frame.Scripts = append(p.Frame.Scripts, "outline")
	w.Header().Set("Permissions-Policy", "camera=(), geolocation=(self), microphone=()") // for walking the edge with a phone
	o, err := app.OutlineOf(st.Records, g.ID)
	lat, lon := st.Records.Course.Latitude, st.Records.Course.Longitude
	p.Latitude, p.Longitude = optNumber(lat), optNumber(lon)
	switch {
	case err != nil:
		p.Has, p.Statement, p.Because = true, "The outline of "+g.Title()+" cannot be used.", page.Sentence(err.Error())
	case o != nil:
		p.Has = true
		p.Statement = fmt.Sprintf("%s is %s m² by its outline.", g.Title(), page.Num(float64(o.Area()), 0))
		p.Because = "The area is that on the ellipsoid, holes left out."
		if g.AreaM2.Known {
			p.Because += fmt.Sprintf(" On record are %s m².", page.Num(g.AreaM2.Value, 0))
		}
		p.Corners = cornersText(o.Polygons())
		picture := app.GreenPlaces{Title: g.Title(), Outline: o}
		p.Picture = planOf(&picture).Scene()
	}
	for _, x := range st.Records.FixedPoints {
		if x.Green == g.ID {
			p.Points = append(p.Points, page.PointRow{Name: x.Point, Latitude: underfoot.FormatNumber(x.Latitude), Longitude: underfoot.FormatNumber(x.Longitude), About: x.About})
		}
	}
	for range 3 {
		p.Points = append(p.Points, page.PointRow{})
	}
	p.Points = p.Points[:min(len(p.Points), mostPoints)]
	for i := range p.Points {
		p.Points[i].N = strconv.Itoa(i + 1)
	}
	for _, x := range st.Greens {
		if x.ID != g.ID {
			p.Others = append(p.Others, page.Link{Href: page.CoursePath(g.Course, "green", x.ID, "outline"), Text: x.Title()})
		}
	}
	if f != nil {
		p.Error, p.FileError, p.Which, p.PointsError = f.wrong, f.fileWrong, f.which, f.pointsWrong
		if f.wrong != "" {
			p.Corners, p.Order = f.corners, f.order
		}
		if f.points != nil {
			p.Points = f.points
		}
	}
	return s.send.page(w, r, status, page.GreenOutlinePage(p))
}

func optNumber(v underfoot.Opt[float64]) string {
	if !v.Known {
		return ""
	}
	return underfoot.FormatNumber(v.Value)
}

// plainMinus turns the minus of print into that of a keyboard.
func plainMinus(text string) string { return strings.ReplaceAll(text, "\u2212", "-") }

// cornersOf reads corners as they are typed: one a line, latitude and longitude in the order said, "hole" and "part" between
// rings. Rings are closed where they are not.
func cornersOf(text, order string) ([][][][2]float64, error) {
	out := [][][][2]float64{{nil}}
	for n, line := range strings.Split(text, "\n") {
		line = strings.ToLower(strings.TrimSpace(plainMinus(line)))
		part := len(out) - 1
		switch line {
		case "":
			continue
		case "hole":
			out[part] = append(out[part], nil)
			continue
		case "part":
			out = append(out, [][][2]float64{nil})
			continue
		}
		words := strings.FieldsFunc(line, func(c rune) bool { return c == ' ' || c == '\t' || c == ';' || c == ',' })
		if len(words) != 2 {
			return nil, fmt.Errorf("line %d, %q: two numbers of degrees are expected, such as 55.90012 -3.20034, with decimal points", n+1, line)
		}
		var at [2]float64
		for i, w := range words {
			v, err := underfoot.ParseNumber(strings.TrimSuffix(w, "°"))
			if err != nil {
				return nil, fmt.Errorf("line %d, %q: %w", n+1, w, err)
			}
			at[i] = v
		}
		if order != "lon" {
			at[0], at[1] = at[1], at[0]
		}
		ring := len(out[part]) - 1
		out[part][ring] = append(out[part][ring], at)
	}
	for i, p := range out {
		for j, ring := range p {
			if len(ring) > 0 && ring[0] != ring[len(ring)-1] {
				ring = append(ring, ring[0])
			}
			if len(slices.Compact(slices.Clone(ring))) < 4 {
				return nil, fmt.Errorf("a ring of %d corners: an outline has 3 or more, one on each line", max(0, len(ring)-1))
			}
			out[i][j] = ring
		}
	}
	return out, nil
}

// cornersText writes polygons as they are typed, latitude first, without the corner that closes a ring.
func cornersText(polygons []outline.Polygon) string {
	var b strings.Builder
	for i, p := range polygons {
		for j, r := range p {
			if j > 0 {
				b.WriteString("hole\n")
			} else if i > 0 {
				b.WriteString("part\n")
			}
			for _, c := range r[:len(r)-1] {
				fmt.Fprintf(&b, "%.8f %.8f\n", c.Latitude, c.Longitude)
			}
		}
	}
	return b.String()
}
