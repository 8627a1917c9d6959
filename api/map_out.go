package api

import (
	"fmt"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

// etag writes a version as a strong entity tag.
func etag(version int) *string {
	tag := fmt.Sprintf(`"v%d"`, version)
	return &tag
}

// hoursText writes hours with the two places that the contract states.
func hoursText(hours decimal.Decimal) string { return hours.StringFixed(2) }

// plainText writes a percentage or quantity without trailing zeros and without
// an exponent.
func plainText(d decimal.Decimal) string { return d.String() }

// unitMoneyText writes an amount per unit with two places, or more where it has
// more.
func unitMoneyText(d decimal.Decimal) string {
	text := d.String()
	if _, places, _ := strings.Cut(text, "."); len(places) > 2 {
		return text
	}
	return d.StringFixed(2)
}

// moneyText writes an amount of a document with the places of its currency.
func moneyText(d decimal.Decimal, currency string) string {
	places := int32(2)
	if c, err := money.ParseCurrency(currency); err == nil {
		places = c.Places()
	}
	return d.StringFixed(places)
}

func dayOrNil(d domain.Day) *Day {
	if d.IsZero() {
		return nil
	}
	text := Day(d)
	return &text
}

// dayIn is the day of an instant in a zone, nil when there is no instant.
func dayIn(zone *time.Location, at *time.Time) *Day {
	if at == nil || at.IsZero() {
		return nil
	}
	return dayOrNil(domain.DayOf(*at, zone))
}

func instantOrNil(at *time.Time) *Instant {
	if at == nil || at.IsZero() {
		return nil
	}
	utc := at.UTC()
	return &utc
}

func textOrNil(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}

func hoursOrNil(hours *decimal.Decimal) *Hours {
	if hours == nil {
		return nil
	}
	text := hoursText(*hours)
	return &text
}

// each maps a list; the result is never nil, so that JSON has [] and not null.
func each[From, To any](list []From, one func(From) To) []To {
	out := make([]To, 0, len(list))
	for _, item := range list {
		out = append(out, one(item))
	}
	return out
}

// texts returns the list itself, or an empty one for nil.
func texts(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
