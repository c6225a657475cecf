// Package underfoot holds the records an agronomist keeps about putting greens – courses, greens, samples,
// weighings, work, readings, weather, sands – with the rules each must satisfy by itself, the contract of the store
// that keeps them, and the kinds of error the program distinguishes. It does no input or output.
//
// Every record type is one table of the exchange format: its struct tags name the columns, their units and what is
// allowed in them, and that one description serves the reader and writer of packages, the store, the history, the
// forms and the documentation (see [Table]).
package underfoot
