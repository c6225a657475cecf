package underfoot

// Opt is a value that may be not known. The zero Opt is not known; there is no in-band "missing" number.
type Opt[T any] struct {
	Value T
	Known bool
}

// Some returns a known value.
func Some[T any](v T) Opt[T] { return Opt[T]{Value: v, Known: true} }

// Or returns the value, or otherwise when it is not known.
func (o Opt[T]) Or(otherwise T) T {
	if o.Known {
		return o.Value
	}
	return otherwise
}

// Ptr returns a pointer to the value, or nil when it is not known.
func (o Opt[T]) Ptr() *T {
	if !o.Known {
		return nil
	}
	v := o.Value
	return &v
}
