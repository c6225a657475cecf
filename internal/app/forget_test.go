package app

import (
	"fmt"
	"testing"

	"underfoot/calibrate"
)

func TestModelsLongestUnaskedAreForgotten(t *testing.T) {
	a := New(nil, nil, "")
	for i := range 40 {
		s := &Standing{}
		if i%4 > 0 { // every fourth was never calibrated and costs next to nothing
			s.known.Store(&Model{Fit: &calibrate.Fit{Course: &calibrate.Course{}}})
		}
		a.standing[fmt.Sprint(i)] = remembered{value: s, used: i}
	}
	a.forget()
	models, plain := 0, 0
	for course, r := range a.standing {
		if r.value.fitted() == nil {
			plain++
			continue
		}
		models++
		if r.used < 8 {
			t.Errorf("course %s, asked for at turn %d, is still remembered", course, r.used)
		}
	}
	if models != mostModels || plain != 10 {
		t.Errorf("%d models and %d plain standings are remembered, wanted %d and 10", models, plain, mostModels)
	}
}
