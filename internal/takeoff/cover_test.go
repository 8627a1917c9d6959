package takeoff

import (
	"fmt"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/fault"
)

// Worked by hand.
func TestCheapestCover(t *testing.T) {
	for _, r := range []struct {
		name, need  string
		sizes       []Size
		buy         []Bought
		price, left string
	}{
		{"nothing", "0", []Size{{"1", "3"}}, []Bought{}, "0", "0"},
		{"singles beat a second large can", "7.3", []Size{{"1", "30"}, {"5", "120"}}, []Bought{{"1", 3}, {"5", 1}}, "210", "0.7"},
		{"a second large can beats singles", "9.2", []Size{{"1", "30"}, {"5", "120"}}, []Bought{{"5", 2}}, "240", "0.8"},
		{"exactly a can", "5", []Size{{"1", "30"}, {"5", "120"}}, []Bought{{"5", 1}}, "120", "0"},
		{"a drop more than a can", "5.000001", []Size{{"1", "30"}, {"5", "120"}}, []Bought{{"1", 1}, {"5", 1}}, "150", "0.999999"},
		{"the same price: less is left over", "4", []Size{{"5", "10"}, {"4", "10"}}, []Bought{{"4", 1}}, "10", "0"},
		{"the same price and rest: fewer packs", "4", []Size{{"1", "2"}, {"4", "8"}, {"2", "4"}}, []Bought{{"4", 1}}, "8", "0"},
		{"a large can for less than the small", "0.3", []Size{{"0.25", "14.00"}, {"1", "20.00"}}, []Bought{{"1", 1}}, "20", "0.7"},
		{"free of charge", "3", []Size{{"2", "0"}}, []Bought{{"2", 2}}, "0", "1"},
		{"sizes of one sort only", "83.8368", []Size{{"25", "22"}}, []Bought{{"25", 4}}, "88", "16.1632"},
		{"US cans in litres", "5", []Size{{"0.946", "20"}, {"3.785", "60"}}, []Bought{{"0.946", 2}, {"3.785", 1}}, "100", "0.677"},
	} {
		got, err := CheapestCover(decimal.RequireFromString(r.need), r.sizes)
		if err != nil {
			t.Errorf("%s: %v", r.name, err)
			continue
		}
		if !slices.Equal(got.Buy, r.buy) || !got.Price.Equal(decimal.RequireFromString(r.price)) || !got.Left.Equal(decimal.RequireFromString(r.left)) {
			t.Errorf("%s: got %v at %s with %s left, want %v at %s with %s", r.name, got.Buy, got.Price, got.Left, r.buy, r.price, r.left)
		}
	}
}

// Against every combination there is.
func TestNoCoverIsCheaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need := rapid.Int64Range(0, 120).Draw(t, "need in quarters")
		var sizes []Size
		var parts, prices []int64
		for range rapid.IntRange(1, 3).Draw(t, "sizes") {
			parts = append(parts, rapid.Int64Range(1, 40).Draw(t, "size in quarters"))
			prices = append(prices, rapid.Int64Range(0, 50).Draw(t, "price"))
			sizes = append(sizes, Size{quarters(parts[len(parts)-1]).String(), fmt.Sprint(prices[len(prices)-1])})
		}
		got, err := CheapestCover(quarters(need), sizes)
		if err != nil {
			t.Fatal(err)
		}
		best, found := [3]int64{}, false // price, rest, packs
		var try func(s int, left, price, packs int64)
		try = func(s int, left, price, packs int64) {
			if left <= 0 {
				if now := [3]int64{price, -left, packs}; !found || slices.Compare(now[:], best[:]) < 0 {
					best, found = now, true
				}
				return
			}
			if s == len(parts) {
				return
			}
			for n := int64(0); ; n++ {
				try(s+1, left-n*parts[s], price+n*prices[s], packs+n)
				if left-n*parts[s] <= 0 {
					return
				}
			}
		}
		try(0, need, 0, 0)
		packs := int64(0)
		for _, b := range got.Buy {
			packs += int64(b.Count)
		}
		if !got.Price.Equal(decimal.NewFromInt(best[0])) || !got.Left.Equal(quarters(best[1])) || packs != best[2] {
			t.Fatalf("got %s, %s left, %d packs; want %d, %s, %d", got.Price, got.Left, packs, best[0], quarters(best[1]), best[2])
		}
	})
}

func quarters(n int64) decimal.Decimal { return decimal.NewFromInt(n).Mul(decimal.New(25, -2)) }

// Beyond the table: two sizes, so every number of the one leaves one best number
// of the other.
func TestALargeNeedIsCoveredExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		need := rapid.Int64Range(2*mostParts, 4*mostParts).Draw(t, "need")
		a, b := rapid.SampledFrom([]int64{3, 7, 11}).Draw(t, "a"), rapid.SampledFrom([]int64{4, 5, 13}).Draw(t, "b")
		priceA, priceB := rapid.Int64Range(1, 90).Draw(t, "price of a"), rapid.Int64Range(1, 90).Draw(t, "price of b")
		got, err := CheapestCover(decimal.NewFromInt(need), []Size{{fmt.Sprint(a), fmt.Sprint(priceA)}, {fmt.Sprint(b), fmt.Sprint(priceB)}})
		if err != nil {
			t.Fatal(err)
		}
		price, rest := int64(-1), int64(0)
		for n := int64(0); n*a < need+a; n++ {
			m := max((need-n*a+b-1)/b, 0)
			p, left := n*priceA+m*priceB, n*a+m*b-need
			if price < 0 || p < price || p == price && left < rest {
				price, rest = p, left
			}
		}
		if !got.Price.Equal(decimal.NewFromInt(price)) || !got.Left.Equal(decimal.NewFromInt(rest)) {
			t.Fatalf("%d of %d at %d and %d at %d: got %s with %s left, want %d with %d", need, a, priceA, b, priceB, got.Price, got.Left, price, rest)
		}
	})
}

func TestSizesTooFinelyDivided(t *testing.T) {
	_, err := CheapestCover(decimal.NewFromInt(1_000_000), []Size{{"999.999", "7"}, {"1000", "7"}})
	if fault.As(err) == nil || fault.As(err).Code != "pack-sizes" {
		t.Errorf("%v, want pack-sizes", err)
	}
}
