package search

// Source is a stream of random numbers that depends on its seed alone, in every
// release: SplitMix64 (Steele, Lea and Flood, "Fast Splittable Pseudorandom
// Number Generators", OOPSLA 2014). Not for secrets.
type Source struct{ state uint64 }

// NewSource returns the stream of a seed.
func NewSource(seed uint64) *Source { return &Source{state: seed} }

// Uint64 returns the next number.
func (s *Source) Uint64() uint64 {
	s.state += 0x9e3779b97f4a7c15
	z := s.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Int returns a number from 0 to n-1; n is at least 1 and below 2^31. The bias is below 2^-32.
func (s *Source) Int(n int) int { return int(s.Uint64() >> 32 * uint64(n) >> 32) }

// Float returns a number from 0 up to, but not including, 1.
func (s *Source) Float() float64 { return float64(s.Uint64()>>11) / (1 << 53) }
