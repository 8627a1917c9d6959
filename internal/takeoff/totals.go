package takeoff

import "github.com/shopspring/decimal"

// sums adds up the zones' quantities by kind.
type sums struct {
	kinds []Kind
	value []decimal.Decimal
	zones []int
}

func newSums(kinds []Kind) *sums {
	return &sums{kinds: kinds, value: make([]decimal.Decimal, len(kinds)), zones: make([]int, len(kinds))}
}

func (s *sums) add(kind int, v decimal.Decimal) {
	if s.kinds[kind].Sums {
		s.value[kind] = s.value[kind].Add(v)
		s.zones[kind]++
	}
}

func (s *sums) totals() []Quantity {
	out := make([]Quantity, 0, len(s.kinds))
	for i, k := range s.kinds {
		if s.zones[i] > 0 {
			out = append(out, Quantity{Name: k.Name, Value: s.value[i], Unit: k.Unit, how: summed(s.zones[i])})
		}
	}
	return out
}

func summed(zones int) how {
	if zones == 1 {
		return by("", "from one zone")
	}
	return by("", "sum of {} zones", decimal.NewFromInt(int64(zones)))
}
