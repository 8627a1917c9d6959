package money

import "github.com/shopspring/decimal"

// PricePlaces is how many decimals a converted price of one unit carries.
const PricePlaces = 4

// ConvertPrice is the price of one unit in another currency, at a rate of units
// of that currency for one unit of the price's own: the one point at which a
// converted price is rounded, to PricePlaces, half away from zero. Totals are
// never converted; they are added up of lines in one currency.
func ConvertPrice(price, rate decimal.Decimal) decimal.Decimal {
	if rate.Equal(one) {
		return price
	}
	return price.Mul(rate).Round(PricePlaces)
}

// Convert is an amount in the currency in, rounded to its minor unit, half away
// from zero. It is for charges that are stated as a sum, not for totals of lines.
func Convert(sum, rate decimal.Decimal, in Currency) Amount { return Round(sum.Mul(rate), in) }

var one = decimal.NewFromInt(1)
