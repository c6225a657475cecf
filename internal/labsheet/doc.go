// Package labsheet reads any laboratory's table: CSV in any encoding and with any separator, or a workbook with several
// worksheets; headings of any words over any number of rows; one or several samples a row; numbers with a decimal comma
// or point; dates in any order; depths in any words; sieves in millimetres, micrometres, phi or by mesh number.
//
// [Read] gives a [Book] of grids. [Propose] guesses a [Rule], which says what each column holds, with its reasons and
// with a [Question] wherever two readings are possible. A person points at columns to correct it. [Apply] turns the grid
// into rows by the rule, and says at which cell what is wrong and what is allowed; it never decides between two readings
// that are both possible. [Recognise] finds the rule again for the next sheet of the same headings.
//
// Words of headings are ours, collected from the trade's ordinary language in a few European tongues; no laboratory's
// layout is built in.
package labsheet
