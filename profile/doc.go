// Package profile is the mass balance of sand and organic matter by depth under one green.
//
// A column is a stack of parcels, each with mineral mass s and two pools of organic mass, slow o and fast q, per
// area [kg/m²]. Parcels keep their material and sink as sand is laid above them. What happens to a column:
//
//	growth      κ·g(t) [kg/m²/a] of organic matter is made, spread by depth as [Rooting] says; a share enters the fast pool
//	decay       do/dt = −k·r(T)·o for each pool; a part of what leaves the fast pool becomes slow ([Rates])
//	topdressing sand on top, worked into the top few millimetres ([Column.Lay])
//	coring      a share of every parcel down to the depth leaves, sand goes into the holes ([Column.Open])
//	scarifying  the same with slits
//	injection   sand between two depths, nothing leaves ([Column.Inject]); solid tines with fill are this too
//
// and what is measured is organic over total mass between two depths below the surface of that day
// ([Column.Between]). Thickness of a parcel: h = s/ρs + (o+q)/ρo (additive volumes, Federer et al. 1993, Can J For
// Res 23:1026–1032).
//
// Weather and nitrogen drive a run day by day ([Forcing]); the places of the parcels are taken afresh at every piece of
// work, every sampling and at least every [Settings].Step days. Work of one green and the looks at it make a [Track],
// which is run from the first profile ([Track.Run]), for what is seen alone ([Track.Read]), or on from a state
// ([Track.Resume]). Every run carries its derivatives by the unknowns along when asked ([Track.NewColumn]) and keeps
// its mass account ([Account]), which closes to rounding or the run is an error.
//
// Derivation, assumptions, limits and sources: docs/model/profile.md.
package profile
