// Package measure holds quantities with a unit, in inch and metric.
//
// Terms. A Unit is one of the few that a restoration shop counts in; it has a
// Dimension, and only units of one dimension convert into each other. Counted
// things (piece, set, lot) each have a dimension of their own: a set is not a
// number of pieces.
//
// Method and source. Factors are exact by definition: the international yard
// and pound agreement of 1959 (1 yd = 0.9144 m, so 1 in = 25.4 mm and
// 1 ft = 0.3048 m; 1 lb = 0.45359237 kg) and the US gallon of 231 cubic inches
// (3.785411784 l), as tabulated in NIST Special Publication 811 (2008),
// appendix B; a mil is a thousandth of an inch, an ounce a sixteenth of a pound,
// a quart a quarter of a gallon. Conversion multiplies before it divides and
// rounds once, half away from zero, to the places asked for.
//
// A day is a working day that is priced or rented, not 24 hours; it does not
// convert into hours, because shops work days of different length.
//
// It leaves out: temperature, pressure and speed, which belong to the packages
// that use them, compound units such as m2/h, and imperial (UK) measures of
// capacity.
package measure
