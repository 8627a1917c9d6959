package money

import (
	"math/big"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

func drawAmount(t *rapid.T) Amount {
	code := rapid.SampledFrom([]string{"JPY", "EUR", "KWD"}).Draw(t, "currency")
	minor := rapid.Int64Range(-999_999_999_999, 999_999_999_999).Draw(t, "minor")
	c, err := ParseCurrency(code)
	if err != nil {
		t.Fatal(err)
	}
	return FromMinor(minor, c)
}

// Parts add up, each lies within one minor unit of its exact share, and of two
// equal weights the first listed never gets less.
func TestAllocateByProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAmount(t)
		n := rapid.IntRange(1, 30).Draw(t, "n")
		weights, total := make([]decimal.Decimal, n), new(big.Rat)
		for i := range weights {
			weights[i] = decimal.New(rapid.Int64Range(0, 100_000).Draw(t, "weight"), -rapid.Int32Range(0, 3).Draw(t, "places"))
			total.Add(total, weights[i].Rat())
		}
		parts, err := a.AllocateBy(weights)
		if total.Sign() == 0 {
			if err == nil {
				t.Fatal("weights of zero were accepted")
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		sum, one := int64(0), big.NewRat(1, 1)
		for i, part := range parts {
			sum += part.Minor()
			exact := new(big.Rat).Mul(new(big.Rat).SetInt64(a.Minor()), new(big.Rat).Quo(weights[i].Rat(), total))
			off := new(big.Rat).Sub(new(big.Rat).SetInt64(part.Minor()), exact)
			if off.Abs(off).Cmp(one) >= 0 {
				t.Fatalf("part %d of %s is %s, exact %s minor units", i, a, part, exact.FloatString(4))
			}
			for j := range i {
				if weights[i].Equal(weights[j]) && abs(parts[j].Minor()) < abs(part.Minor()) {
					t.Fatalf("equal weights: part %d is %s, later part %d is %s", j, parts[j], i, part)
				}
			}
		}
		if sum != a.Minor() {
			t.Fatalf("parts of %s add up to %d minor units", a, sum)
		}
	})
}

func abs(n int64) int64 { return max(n, -n) }

// Round is within half a minor unit, and exactly half goes away from zero.
func TestRoundProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawAmount(t).Currency()
		d := decimal.New(rapid.Int64().Draw(t, "coefficient"), -rapid.Int32Range(0, 24).Draw(t, "places"))
		rounded := Round(d, c).Decimal()
		unit := decimal.New(1, -c.Places())
		off := rounded.Sub(d).Abs().Mul(decimal.NewFromInt(2))
		if !rounded.Equal(d.Round(c.Places())) {
			t.Fatalf("Round(%s, %s) = %s and the library rounds to %s", d, c, rounded, d.Round(c.Places()))
		}
		if off.GreaterThan(unit) || !rounded.Mod(unit).IsZero() {
			t.Fatalf("Round(%s, %s) = %s", d, c, rounded)
		}
		if off.Equal(unit) && rounded.Abs().LessThan(d.Abs()) {
			t.Fatalf("Round(%s, %s) = %s goes towards zero", d, c, rounded)
		}
	})
}

// Sums are exact at every size, also across the bounds of int64.
func TestAddIsExactAtEverySize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawAmount(t).Currency()
		draw := func() (Amount, *big.Int) {
			n := big.NewInt(rapid.Int64().Draw(t, "units"))
			n.Mul(n, big.NewInt(rapid.SampledFrom([]int64{1, 1, 7, 1 << 40}).Draw(t, "scale")))
			return Round(decimal.NewFromBigInt(n, -c.Places()), c), n
		}
		a, n := draw()
		b, m := draw()
		sum, err := a.Add(b)
		difference, err2 := a.Sub(b)
		order, err3 := a.Cmp(b)
		if err != nil || err2 != nil || err3 != nil {
			t.Fatal(err, err2, err3)
		}
		whole := func(x Amount) *big.Int { return x.Decimal().Shift(c.Places()).BigInt() }
		if whole(sum).Cmp(new(big.Int).Add(n, m)) != 0 || whole(difference).Cmp(new(big.Int).Sub(n, m)) != 0 || order != n.Cmp(m) {
			t.Fatalf("%s and %s: sum %s, difference %s, order %d", a, b, sum, difference, order)
		}
		if back, err := difference.Add(b); err != nil || !back.Equal(a) || a.Neg().Sign() != -n.Sign() {
			t.Fatalf("%s - %s + %s = %s", a, b, b, back)
		}
		fits := n.CmpAbs(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(MaxIntegerDigits+c.Places())), nil)) < 0
		if a.Fits() != fits {
			t.Fatalf("%s fits: %v", a, a.Fits())
		}
	})
}

func TestLowestInt64(t *testing.T) {
	c, err := ParseCurrency("JPY")
	if err != nil {
		t.Fatal(err)
	}
	lowest := FromMinor(-1<<63, c)
	if got := lowest.Neg().String(); got != "9223372036854775808" {
		t.Errorf("negated it is %s", got)
	}
	if sum, err := lowest.Add(lowest); err != nil || sum.String() != "-18446744073709551616" {
		t.Errorf("doubled it is %s, %v", sum, err)
	}
}

func TestParsePrintsWhatItRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := drawAmount(t)
		back, err := Parse(a.String(), a.Currency())
		if err != nil || !back.Equal(a) {
			t.Fatalf("%s read back as %s, %v", a, back, err)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"12.30", "-0.05", "1e9", "NaN", "999999999999.99", "..", "-"} {
		f.Add(s)
	}
	usd, _ := ParseCurrency("USD")
	f.Fuzz(func(t *testing.T, s string) {
		a, err := Parse(s, usd)
		if err != nil {
			return
		}
		want, ok := new(big.Rat).SetString(s)
		if !ok || a.Decimal().Rat().Cmp(want) != 0 || !a.Fits() {
			t.Fatalf("Parse(%q) = %s", s, a)
		}
	})
}
