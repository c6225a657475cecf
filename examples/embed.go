// Package examples carries the invented courses that demo, tests and documentation use. Nothing in them is real.
package examples

import "embed"

// Files holds the packages, one folder each.
//
//go:embed varrowmere second
var Files embed.FS

// Packages names the folders of [Files] in the order in which a demo loads them.
func Packages() []string { return []string{"varrowmere", "second"} }
