//go:build !race

package testkit

// Raced reports whether the race detector is on. It makes everything some ten
// times slower, so tests that walk long tables take a part of them; without it
// they take all.
const Raced = false
