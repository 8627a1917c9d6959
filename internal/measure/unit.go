package measure

import (
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Unit is the short sign of a unit, as stored and as sent in JSON.
type Unit string

// The units.
const (
	Hour            Unit = "h"
	Day             Unit = "day" // a working or rental day
	Piece           Unit = "pc"
	Set             Unit = "set"
	Lot             Unit = "lot"
	Metre           Unit = "m"
	Millimetre      Unit = "mm"
	Micrometre      Unit = "um" // of films
	Inch            Unit = "in"
	Foot            Unit = "ft"
	Mil             Unit = "mil" // a thousandth of an inch, of films
	SquareMetre     Unit = "m2"
	SquareDecimetre Unit = "dm2"
	SquareInch      Unit = "in2"
	SquareFoot      Unit = "ft2"
	Kilogram        Unit = "kg"
	Gram            Unit = "g"
	Pound           Unit = "lb"
	Ounce           Unit = "oz" // avoirdupois, of weight
	Litre           Unit = "l"
	Millilitre      Unit = "ml"
	Gallon          Unit = "gal" // US liquid gallon
	Quart           Unit = "qt"  // US liquid quart
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
	{Micrometre, Length, exact("0.000001")},
	{Inch, Length, exact("0.0254")},
	{Foot, Length, exact("0.3048")},
	{Mil, Length, exact("0.0000254")},
	{SquareMetre, Area, exact("1")},
	{SquareDecimetre, Area, exact("0.01")},
	{SquareInch, Area, exact("0.00064516")}, // 0.0254 squared
	{SquareFoot, Area, exact("0.09290304")}, // 0.3048 squared
	{Kilogram, Mass, exact("1")},
	{Gram, Mass, exact("0.001")},
	{Pound, Mass, exact("0.45359237")},
	{Ounce, Mass, exact("0.028349523125")}, // a sixteenth of a pound
	{Litre, Capacity, exact("1")},
	{Millilitre, Capacity, exact("0.001")},
	{Gallon, Capacity, exact("3.785411784")}, // 231 in3 at 0.254 dm
	{Quart, Capacity, exact("0.946352946")},  // a quarter of a gallon
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

// refusal names every unit, so that it stays true when one is added.
var refusal = refuse()

func refuse() string {
	signs := make([]string, len(definitions))
	for i, d := range definitions {
		signs[i] = string(d.unit)
	}
	return "the unit must be one of " + strings.Join(signs, ", ")
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
		return "", fault.New(fault.Invalid, "unknown-unit", "%s", refusal)
	}
	return d.unit, nil
}

// Dimension returns what u measures, or "" when u is not a known unit.
func (u Unit) Dimension() Dimension { return byUnit[u].dimension }

// Known reports whether u is one of the units.
func (u Unit) Known() bool { _, ok := byUnit[u]; return ok }
