// Package report turns the standing of a course into the report that is handed to those who pay: first a model of the
// page in plain structs, then print HTML. It reckons nothing; every number in it is one of the standing's, written out.
package report
