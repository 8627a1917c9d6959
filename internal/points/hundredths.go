package points

import "github.com/shopspring/decimal"

// Points is a number of judged points in hundredths: 125 is 1.25 points.
type Points int64

const places = 2

// Decimal returns the value in whole points.
func (p Points) Decimal() decimal.Decimal { return decimal.New(int64(p), -places) }

// String writes two places: "1.25", "-0.50".
func (p Points) String() string { return p.Decimal().StringFixed(places) }

// MarshalJSON writes String as a JSON string.
func (p Points) MarshalJSON() ([]byte, error) { return []byte(`"` + p.String() + `"`), nil }

// rounded rounds d to hundredths, half away from zero.
func rounded(d decimal.Decimal) Points { return Points(d.Shift(places).Round(0).IntPart()) }

// Hours is a number of crew-hours in hundredths.
type Hours int64

// String writes two places.
func (h Hours) String() string { return decimal.New(int64(h), -places).StringFixed(places) }

// MarshalJSON writes String as a JSON string.
func (h Hours) MarshalJSON() ([]byte, error) { return []byte(`"` + h.String() + `"`), nil }
