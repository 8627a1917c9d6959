package repair

import (
	"fmt"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// Held against rationals: hours lie within half a hundredth of the formula and
// are a whole number of hundredths, rise from low to high, and whole pieces are
// never too few and never one too many.
func TestSuggestAgainstRationals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cents := func(name string, least int64) int64 { return least + rapid.Int64Range(0, 2000).Draw(t, name) }
		lowF, lowU := cents("low fixed", 0), cents("low per unit", 0)
		likelyF, likelyU := cents("likely fixed", lowF), cents("likely per unit", lowU)
		highF, highU := cents("high fixed", likelyF), cents("high per unit", likelyU)
		factor := rapid.Int64Range(1, 500).Draw(t, "factor")
		in := Example()
		rule := &in.List.Repairs[0]
		rule.Unit = rapid.SampledFrom(Units()).Draw(t, "unit")
		rule.Hours = Hours{Low: line(lowF, lowU), Likely: line(likelyF, likelyU), High: line(highF, highU)}
		rule.Factors = map[Condition]string{Patched: hundredths(factor)}
		discF, discU := cents("discs fixed", 0), cents("discs per unit", 0)
		rule.Materials[1].Line = line(discF, discU)
		in.List.Repairs = in.List.Repairs[:1]
		in.Finding = Finding{Condition: Patched, LengthMM: rapid.IntRange(1, 3000).Draw(t, "length"),
			WidthMM: rapid.IntRange(1, 500).Draw(t, "width"), Count: rapid.IntRange(1, 30).Draw(t, "count")}
		got, err := Suggest(in)
		if err != nil || len(got.Suggestions) != 1 {
			t.Fatalf("%+v, %v", got, err)
		}
		s, size := got.Suggestions[0], sized(rule.Unit, in.Finding)
		if s.Size.Rat().Cmp(size) != 0 {
			t.Fatalf("size %s, want %s", s.Size, size)
		}
		of := func(fixed, perUnit int64) *big.Rat {
			sum := new(big.Rat).Mul(big.NewRat(perUnit, 100), size)
			return sum.Add(sum, big.NewRat(fixed, 100))
		}
		for _, p := range []struct {
			got         *big.Rat
			fixed, unit int64
		}{{s.Hours.Low.Rat(), lowF, lowU}, {s.Hours.Likely.Rat(), likelyF, likelyU}, {s.Hours.High.Rat(), highF, highU}} {
			exact := of(p.fixed, p.unit)
			exact.Mul(exact, big.NewRat(factor, 100))
			off := exact.Sub(p.got, exact)
			if off.Abs(off).Cmp(big.NewRat(1, 200)) > 0 || !new(big.Rat).Mul(p.got, big.NewRat(100, 1)).IsInt() {
				t.Fatalf("hours %s are off by %s", p.got.FloatString(6), off.FloatString(6))
			}
		}
		if s.Hours.Likely.LessThan(s.Hours.Low) || s.Hours.High.LessThan(s.Hours.Likely) {
			t.Fatalf("hours do not rise: %+v", s.Hours)
		}
		discs, need := s.Materials[1].Quantity.Rat(), of(discF, discU)
		if !discs.IsInt() || discs.Cmp(need) < 0 || new(big.Rat).Sub(discs, need).Cmp(big.NewRat(1, 1)) >= 0 {
			t.Fatalf("%s discs for a need of %s", discs, need)
		}
	})
}

func sized(unit Unit, f Finding) *big.Rat {
	switch unit {
	case Piece:
		return big.NewRat(int64(f.Count), 1)
	case Metre:
		return big.NewRat(int64(f.Count*f.LengthMM), 1000)
	}
	return big.NewRat(int64(f.Count*f.LengthMM*f.WidthMM), 10_000)
}

func line(fixed, perUnit int64) Line { return Line{hundredths(fixed), hundredths(perUnit)} }

func hundredths(n int64) string { return fmt.Sprintf("%d.%02d", n/100, n%100) }
