package pricing

import (
	"strconv"
	"testing"
	"time"

	"github.com/shopspring/decimal"
)

// quote500 is a quote of 500 lines made of the example's lines.
func quote500() Input {
	in := Example()
	pattern := in.Lines
	in.Lines = make([]Line, 0, 500)
	for i := range 500 {
		l := pattern[i%len(pattern)]
		l.ID = "L" + strconv.Itoa(i)
		in.Lines = append(in.Lines, l)
	}
	return in
}

// BenchmarkPrice500Lines prices a quote of 500 lines (budget 2 ms) and, in the
// same run, adds the 500 quantities, prices and products in a plain loop.
func BenchmarkPrice500Lines(b *testing.B) {
	in := quote500()
	quantities, prices := plainNumbers(in)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Calculate(in); err != nil {
			b.Fatal(err)
		}
	}
	perQuote := b.Elapsed() / time.Duration(b.N)
	start, sum := time.Now(), decimal.Decimal{}
	for range b.N {
		sum = decimal.Decimal{}
		for i := range quantities {
			sum = sum.Add(quantities[i].Mul(prices[i]))
		}
	}
	plain := time.Since(start) / time.Duration(b.N)
	if sum.IsZero() {
		b.Fatal("the plain loop added nothing")
	}
	b.ReportMetric(perQuote.Seconds()*1000, "ms/quote")
	b.ReportMetric(2, "ms-budget")
	b.ReportMetric(plain.Seconds()*1000, "ms-plain-sum")
	b.ReportMetric(perQuote.Seconds()/plain.Seconds(), "x-plain-sum")
}

// plainNumbers returns quantity and price (or cost) of each line, already read.
func plainNumbers(in Input) (quantities, prices []decimal.Decimal) {
	for _, l := range in.Lines {
		price := l.UnitPrice
		if price == "" {
			price = l.UnitCost
		}
		quantities = append(quantities, decimal.RequireFromString(l.Quantity))
		prices = append(prices, decimal.RequireFromString(price))
	}
	return quantities, prices
}
