// Package season turns a direction and a balance into advice for a season: how much sand, in which dressings,
// to which depth, what coring would add, and how sure all that is.
//
// It never aims at an amount of organic matter for its own sake: without a direction from the surface there is
// no advice, only the fact of what holding would take. The search for a dated plan comes on top of this.
package season
