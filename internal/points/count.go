package points

import "slices"

// tooMany reports whether a node needs more options than the known set has to
// buy as much: what is still missing, over the largest gains that the rest has.
func (s *search) tooMany(d int, n *node, sums []int32) bool {
	missing := s.known.points - s.p.base - n.points + s.p.untouched[d]
	for k, i := range s.p.open[d] {
		if left := int64(sums[k]); left > past {
			missing += clamp(left, s.p.aspects[i].maximum)
		}
	}
	need, _ := slices.BinarySearch(s.p.largest[d], missing)
	return n.key&(1<<countBits-1)+int64(need) > s.known.key&(1<<countBits-1)
}

// count fills in what tooMany asks: by layer, the sums of the 0, 1, 2, ... largest
// gains to come, and the deductions on aspects that are not touched yet.
func (p *problem) count() {
	n := len(p.choices)
	p.largest, p.untouched = make([][]int64, n+1), make([]int64, n+1)
	var gains []int64
	p.largest[n] = []int64{0}
	for d := n - 1; d >= 0; d-- {
		gain := int64(0)
		for _, e := range p.choices[d].deltas {
			gain += max(0, e.amount)
		}
		gains = append(gains, gain)
		slices.SortFunc(gains, func(a, b int64) int { return int(b - a) })
		sums := make([]int64, 1, len(gains)+1)
		for _, g := range gains {
			sums = append(sums, sums[len(sums)-1]+g)
		}
		p.largest[d] = sums
	}
	for _, a := range p.aspects {
		for d := 0; d <= a.first; d++ {
			p.untouched[d] += min(a.sum, a.maximum)
		}
	}
}
