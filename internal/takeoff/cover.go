package takeoff

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// mostParts bounds the table of a cover, and with it time and memory.
const mostParts = 100_000

// choice is the best way to cover some parts: what it costs, how many parts it
// yields, how many packs it is, and the size that it takes last.
type choice struct {
	price, parts int64
	packs        int32
	last         int32
}

func (c choice) better(than choice) bool {
	switch {
	case c.price != than.price:
		return c.price < than.price
	case c.parts != than.parts:
		return c.parts < than.parts
	}
	return c.packs < than.packs
}

// buy returns how many of each size cover need at the least price. What is bought
// is a whole number of the greatest common part of the sizes, so the need is
// rounded up to such parts and a table over them is exact: the best cover of n
// parts is some size and the best cover of the rest.
func buy(need decimal.Decimal, sizes []size) ([]int, error) {
	counts := make([]int, len(sizes))
	parts, part := inParts(sizes)
	n := need.Div(part).Ceil().IntPart()
	if exact := part.Mul(decimal.NewFromInt(n)); exact.LessThan(need) {
		n++ // the quotient was cut just below a whole number
	} else if exact.Sub(part).GreaterThanOrEqual(need) && n > 0 {
		n--
	}
	n = takeBest(n, sizes, parts, counts)
	if n > mostParts {
		return nil, fault.New(fault.Invalid, "pack-sizes", "too much is needed for sizes so finely divided; round the sizes")
	}
	prices := make([]int64, len(sizes))
	for i := range sizes {
		prices[i] = priceOf(sizes[i])
	}
	table := make([]choice, n+1)
	for i := int64(1); i <= n; i++ {
		table[i] = cheapest(table, i, prices, parts)
	}
	for n > 0 {
		last := table[n].last
		counts[last]++
		n = max(n-parts[last], 0)
	}
	return counts, nil
}

func cheapest(table []choice, n int64, prices, parts []int64) (best choice) {
	for s := range parts {
		rest := table[max(n-parts[s], 0)]
		c := choice{rest.price + prices[s], rest.parts + parts[s], rest.packs + 1, int32(s)}
		if s == 0 || c.better(best) {
			best = c
		}
	}
	return best
}

// priceOf is a price in the smallest fraction that is read.
func priceOf(s size) int64 { return s.price.Shift(pricePlaces).IntPart() }

// inParts states the sizes in their greatest common part.
func inParts(sizes []size) (parts []int64, part decimal.Decimal) {
	parts, common := make([]int64, len(sizes)), int64(0)
	for i, s := range sizes {
		parts[i] = s.size.Shift(packPlaces).IntPart()
		common = gcd(common, parts[i])
	}
	for i := range parts {
		parts[i] /= common
	}
	return parts, decimal.New(common, -packPlaces)
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// takeBest takes packs of the size with the best price for a part until what is
// left fits the table. There is a best cover with fewer packs of all other sizes
// together than the best size has parts: among that many some add up to a multiple
// of it and can be exchanged at no higher price. All beyond is of the best size.
func takeBest(n int64, sizes []size, parts []int64, counts []int) int64 {
	if n <= mostParts {
		return n
	}
	best, largest := 0, int64(0)
	for i := range sizes {
		largest = max(largest, parts[i])
		if priceOf(sizes[i])*parts[best] < priceOf(sizes[best])*parts[i] {
			best = i
		}
	}
	if spare := n - parts[best]*largest; spare > 0 {
		many := spare / parts[best]
		counts[best] += int(many)
		n -= many * parts[best]
	}
	return n
}
