package takeoff

// sums adds up the zones' quantities by kind, in whole units of their last place.
type sums struct {
	kinds []Kind
	units []int64
	zones []int
	// beyond names a quantity that came to more than MaxQuantity.
	beyond string
}

func newSums(kinds []Kind) *sums {
	return &sums{kinds: kinds, units: make([]int64, len(kinds)), zones: make([]int, len(kinds))}
}

func (s *sums) add(kind int, units int64) {
	if s.kinds[kind].Sums {
		s.units[kind] += units
		s.zones[kind]++
	}
}

func (s *sums) totals() []Quantity {
	out := make([]Quantity, 0, len(s.kinds))
	for i, k := range s.kinds {
		if s.zones[i] > 0 {
			out = append(out, Quantity{Name: k.Name, Value: asDecimal(s.units[i], Places(k.Unit)), Unit: k.Unit, how: summed(s.zones[i])})
		}
	}
	return out
}

func summed(zones int) how {
	if zones == 1 {
		return by("", "from one zone")
	}
	return by("", "sum of {} zones", float64(zones))
}
