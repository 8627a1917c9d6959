package points

import "math/bits"

// set is a set of up to MaxOptions small numbers.
type set [MaxOptions / 64]uint64

func (s set) has(i int) bool { return s[i/64]>>(i%64)&1 != 0 }

func (s set) with(i int) set {
	s[i/64] |= 1 << (i % 64)
	return s
}

func (s set) plus(t set) set { return set{s[0] | t[0], s[1] | t[1]} }

func (s set) minus(t set) set { return set{s[0] &^ t[0], s[1] &^ t[1]} }

func (s set) and(t set) set { return set{s[0] & t[0], s[1] & t[1]} }

func (s set) empty() bool { return s == set{} }

func (s set) size() int { return bits.OnesCount64(s[0]) + bits.OnesCount64(s[1]) }

// list gives the members in rising order.
func (s set) list() []int {
	out := make([]int, 0, s.size())
	for w, word := range s {
		for ; word != 0; word &= word - 1 {
			out = append(out, 64*w+bits.TrailingZeros64(word))
		}
	}
	return out
}

// before orders sets of one size by their sorted members: the smallest member
// that only one of them has decides. It keeps when the same members join both.
func (s set) before(t set) bool {
	for w := range s {
		if differ := s[w] ^ t[w]; differ != 0 {
			return s[w]>>bits.TrailingZeros64(differ)&1 != 0
		}
	}
	return false
}
