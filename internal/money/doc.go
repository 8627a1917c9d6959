// Package money holds exact amounts in a currency and is the only package that
// rounds them.
//
// Terms. An Amount is a whole number of minor units (cents, pence, yen) of one
// Currency. Places is the number of decimal places of the minor unit after
// ISO 4217. Weights are the shares by which an amount is divided.
//
// Method. Values are decimals (github.com/shopspring/decimal), never binary
// floating point. Rounding is half away from zero to the minor unit, the usual
// commercial rule; for positive amounts it is what section 324 of the
// Streamlined Sales and Use Tax Agreement asks of tax (a third decimal of five
// or more makes a cent). Division into parts is by largest remainder (Hamilton's
// method): every part gets its share rounded towards zero, and the minor units
// left over go one each to the parts with the largest remainder; of equal
// remainders the first listed wins. Parts therefore always add up to the whole.
//
// Amounts of two currencies never add, subtract or compare: that is an error.
//
// Units: an Amount prints with exactly the places of its currency ("12.30",
// "1200" yen, "1.500" dinar). In JSON it is that string; the currency stands
// once in the document and not beside every amount.
//
// It leaves out: exchange rates, cash rounding (5-cent coins), and words or
// signs for currencies, which belong to the screen's locale.
package money
