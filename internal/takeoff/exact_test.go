package takeoff

import (
	"fmt"
	"math/big"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/fault"
)

// rat is exact arithmetic on decimal text, to hold the engine against.
func rat(s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		panic(s)
	}
	return r
}

func product(factors ...*big.Rat) *big.Rat {
	out := big.NewRat(1, 1)
	for _, f := range factors {
		out.Mul(out, f)
	}
	return out
}

func inverse(r *big.Rat) *big.Rat { return new(big.Rat).Inv(r) }

// halfAway rounds a positive rational.
func halfAway(r *big.Rat, places int32) decimal.Decimal {
	scaled := new(big.Rat).Mul(r, new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(places)), nil)))
	scaled.Add(scaled, big.NewRat(1, 2))
	return decimal.NewFromBigInt(new(big.Int).Quo(scaled.Num(), scaled.Denom()), -places)
}

// What is reckoned in binary is what exact arithmetic gives, to the last place and
// at every tie. The setup's figures are short, so that ties are common.
func TestAsExactArithmetic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pick := func(name string, from ...string) string { return rapid.SampledFrom(from).Draw(t, name) }
		in := Input{System: Example().System}
		b, w, c := &in.System.Blasting, &in.System.Welding, &in.System.Coats[0]
		b.FlatRateM2H, b.MediaKGH, b.MediaUses, b.FrameFactor = pick("flat", "10", "9.2", "3"), pick("media", "200", "224.5"), pick("uses", "1", "2", "3"), pick("frame", "0.25", "0.33", "0.4")
		w.GapMM, w.BuildUpPercent, w.EfficiencyPercent, w.WireMKG, w.FeedMMin = pick("gap", "1.5", "0.8"), pick("build", "50", "25"), pick("eff", "80", "95"), pick("wire", "250", "253"), pick("feed", "5", "4.8")
		c.SolidsPercent, c.LossPercent, c.DryFilmUM, c.OnBlasted = pick("solids", "50", "40", "48.5"), pick("loss", "20", "35", "37.5"), pick("dry", "50", "60", "75"), false
		d, z := drawZone(t, Box)
		z.Hole = &Hole{LengthMM: fmt.Sprint(rapid.IntRange(1, 400).Draw(t, "hole")), WidthMM: "60"}
		in.Zones = []Zone{z}
		got := solve(t, in).Zones[0]

		milli := rat("0.001")
		width, height, length, thick := rat(z.WidthMM), rat(z.HeightMM), rat(z.LengthMM), rat(z.ThicknessMM)
		area := product(rat("2"), new(big.Rat).Add(width, height), length, rat("0.000001"))
		sheet := product(rat("2"), new(big.Rat).Sub(new(big.Rat).Add(width, height), product(rat("2"), thick)))
		hours := product(area, inverse(product(rat(b.FlatRateM2H), rat(b.FrameFactor))))
		round := product(rat("2"), new(big.Rat).Add(new(big.Rat).Add(rat(z.Hole.LengthMM), rat("40")), rat("100")), milli)
		butt := product(thick, rat(w.GapMM), new(big.Rat).Add(rat("1"), product(rat(w.BuildUpPercent), rat("0.01"))))
		wire := product(butt, round, rat("0.00785"), rat("100"), inverse(rat(w.EfficiencyPercent)))
		arc := product(wire, rat(w.WireMKG), inverse(product(rat(w.FeedMMin), rat("60"))))
		arrives := new(big.Rat).Sub(rat("100"), rat(c.LossPercent))
		for name, want := range map[string]*big.Rat{
			OuterArea: area, SteelWeight: product(sheet, thick, length, milli, rat("0.00785")),
			BlastTime: hours, MediaWeight: product(hours, rat(b.MediaKGH), inverse(rat(b.MediaUses))),
			WireWeight: wire, ArcTime: arc, GasVolume: product(arc, rat("60"), rat(w.GasLMin)),
			WeldTime:              new(big.Rat).Add(product(arc, rat("100"), inverse(rat(w.ArcOnPercent))), rat(w.HandlingH)),
			CoatVolume + "primer": product(area, rat(c.DryFilmUM), rat("10"), inverse(product(rat(c.SolidsPercent), arrives))),
		} {
			if exact := halfAway(want, 4); !value(got, name).Equal(exact) {
				t.Fatalf("%s of %+v: got %s, want %s from %s", name, d, value(got, name), exact, want.FloatString(9))
			}
		}
	})
}

// A tie that binary fractions miss: 0.276 m2 at 0.3125 l/m2 is 0.08625 l.
func TestTiesGoUp(t *testing.T) {
	for _, r := range []struct {
		value float64
		want  int64
	}{{0.276 * 0.3125, 863}, {0.00175, 18}, {0.00005, 1}, {0.0000499999, 0}, {1.00005, 10001}, {0, 0}} {
		if got := rounded(r.value, 4); got != r.want {
			t.Errorf("%v: got %d, want %d", r.value, got, r.want)
		}
	}
}

func TestAQuantityBeyondReason(t *testing.T) {
	in := Example()
	in.System.Welding.FeedMMin, in.System.Welding.EfficiencyPercent = "0.000001", "0.000001"
	if _, err := Compute(in); fault.As(err) == nil || fault.As(err).Fields[0].Pointer != "/zones/1" {
		t.Errorf("got %v, want a fault at /zones/1", err)
	}
}
