package money

import (
	"math/big"
	"sort"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// Allocate divides a into n equal parts by largest remainder: 33.34 over four
// is 8.34, 8.34, 8.33, 8.33. A negative amount is divided as its positive and
// negated. The parts add up to a. For n < 1 it returns nil. O(n).
func (a Amount) Allocate(n int) []Amount {
	if n < 1 {
		return nil
	}
	weights := make([]decimal.Decimal, n)
	for i := range weights {
		weights[i] = decimal.NewFromInt(1)
	}
	parts, err := a.AllocateBy(weights)
	if err != nil {
		panic("money: equal weights refused: " + err.Error()) // cannot happen: all weights are one
	}
	return parts
}

// AllocateBy divides a in proportion to weights by largest remainder; of equal
// remainders the first listed wins. The parts add up to a, and a zero weight
// gets nothing. No weights, a negative weight, or weights that are all zero
// are a fault.Invalid "allocation-weights". O(n log n).
func (a Amount) AllocateBy(weights []decimal.Decimal) ([]Amount, error) {
	shares, total, err := integerWeights(weights)
	if err != nil {
		return nil, err
	}
	size := new(big.Int).Abs(a.units())
	left := new(big.Int).Set(size)
	parts := make([]*big.Int, len(shares))
	remainders := make([]*big.Int, len(shares))
	for i, share := range shares {
		product := new(big.Int).Mul(size, share)
		parts[i], remainders[i] = new(big.Int).QuoRem(product, total, new(big.Int))
		left.Sub(left, parts[i])
	}
	handOut(left.Int64(), parts, remainders) // fewer left than parts, so it fits
	return a.fromParts(parts), nil
}

// handOut gives one minor unit each to the left parts with the largest remainders.
func handOut(left int64, parts, remainders []*big.Int) {
	order := make([]int, len(parts))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool {
		return remainders[order[i]].Cmp(remainders[order[j]]) > 0
	})
	one := big.NewInt(1)
	for _, i := range order[:left] {
		parts[i].Add(parts[i], one)
	}
}

func (a Amount) fromParts(parts []*big.Int) []Amount {
	amounts := make([]Amount, len(parts))
	for i, part := range parts {
		if a.Sign() < 0 {
			part.Neg(part)
		}
		amounts[i] = at(decimal.NewFromBigInt(part, -a.currency.places), a.currency)
	}
	return amounts
}

// integerWeights scales weights to integers in the same proportion and adds them.
func integerWeights(weights []decimal.Decimal) (shares []*big.Int, total *big.Int, err error) {
	places := int32(0)
	for _, w := range weights {
		if w.Sign() < 0 {
			return nil, nil, fault.New(fault.Invalid, "allocation-weights", "a share cannot be negative")
		}
		places = max(places, -w.Exponent())
	}
	total = new(big.Int)
	shares = make([]*big.Int, len(weights))
	for i, w := range weights {
		shares[i] = w.Shift(places).BigInt()
		total.Add(total, shares[i])
	}
	if total.Sign() == 0 {
		return nil, nil, fault.New(fault.Invalid, "allocation-weights", "there is nothing to divide by: every share is zero")
	}
	return shares, total, nil
}
