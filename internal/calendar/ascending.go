package calendar

// ascending is a sorted list that finds its place for a value quickly. The
// values fall into buckets of 2^bucketBits; edge[k] counts the values below the
// k-th bucket, so that a search looks inside one bucket only: a few stretches
// in a shop's calendar, and O(log n) however the values crowd.
type ascending struct {
	values []int64
	base   int64 // no value is below it
	edge   []int32
}

const bucketBits = 10 // 1024 minutes: one or two shifts

func newAscending(values []int64, base, top int64) ascending {
	a := ascending{values: values, base: base}
	a.edge = make([]int32, (top-base)>>bucketBits+2)
	i := 0
	for k := range a.edge {
		for i < len(values) && values[i] < base+int64(k)<<bucketBits {
			i++
		}
		a.edge[k] = int32(i)
	}
	a.edge[len(a.edge)-1] = int32(len(values))
	return a
}

// last returns the index of the greatest value not above v, or -1.
func (a *ascending) last(v int64) int {
	if v < a.base {
		return -1
	}
	k := min(int((v-a.base)>>bucketBits), len(a.edge)-2)
	lo, hi := int(a.edge[k]), int(a.edge[k+1])
	for lo < hi {
		mid := int(uint(lo+hi) >> 1)
		if a.values[mid] <= v {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo - 1
}
