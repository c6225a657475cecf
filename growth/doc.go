// Package growth turns weather, nitrogen and clippings into how fast the grass of a green can grow, day by day.
//
//	index = GP(T) · size · ((1−b) + b·n)
//
// GP is the growth potential by temperature ([Potential]), n the season's nitrogen over [Reference], b the part of growth that
// follows nitrogen, size a correction from clippings where they are logged. Temperature gives the shape of the season
// and says little about its size: against measured clippings a temperature-only model had R² 0.01 (Zhou & Soldat
// 2021, Front Plant Sci 12:749854).
package growth
