// Package mixed fits linear mixed models: fixed effects by formula, random terms nested and crossed, restricted or full
// maximum likelihood, with degrees of freedom, intervals and predictions. It knows nothing of what the numbers mean.
package mixed
