// Package calibrate learns the unknowns of the profile model from a course's own rounds, says how sure they are, and
// forecasts layers under planned work.
//
// The unknowns are those of [profile.Table] for the course, and for each green a factor on growth and one on the first surface value,
// shrunk to the course. What was measured is taken as
//
//	ln OM = ln f(course, green, day, layer) + δ(round, layer) + e
//	ln mass = ln M(course, green, day, layer) + corer + e
//
// δ is the discrepancy between model and greens that all greens of a round share; its size is estimated with the
// rest, as are the scatter of composites in each layer and the spread between greens. The answer is the mode of the posterior, found by
// Gauss–Newton with the exact derivatives of the run, and the normal distribution of its curvature there (Laplace);
// a sampler that knows nothing of normality checks it ([Fit.Sample]).
//
// Derivation, assumptions, limits and sources: docs/model/calibrate.md.
package calibrate
