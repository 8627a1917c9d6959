package paper

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
)

//go:embed quote.html
var quoteSource string

//go:embed document.css
var documentStyle string

// StyleSheet is the one style sheet of every document, for the security policy
// that allows it by its hash.
func StyleSheet() string { return documentStyle }

// QuoteData is what a quote's document is written from. Nothing of it is the
// owner's own: cost and margin are not read.
type QuoteData struct {
	Shop   domain.Shop
	Job    domain.Job
	Client domain.Person
	Quote  domain.Quote
}

var quoteTemplate = template.Must(template.New("quote").Funcs(template.FuncMap{
	"day":        day,
	"money":      grouped,
	"lines":      func(s string) []string { return strings.Split(strings.TrimSpace(s), "\n") },
	"choice":     choice,
	"style":      func() template.CSS { return template.CSS(documentStyle) },
	"percentage": func(p string) string { return p + " %" },
}).Parse(quoteSource))

// Quote writes a quote's document. Money is grouped by thousands with a point
// for decimals and the ISO 4217 code; days are written out.
func Quote(d QuoteData) ([]byte, error) {
	zone := d.Shop.Zone()
	currency, err := money.ParseCurrency(d.Quote.Currency)
	if err != nil {
		return nil, fmt.Errorf("writing quote %s: %w", d.Quote.Number, err)
	}
	var out bytes.Buffer
	err = quoteTemplate.Execute(&out, struct {
		QuoteData
		Net, Tax, Total string
		Issued, Expires string
		Options         []string
		Stopping        []string
	}{d, fixed(d.Quote.Net, currency), fixed(d.Quote.Tax, currency), fixed(d.Quote.Total, currency),
		d.Quote.IssuedAt.In(zone).Format("2 January 2006"), d.Quote.ExpiresAt.In(zone).Add(-time.Second).Format("2 January 2006"), options(d.Job),
		stopping(d.Quote.Basis.Stopping, currency)})
	if err != nil {
		return nil, fmt.Errorf("writing quote %s: %w", d.Quote.Number, err)
	}
	return out.Bytes(), nil
}

// stopping states the charges that may be made when the work stops early, so
// that they were on the estimate.
func stopping(t domain.StopTerms, c money.Currency) []string {
	amount := func(d decimal.Decimal) string { return grouped(fixed(d, c)) + " " + c.Code() }
	var out []string
	if t.Teardown.IsPositive() {
		out = append(out, fmt.Sprintf("Teardown %s, where it is not billed by its hours.", amount(t.Teardown)))
	}
	if t.Reassembly.IsPositive() {
		out = append(out, fmt.Sprintf("Reassembly %s, where the car was taken apart and is not together again.", amount(t.Reassembly)))
	}
	if t.StoragePerDay.IsPositive() {
		out = append(out, fmt.Sprintf("Storage %s a day after the first %d days.", amount(t.StoragePerDay), t.StorageFreeDays))
	}
	return out
}

// fixed renders a total with the places of its currency.
func fixed(v decimal.Decimal, c money.Currency) string { return v.StringFixed(c.Places()) }

// grouped groups the digits of a fixed-place amount by thousands.
func grouped(amount string) string {
	sign, rest := "", amount
	if strings.HasPrefix(rest, "-") {
		sign, rest = "−", rest[1:]
	}
	whole, fraction, _ := strings.Cut(rest, ".")
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if fraction != "" {
		whole += "." + fraction
	}
	return sign + whole
}

func day(d domain.Day) string {
	t, err := time.Parse(time.DateOnly, string(d))
	if err != nil {
		return ""
	}
	return t.Format("2 January 2006")
}

// options says in words how the vehicle is fitted out.
func options(j domain.Job) []string {
	var out []string
	for _, o := range j.VehicleOptions {
		if c := choice(o, j.Vehicle.Options[o.Key]); c != "" {
			out = append(out, o.Name+": "+c)
		}
	}
	return out
}

func choice(o domain.VehicleOption, key string) string {
	for _, c := range o.Choices {
		if c.Key == key {
			return c.Name
		}
	}
	return ""
}
