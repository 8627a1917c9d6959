package takeoff

import (
	"math"
	"strconv"

	"github.com/shopspring/decimal"
)

// Gauge is a number of the Manufacturers' Standard Gauge for uncoated sheet steel.
// The gauge is defined by weight; thickness is that weight over the conventional
// 41.82 lb/ft2 for an inch.
type Gauge struct {
	Number int
	LbFt2  decimal.Decimal // by definition
}

// gauges are the sheets that a frame is made of. Source: Manufacturers' Standard
// Gauge for sheet steel; the rows not named in testdata/takeoff are from memory.
var gauges = []Gauge{
	gauge(7, "7.5"), gauge(8, "6.875"), gauge(9, "6.25"), gauge(10, "5.625"), gauge(11, "5"), gauge(12, "4.375"), gauge(13, "3.75"),
	gauge(14, "3.125"), gauge(15, "2.8125"), gauge(16, "2.5"), gauge(17, "2.25"), gauge(18, "2"), gauge(19, "1.75"), gauge(20, "1.5"),
	gauge(21, "1.375"), gauge(22, "1.25"), gauge(23, "1.125"), gauge(24, "1"),
}

func gauge(n int, lbFt2 string) Gauge { return Gauge{n, decimal.RequireFromString(lbFt2)} }

var (
	conventional = decimal.RequireFromString("41.82") // lb/ft2 for an inch
	inchMM       = decimal.RequireFromString("25.4")
)

const nearGauge = 0.05

// Gauges lists the gauges, from thick to thin.
func Gauges() []Gauge { return append([]Gauge{}, gauges...) }

// Inches is the thickness as tables print it, to 0.0001 in.
func (g Gauge) Inches() decimal.Decimal { return g.LbFt2.DivRound(conventional, 4) }

// MM is the printed thickness in mm, to 0.01 mm.
func (g Gauge) MM() decimal.Decimal { return g.Inches().Mul(inchMM).Round(2) }

// String writes a gauge as "16 ga (1.52 mm)".
func (g Gauge) String() string {
	return strconv.Itoa(g.Number) + " ga (" + g.MM().StringFixed(2) + " mm)"
}

// rungs are the gauges, ready to compare with.
var rungs = measured()

type rung struct {
	gauge Gauge
	mm    float64
	words string
}

func measured() []rung {
	out := make([]rung, len(gauges))
	for i, g := range gauges {
		out[i] = rung{g, g.MM().InexactFloat64(), g.String()}
	}
	return out
}

// NearestGauge is the gauge nearest to a thickness; ok is false when none lies
// within 5 percent of it, which is half the step between two.
func NearestGauge(mm decimal.Decimal) (g Gauge, ok bool) {
	r, ok := nearest(mm.InexactFloat64())
	if !ok {
		return Gauge{}, false
	}
	return r.gauge, true
}

func nearest(mm float64) (r *rung, ok bool) {
	least := mm * nearGauge
	for i := range rungs {
		if off := math.Abs(rungs[i].mm - mm); mm > 0 && off <= least {
			r, least, ok = &rungs[i], off, true
		}
	}
	return r, ok
}
