// Package say puts what the program works out into the units, the order of dates and the language of the person who reads
// it.
//
// Everything is worked out and composed in metric units. A quantity in other units is its metric reading, converted: "12.4
// mm" reads "0.49 in" wherever it stands, in a sentence, a table or a picture, because the metric reading is what is
// converted. So the same quantity reads the same on every page, whoever composed the words, and a reader of metric units
// gets the words untouched.
//
// Another language works the same way: finished English words are read back into the phrases of the source, which the
// catalogue lists, and said in the language. Texts of templates come from the catalogue by their keys.
package say
