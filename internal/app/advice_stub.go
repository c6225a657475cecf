package app

// Advice waits for package season.
type Advice struct{}

func (s *Standing) advise() error { return nil }
