package takeoff

import "github.com/shopspring/decimal"

var (
	one       = decimal.NewFromInt(1)
	two       = decimal.NewFromInt(2)
	hundred   = decimal.NewFromInt(100)
	thousand  = decimal.NewFromInt(1000)
	minutes   = decimal.NewFromInt(60) // in an hour
	milli     = decimal.New(1, -3)
	micro     = decimal.New(1, -6)
	hundredth = decimal.New(1, -2)
	pi        = decimal.RequireFromString("3.1415926535897932")
	density   = decimal.NewFromInt(SteelDensity)
	kgOfMM2M  = density.Mul(micro) // of 1 mm2 over 1 m
)

// SteelDensity is the true density of mild steel in kg/m3 that weights rest on.
const SteelDensity = 7850

// ratio is an exact quotient.
type ratio struct{ num, den decimal.Decimal }

func whole(d decimal.Decimal) ratio { return ratio{d, one} }

func (r ratio) times(d decimal.Decimal) ratio { return ratio{r.num.Mul(d), r.den} }

func (r ratio) over(d decimal.Decimal) ratio { return ratio{r.num, r.den.Mul(d)} }

func (r ratio) plus(o ratio) ratio {
	return ratio{r.num.Mul(o.den).Add(o.num.Mul(r.den)), r.den.Mul(o.den)}
}

// at rounds once, half away from zero.
func (r ratio) at(places int32) decimal.Decimal {
	if r.den.Equal(one) {
		return r.num.Round(places)
	}
	return r.num.DivRound(r.den, places)
}
