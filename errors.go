package underfoot

import (
	"errors"
	"fmt"
)

// Kind says what sort of refusal an error is. One place in the program maps kinds to exit codes and one to HTTP status.
type Kind int

// The kinds of error. An error of no kind is [Internal].
const (
	Internal  Kind = iota // something is wrong with the program or the machine
	Invalid               // what was given breaks a rule; the message says which and what is allowed
	NotFound              // there is no such thing
	Conflict              // it clashes with what is there
	Forbidden             // the person may not do this
	Negative              // the honest answer is no: a check failed, no plan exists
)

type kindError struct {
	kind Kind
	err  error
}

func (e *kindError) Error() string { return e.err.Error() }
func (e *kindError) Unwrap() error { return e.err }

// Errorf returns an error of kind k with a formatted message; %w wraps as in [fmt.Errorf].
func Errorf(k Kind, format string, args ...any) error {
	return &kindError{kind: k, err: fmt.Errorf(format, args...)}
}

// KindOf returns the kind of the first error in err's chain that has one, else [Internal].
func KindOf(err error) Kind {
	var e *kindError
	if errors.As(err, &e) {
		return e.kind
	}
	return Internal
}
