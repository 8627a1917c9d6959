package store

import (
	"database/sql/driver"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Bounds of numeric(24,6).
const (
	amountPlaces = 6
	amountDigits = 18 // before the point
)

var amountLimit = decimal.New(1, amountDigits)

// amount is a column of exact decimals: at most 18 digits before the point and
// 6 after it. What does not fit is refused, on both dialects alike.
type amount struct{ decimal.Decimal }

// GormDataType names the column type; migrations make the real one.
func (amount) GormDataType() string { return "decimal" }

// Value gives plain text without trailing zeros.
func (a amount) Value() (driver.Value, error) {
	if a.Exponent() < -amountPlaces && !a.Truncate(amountPlaces).Equal(a.Decimal) {
		return nil, fault.New(fault.Invalid, "decimal-too-fine", "%s has more than %d decimal places.", a.String(), amountPlaces)
	}
	if a.Exponent() > amountDigits || a.Abs().GreaterThanOrEqual(amountLimit) {
		return nil, fault.New(fault.Invalid, "decimal-too-large", "A number has at most %d digits before the point.", amountDigits)
	}
	return a.String(), nil
}

// Scan reads text. Trailing zeros are dropped, so that both dialects give the
// same value in the same form.
func (a *amount) Scan(src any) error {
	var text string
	switch v := src.(type) {
	case string:
		text = v
	case []byte:
		text = string(v)
	default:
		return fmt.Errorf("store: a decimal came as %T", src)
	}
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	d, err := decimal.NewFromString(text)
	if err != nil {
		return fmt.Errorf("store: a decimal is not readable: %w", err)
	}
	a.Decimal = d
	return nil
}

func amountOrNil(d *decimal.Decimal) *amount {
	if d == nil {
		return nil
	}
	return &amount{*d}
}

func decimalOrNil(a *amount) *decimal.Decimal {
	if a == nil {
		return nil
	}
	return &a.Decimal
}

// structured is a column of JSON text that holds a T.
type structured[T any] struct{ v T }

func asJSON[T any](v T) structured[T] { return structured[T]{v} }

// GormDataType names the column type.
func (structured[T]) GormDataType() string { return "text" }

// Value gives the JSON text.
func (s structured[T]) Value() (driver.Value, error) {
	text, err := json.Marshal(s.v)
	return string(text), err
}

// Scan reads the JSON text.
func (s *structured[T]) Scan(src any) error {
	switch v := src.(type) {
	case string:
		return json.Unmarshal([]byte(v), &s.v)
	case []byte:
		return json.Unmarshal(v, &s.v)
	}
	return fmt.Errorf("store: JSON came as %T", src)
}

// instant is the form in which an instant is stored: UTC, whole microseconds.
func instant(t time.Time) time.Time { return t.UTC().Truncate(time.Microsecond) }

func instantOrNil(t *time.Time) *time.Time {
	if t == nil {
		return nil
	}
	i := instant(*t)
	return &i
}

func utcOrNil(t *time.Time) *time.Time {
	if t == nil {
		return nil
	}
	u := t.UTC()
	return &u
}

// orNull stores an empty reference as NULL, which foreign keys leave alone.
func orNull(id string) *string {
	if id == "" {
		return nil
	}
	return &id
}

func orEmpty(id *string) string {
	if id == nil {
		return ""
	}
	return *id
}
