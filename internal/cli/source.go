package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"underfoot"
	"underfoot/internal/app"
	"underfoot/internal/exchange"
	"underfoot/internal/store"
)

// source is where a command takes its records from: a package folder, or a course of a store.
type source struct {
	Source string `arg:"" optional:"" type:"path" help:"Package folder."`
	Store  string `type:"path" help:"Store file, instead of a package folder."`
	Course string `help:"Course, where there are several."`
	JSON   bool   `help:"Print JSON."`
}

// records reads all courses of the source.
func (s *source) records(env *Env) ([]*underfoot.Records, error) {
	switch {
	case s.Source != "" && s.Store != "":
		return nil, underfoot.Errorf(underfoot.Invalid, "both a package folder and --store are given: give one of them")
	case s.Store != "":
		return s.stored(env)
	case s.Source == "":
		return nil, underfoot.Errorf(underfoot.Invalid, "nothing to read: give a package folder, or --store FILE with --course ID")
	}
	said := newSpeaker(env)
	list, err := app.ReadPackage(env.Context, s.Source, env.Now(), said.problem, said.notice)
	if err != nil {
		return nil, err
	}
	if s.Course == "" {
		return list, nil
	}
	one, err := app.OneCourse(list, s.Course)
	if err != nil {
		return nil, err
	}
	return []*underfoot.Records{one}, nil
}

func (s *source) stored(env *Env) ([]*underfoot.Records, error) {
	st, err := openStore(env, s.Store, false)
	if err != nil {
		return nil, err
	}
	defer st.Close()
	courses := []string{s.Course}
	if s.Course == "" {
		courses = nil
		all, err := st.Courses(env.Context)
		if err != nil {
			return nil, err
		}
		for _, c := range all {
			courses = append(courses, c.ID)
		}
	}
	if len(courses) == 0 {
		return nil, underfoot.Errorf(underfoot.NotFound, "store %s has no course: bring one in with \"underfoot import PACKAGE --store %s\"", s.Store, s.Store)
	}
	var list []*underfoot.Records
	for _, c := range courses {
		rs, err := st.Records(env.Context, c)
		if err != nil {
			return nil, err
		}
		list = append(list, rs)
	}
	return list, nil
}

// standing works out where the one course of the source stands. Its model, when it is asked for, starts from what the
// source's other courses of the species teach.
func (s *source) standing(env *Env, wishes app.Wishes) (*app.Standing, error) {
	if s.Store != "" {
		return s.standingInStore(env, wishes)
	}
	course := s.Course
	all := source{Source: s.Source}
	list, err := all.records(env)
	if err != nil {
		return nil, err
	}
	rs, err := app.OneCourse(list, course)
	if err != nil {
		return nil, err
	}
	standing, err := app.Stand(rs, rs.Course.Today(env.Now()), wishes)
	if err == nil && len(list) > 1 {
		bar := newProgress(env, "learning from the other courses")
		standing.LearnFrom(list, func(done, of int) {
			bar.steps(done, of)
			if done == of {
				bar.done()
			}
		})
	}
	return standing, err
}

func (s *source) standingInStore(env *Env, wishes app.Wishes) (*app.Standing, error) {
	list, err := s.records(env)
	if err != nil {
		return nil, err
	}
	rs, err := app.OneCourse(list, s.Course)
	if err != nil {
		return nil, err
	}
	standing, err := app.Stand(rs, rs.Course.Today(env.Now()), wishes)
	if err != nil {
		return nil, err
	}
	st, err := openStore(env, s.Store, false)
	if err != nil {
		return nil, err
	}
	env.open = append(env.open, st) // what is asked of the standing is read there and kept there
	return standing, standing.LearnFromStore(env.Context, st)
}

// openStore opens a store; unless create, the file must be there already.
func openStore(env *Env, path string, create bool) (*store.SQLite, error) {
	if path == "" {
		return nil, underfoot.Errorf(underfoot.Invalid, "no store: give one with --store FILE")
	}
	if _, err := os.Stat(path); err != nil && !create {
		return nil, underfoot.Errorf(underfoot.NotFound, "store %s is not there: bring a package into it with \"underfoot import PACKAGE --store %s\"", path, path)
	}
	return store.Open(env.Context, path, store.Options{Now: env.Now})
}

// speaker tells problems and notices on standard error as they come.
type speaker struct {
	env               *Env
	problems, notices int
}

func newSpeaker(env *Env) *speaker { return &speaker{env: env} }

func (s *speaker) problem(p exchange.Problem) {
	s.problems++
	fmt.Fprintln(s.env.Stderr, p)
}

func (s *speaker) notice(n exchange.Notice) {
	s.notices++
	fmt.Fprintln(s.env.Stderr, "note: "+n.String())
}

// shown shortens a path for messages where it lies below the current folder.
func shown(path string) string {
	wd, err := os.Getwd()
	if err != nil {
		return path
	}
	if rel, err := filepath.Rel(wd, path); err == nil && !strings.HasPrefix(rel, "..") {
		return rel
	}
	return path
}
