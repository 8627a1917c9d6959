package money

import (
	"sort"

	"bareframe/internal/fault"
)

// Currency is an ISO 4217 currency with its minor unit. The zero value is no
// currency: it has no code and amounts in it add only to each other.
type Currency struct {
	code   string
	places int32
}

// minorUnits lists ISO 4217 alphabetic codes by the places of their minor unit.
// Source: ISO 4217 list one (current currencies); testdata/money/minor_units.json
// checks them against a published copy and says which are from memory.
var minorUnits = map[int32][]string{
	0: {"BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF",
		"UGX", "VND", "VUV", "XAF", "XOF", "XPF"},
	2: {"AED", "ALL", "AMD", "AOA", "ARS", "AUD", "AWG", "AZN", "BAM",
		"BBD", "BDT", "BMD", "BND", "BOB", "BRL", "BSD", "BWP", "BZD",
		"CAD", "CHF", "CNY", "COP", "CRC", "CVE", "CZK", "DKK", "DOP", "DZD",
		"EGP", "ETB", "EUR", "FJD", "GBP", "GEL", "GHS", "GIP", "GTQ", "GYD",
		"HKD", "HNL", "HUF", "IDR", "ILS", "INR", "JMD", "KES", "KGS", "KHR",
		"KYD", "KZT", "LAK", "LBP", "LKR", "MAD", "MDL", "MKD", "MNT", "MOP",
		"MUR", "MVR", "MXN", "MYR", "MZN", "NAD", "NGN", "NIO", "NOK", "NPR",
		"NZD", "PAB", "PEN", "PGK", "PHP", "PKR", "PLN", "QAR", "RON", "RSD",
		"RUB", "SAR", "SCR", "SEK", "SGD", "SRD", "THB", "TRY", "TTD", "TWD",
		"TZS", "UAH", "USD", "UYU", "UZS", "WST", "XCD", "XCG", "ZAR", "ZMW"},
	3: {"BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"},
}

var currencies = indexCurrencies()

func indexCurrencies() map[string]Currency {
	index := map[string]Currency{}
	for places, codes := range minorUnits {
		for _, code := range codes {
			index[code] = Currency{code: code, places: places}
		}
	}
	return index
}

// ParseCurrency returns the currency with an ISO 4217 alphabetic code in upper
// case. An unknown code is a fault.Invalid with the code "unknown-currency".
func ParseCurrency(code string) (Currency, error) {
	c, ok := currencies[code]
	if !ok {
		return Currency{}, fault.New(fault.Invalid, "unknown-currency",
			"the currency must be an ISO 4217 code in capitals, such as USD or EUR")
	}
	return c, nil
}

// Currencies returns the codes that ParseCurrency knows, sorted.
func Currencies() []string {
	codes := make([]string, 0, len(currencies))
	for code := range currencies {
		codes = append(codes, code)
	}
	sort.Strings(codes)
	return codes
}

// Code returns the ISO 4217 alphabetic code, such as "EUR".
func (c Currency) Code() string { return c.code }

// Places returns the decimal places of the minor unit: 0, 2 or 3.
func (c Currency) Places() int32 { return c.places }

// String returns the code.
func (c Currency) String() string { return c.code }

// MarshalText writes the code.
func (c Currency) MarshalText() ([]byte, error) { return []byte(c.code), nil }

// UnmarshalText reads a code as ParseCurrency does.
func (c *Currency) UnmarshalText(text []byte) error {
	parsed, err := ParseCurrency(string(text))
	if err != nil {
		return err
	}
	*c = parsed
	return nil
}
