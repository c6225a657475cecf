package findings

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// quantile is the value a Student t variable with df degrees of freedom stays below with
// probability p. No degrees of freedom (0) means the spread was not estimated but assumed: then it
// is the normal quantile.
func quantile(p, df float64) float64 {
	if df <= 0 || math.IsInf(df, 1) {
		return distuv.UnitNormal.Quantile(p)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(p)
}

// below is the probability that a Student t variable with df degrees of freedom is below t; the
// normal probability where df is 0, as in quantile.
func below(t, df float64) float64 {
	if df <= 0 || math.IsInf(df, 1) {
		return distuv.UnitNormal.CDF(t)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.CDF(t)
}

// probabilityBelow is the chance that the true value behind estimate ± se lies below limit.
func probabilityBelow(limit, estimate, se, df float64) float64 {
	switch {
	case math.IsInf(limit, 0), se == 0:
		switch {
		case estimate < limit:
			return 1
		case estimate > limit:
			return 0
		}
		return 0.5
	}
	return below((limit-estimate)/se, df)
}

// smallestSeen is the smallest true difference that a two-sided 5 % test would see 8 times in 10:
//
//	δ = (t(0.975, ν) + t(0.8, ν))·se
//
// with se the standard error of the estimate in its own unit and ν [1] its degrees of freedom. It
// leaves out the far tail and uses central t in place of non-central t.
// Source: the usual sample-size approximation, as in Snedecor & Cochran, Statistical Methods (from memory).
func smallestSeen(se, df float64) float64 {
	return (quantile(0.975, df) + quantile(0.8, df)) * se
}
