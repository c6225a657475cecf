package web

import (
	"net/http"
	"strconv"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/web/page"
)

// newCourse shows the empty form of a course.
func (s *server) newCourse(w http.ResponseWriter, r *http.Request) error {
	return s.courseForm(w, r, http.StatusOK, "", map[string]string{}, nil)
}

// editCourse shows what is said of a course.
func (s *server) editCourse(w http.ResponseWriter, r *http.Request) error {
	id := r.PathValue("course")
	c, err := s.app.Store.Get(r.Context(), underfoot.Courses, underfoot.Key{id})
	if err != nil {
		return err
	}
	return s.courseForm(w, r, http.StatusOK, id, underfoot.Courses.Cells(c), nil)
}

// saveCourse adds a course and goes on to its greens, or changes one and goes back to it.
func (s *server) saveCourse(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	id, cells := r.PathValue("course"), map[string]string{}
	for _, c := range underfoot.Courses.Columns {
		cells[c.Name] = strings.TrimSpace(r.PostFormValue(c.Name))
	}
	fresh := id == ""
	if !fresh {
		cells["course"] = id
	}
	change, key, faults, err := s.app.SaveCourse(r.Context(), s.who(w, r, ""), fresh, cells)
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return s.courseForm(w, r, http.StatusUnprocessableEntity, id, cells, faults)
	}
	to := page.CoursePath(key)
	if fresh {
		to = page.CoursePath(key, "table", "greens")
	}
	if change.ID != 0 {
		to += "?done=" + strconv.FormatInt(change.ID, 10)
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

func (s *server) courseForm(w http.ResponseWriter, r *http.Request, status int, id string, cells map[string]string, faults []app.RowFault) error {
	p := page.CourseForm{Course: id}
	if id == "" {
		p.Frame = s.frame(r, "A new course", "courses")
	} else {
		st, err := s.app.Standing(r.Context(), id)
		if err != nil {
			return err
		}
		p.Frame = s.courseFrame(r, st, "What is said of the course", "")
	}
	why := map[string]string{}
	for _, f := range faults {
		why[f.Column] = page.Sentence(f.Text)
		p.Errors = append(p.Errors, page.FieldError{Field: f.Column, Text: rowLabel(f.Column) + ": " + page.Sentence(f.Text)})
	}
	for _, name := range []string{"name", "course", "country", "time_zone", "latitude_deg", "longitude_deg"} {
		i, _ := underfoot.Courses.Column(name)
		c := &underfoot.Courses.Columns[i]
		x := page.Field{Name: name, Label: rowLabel(name), Unit: c.Unit, Value: cells[name], Hint: c.About, Error: why[name], Wide: 3, Type: "text"}
		switch name {
		case "name":
			x.Hint, x.Need = "As people say it.", id == ""
		case "country":
			x.Hint = "As a name or a code."
		case "course":
			if id != "" {
				continue // others refer to it
			}
			x.Hint = "Empty: made from the name. It stands in addresses and on labels and stays as it is."
		case "time_zone":
			x.Hint = "Such as Europe/London; empty for UTC. Days are calendar days there."
		case "latitude_deg":
			x.Hint, x.Type = "North positive, −90 to 90.", "number"
		case "longitude_deg":
			x.Hint, x.Type = "East positive, −180 to 180.", "number"
		}
		p.Fields = append(p.Fields, x)
	}
	return s.send.page(w, r, status, page.CourseFormPage(p))
}
