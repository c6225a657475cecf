// Package coring is the plane geometry of holes and slits: how much of a green a set of tines or blades
// opens, how much comes out with the cores, and how much sand fills what was opened.
//
// It says what the geometry allows. Holes that collapse, cores that break, tines that wander and turf that
// heaves are ignored; what a course really removed is measured by weighing cores.
package coring
