package search

import "testing"

// The first numbers of seed 1234567: the published reference program of
// SplitMix64 (S. Vigna, splitmix64.c, public domain), quoted from memory.
func TestTheSourceIsSplitMix64(t *testing.T) {
	s := NewSource(1234567)
	for i, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821} {
		if got := s.Uint64(); got != want {
			t.Errorf("number %d of seed 1234567: got %d, want %d", i, got, want)
		}
	}
}
