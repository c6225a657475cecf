package app

// Settled says whether the balance and the advice have been worked out for good, so that asking for them takes no time.
func (s *Standing) Settled() bool { return s.said.known.Load() || !s.asksModel() }

// asksModel says whether the profile model is to speak for the balance; short of that it takes no time.
func (s *Standing) asksModel() bool {
	return s.ByRounds != nil && len(answered(s.ByRounds)) > 0 && s.ByRounds.Layers[0].Intervals+1 >= roundsForModel
}

// Measured is the standing by the rounds alone: what stands while the profile model is being worked out. It shares the
// records and everything measured with the standing it comes from, and never asks the model for the balance.
func (s *Standing) Measured() *Standing {
	m := &Standing{
		Records: s.Records, Today: s.Today, AsOf: s.AsOf, Surface: s.Surface, Greens: s.Greens, AreaM2: s.AreaM2, Unsized: s.Unsized, Notes: s.Notes,
		Bench: s.Bench, Quality: s.Quality, Layers: s.Layers, Direction: s.Direction, responses: s.responses, Judgement: s.Judgement,
		Done: s.Done, Planned: s.Planned, Seasons: s.Seasons, Sand: s.Sand, History: s.History,
		ByRounds: s.ByRounds, Why: s.Why, byRounds: s.byRounds, prior: s.prior, taught: s.taught, was: s.was,
	}
	m.said.once.Do(func() { m.said.balance, m.said.advice = m.ByRounds, m.byRounds })
	m.said.known.Store(true)
	return m
}
