// Package label sets the papers of a sampling round as PDF: labels for the bags, each with a code that a phone reads and
// the same text for people, and the field sheet that leads round the greens. The same contents make the same bytes.
//
// It takes texts and millimetres and knows no record: what is on a label was decided elsewhere.
package label
