// Package demo opens the invented demo shop. It reads the seed files and plays
// their story through the real use cases with a clock that runs through the
// past weeks up to now, so that every figure on the screens is computed and
// every rule was kept on the way.
package demo
