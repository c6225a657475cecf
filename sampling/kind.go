package sampling

import (
	"cmp"
	"strings"
)

// kindWords are what a kind counts, in order.
var kindWords = [...]string{"years", "rounds", "greens", "cores", "determinations"}

// kind is in what an option differs from another: +1 where it has more, −1 where it has fewer.
type kind [len(kindWords)]int

func kindOf(best, o Option) kind {
	return kind{
		cmp.Compare(o.Schedule.Years, best.Schedule.Years), cmp.Compare(o.Rounds, best.Rounds), cmp.Compare(o.Greens, best.Greens),
		cmp.Compare(o.Cores, best.Cores), cmp.Compare(o.Determinations, best.Determinations),
	}
}

// trades says whether something is saved for what is spent: more of everything is not another kind of design.
func (k kind) trades() bool {
	more, fewer := false, false
	for _, sign := range k {
		more, fewer = more || sign > 0, fewer || sign < 0
	}
	return more && fewer
}

// includes says whether k changes all that other changes, the same way.
func (k kind) includes(other kind) bool {
	for i, sign := range other {
		if sign != 0 && sign != k[i] {
			return false
		}
	}
	return true
}

// String says it in words: "more greens, fewer cores".
func (k kind) String() string {
	var words []string
	for i, sign := range k {
		switch {
		case sign > 0:
			words = append(words, "more "+kindWords[i])
		case sign < 0:
			words = append(words, "fewer "+kindWords[i])
		}
	}
	return strings.Join(words, ", ")
}
