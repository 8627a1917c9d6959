// Package figures holds published and hand-worked checks of calculations whose
// answers are named figures with units: films of paint and takeoffs. A check is a
// file with its source, the steps that lead to the figures, one input, and what is
// wanted of the answer, each figure in the unit in which its source prints it.
//
// A figure holds when it lies within half a unit of the last digit that the source
// prints, or within a bound that the check states with its reason.
package figures
