// Package exchange reads and writes whole packages of the exchange format: a folder of plain CSV tables, outlines as
// GeoJSON and a description after the Data Package standard (version 2).
//
// [Read] streams: each row is judged as it is met, against the rows before it and against what a store holds
// ([Lookup]), and handed on as a record; memory does not grow with the size of cells or files, only by some 30 bytes
// for each key. Every problem is reported, not only the first, and nothing is handed on after the first one unless
// partial reading is asked for. [Write] puts records back so that reading them again gives the same records.
//
// Cells are data: a text that a spreadsheet would take for a formula ("=1+1") is read and written unaltered, because
// a package must come back as it went out. Whoever opens a package in a spreadsheet should import its columns as text.
package exchange
