package measure

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Unit is the short sign of a unit, as stored and as sent in JSON.
type Unit string

// The units.
const (
	Hour        Unit = "h"
	Day         Unit = "day" // a working or rental day
	Piece       Unit = "pc"
	Set         Unit = "set"
	Lot         Unit = "lot"
	Millimetre  Unit = "mm"
	Metre       Unit = "m"
	Inch        Unit = "in"
	Foot        Unit = "ft"
	SquareMetre Unit = "m2"
	SquareFoot  Unit = "ft2"
	Kilogram    Unit = "kg"
	Pound       Unit = "lb"
	Litre       Unit = "l"
	Gallon      Unit = "gal" // US liquid gallon
)

// Dimension is what a unit measures.
type Dimension string

// The dimensions.
const (
	Work     Dimension = "work"
	Days     Dimension = "days"
	Pieces   Dimension = "pieces"
	Sets     Dimension = "sets"
	Lots     Dimension = "lots"
	Length   Dimension = "length"
	Area     Dimension = "area"
	Mass     Dimension = "mass"
	Capacity Dimension = "capacity"
)

type definition struct {
	unit      Unit
	dimension Dimension
	factor    decimal.Decimal // of the dimension's first unit; exact
}

// definitions is in the order in which Units lists them.
var definitions = []definition{
	{Hour, Work, exact("1")},
	{Day, Days, exact("1")},
	{Piece, Pieces, exact("1")},
	{Set, Sets, exact("1")},
	{Lot, Lots, exact("1")},
	{Metre, Length, exact("1")},
	{Millimetre, Length, exact("0.001")},
	{Inch, Length, exact("0.0254")},
	{Foot, Length, exact("0.3048")},
	{SquareMetre, Area, exact("1")},
	{SquareFoot, Area, exact("0.09290304")}, // 0.3048 squared
	{Kilogram, Mass, exact("1")},
	{Pound, Mass, exact("0.45359237")},
	{Litre, Capacity, exact("1")},
	{Gallon, Capacity, exact("3.785411784")}, // 231 in3 at 0.254 dm
}

func exact(s string) decimal.Decimal { return decimal.RequireFromString(s) }

var byUnit = indexUnits()

func indexUnits() map[Unit]definition {
	index := make(map[Unit]definition, len(definitions))
	for _, d := range definitions {
		index[d.unit] = d
	}
	return index
}

// Units returns every unit, grouped by dimension, always in the same order.
func Units() []Unit {
	units := make([]Unit, len(definitions))
	for i, d := range definitions {
		units[i] = d.unit
	}
	return units
}

// ParseUnit returns the unit with the sign s, which is case-sensitive. An
// unknown sign is a fault.Invalid "unknown-unit".
func ParseUnit(s string) (Unit, error) {
	d, ok := byUnit[Unit(s)]
	if !ok {
		return "", fault.New(fault.Invalid, "unknown-unit",
			"the unit must be one of h, day, pc, set, lot, m, mm, in, ft, m2, ft2, kg, lb, l, gal")
	}
	return d.unit, nil
}

// Dimension returns what u measures, or "" when u is not a known unit.
func (u Unit) Dimension() Dimension { return byUnit[u].dimension }

// Known reports whether u is one of the units.
func (u Unit) Known() bool { _, ok := byUnit[u]; return ok }
