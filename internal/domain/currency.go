package domain

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Bounds of a shop's currencies.
const (
	MostCurrencies = 20
	mostRate       = 1_000_000
	ratePlaces     = 6
)

// ShopCurrency is a currency besides the shop's own in which jobs may be quoted.
type ShopCurrency struct {
	Code string          `json:"code"` // ISO 4217
	Rate decimal.Decimal `json:"rate"` // units of it for one unit of the shop's own
	On   Day             `json:"on"`   // the day that the owner read the rate
}

// CurrencyFor returns a currency in which a new job can be quoted: the shop's own
// at 1, or one of its list. No code means the shop's own.
func (s ShopSettings) CurrencyFor(code string) (ShopCurrency, bool) {
	if code == "" || code == s.Currency {
		return ShopCurrency{Code: s.Currency, Rate: decimal.NewFromInt(1)}, true
	}
	i := slices.IndexFunc(s.Currencies, func(c ShopCurrency) bool { return c.Code == code })
	if i < 0 {
		return ShopCurrency{}, false
	}
	return s.Currencies[i], true
}

func (s ShopSettings) currencyFaults(c *fault.Collector) {
	if len(s.Currencies) > MostCurrencies {
		c.Add("/currencies", "A shop has at most %d currencies besides its own.", MostCurrencies)
	}
	seen := map[string]bool{s.Currency: true}
	for i, x := range s.Currencies {
		at := fmt.Sprintf("/currencies/%d", i)
		switch _, err := money.ParseCurrency(x.Code); {
		case err != nil:
			c.Add(at+"/code", "%q is not a currency this shop can use; give an ISO 4217 code such as USD.", x.Code)
		case x.Code == s.Currency:
			c.Add(at+"/code", "%s is the shop's own currency.", x.Code)
		case seen[x.Code]:
			c.Add(at+"/code", "%s stands twice.", x.Code)
		}
		seen[x.Code] = true
		switch {
		case !x.Rate.IsPositive():
			c.Add(at+"/rate", "A rate is more than nothing: how many %s one %s is.", x.Code, s.Currency)
		case x.Rate.GreaterThan(decimal.NewFromInt(mostRate)):
			c.Add(at+"/rate", "A rate is at most %d.", mostRate)
		case !x.Rate.Equal(x.Rate.Truncate(ratePlaces)):
			c.Add(at+"/rate", "A rate has at most %d decimal places.", ratePlaces)
		}
		if _, err := ParseDay(string(x.On)); err != nil {
			c.Add(at+"/on", "Say of which day the rate is, such as 2027-03-31.")
		}
	}
}

// Rate is the job's rate of exchange, 1 in the shop's own currency.
func (j Job) Rate() decimal.Decimal {
	if j.ExchangeRate.IsZero() {
		return decimal.NewFromInt(1)
	}
	return j.ExchangeRate
}

// At states the prices of a book in another currency; each is rounded by
// money.ConvertPrice. Markups are percents and vendors have no price, so they stay.
// Errors: none. O(rows).
func (b PriceBook) At(rate decimal.Decimal) PriceBook {
	if rate.Equal(decimal.NewFromInt(1)) {
		return b
	}
	out := PriceBook{Labour: slices.Clone(b.Labour), Materials: slices.Clone(b.Materials), Vendors: b.Vendors}
	for i, r := range out.Labour {
		out.Labour[i].CostRate, out.Labour[i].SellRate = money.ConvertPrice(r.CostRate, rate), money.ConvertPrice(r.SellRate, rate)
	}
	for i, m := range out.Materials {
		out.Materials[i].UnitCost, out.Materials[i].Packs = money.ConvertPrice(m.UnitCost, rate), slices.Clone(m.Packs)
		for k, p := range m.Packs {
			out.Materials[i].Packs[k].Cost = money.ConvertPrice(p.Cost, rate)
		}
	}
	return out
}

// In states the charges in another currency, each to its minor unit.
func (t StopTerms) In(code string, rate decimal.Decimal) StopTerms {
	in, err := money.ParseCurrency(code)
	if err != nil || rate.Equal(decimal.NewFromInt(1)) {
		return t
	}
	for _, d := range []*decimal.Decimal{&t.Teardown, &t.Reassembly, &t.StoragePerDay} {
		*d = money.Convert(*d, rate, in).Decimal()
	}
	return t
}

// PricesFor is the price book as it holds on a day, in a job's currency.
func (s Shop) PricesFor(j Job, day Day) PriceBook { return s.PriceBook.On(day).At(j.Rate()) }

// BasisFor is what the shop prices a job with on a day, in the job's currency.
func (s Shop) BasisFor(j Job, day Day) PriceBasis {
	b := s.Basis(day)
	b.Labour = PriceBook{Labour: b.Labour}.At(j.Rate()).Labour
	b.Stopping = b.Stopping.In(j.Currency, j.Rate())
	return b
}
