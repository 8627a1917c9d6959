package coating

import (
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"bareframe/internal/fault"
)

func TestRefusals(t *testing.T) {
	for _, r := range []struct {
		name, pointer string
		spoil         func(*Input)
	}{
		{"no solids", "/solids_percent", func(in *Input) { in.SolidsPercent = "" }},
		{"solids over 100", "/solids_percent", func(in *Input) { in.SolidsPercent = "100.01" }},
		{"negative thinner", "/thinner_percent", func(in *Input) { in.ThinnerPercent = "-1" }},
		{"a loss of 100", "/loss_percent", func(in *Input) { in.LossPercent = "100" }},
		{"no film", "/dry_film", func(in *Input) { in.DryFilm = "0" }},
		{"a film of a metre", "/dry_film", func(in *Input) { in.DryFilm, in.FilmUnit = "20000", "mil" }},
		{"not a number", "/dry_film", func(in *Input) { in.DryFilm = "NaN" }},
		{"an exponent", "/dry_film", func(in *Input) { in.DryFilm = "1e9" }},
		{"a film in metres", "/film_unit", func(in *Input) { in.FilmUnit = "m" }},
		{"a profile deeper than the table", "/profile_um", func(in *Input) { in.ProfileUM = "151" }},
		{"a profile under another coat", "/on_blasted", func(in *Input) { in.OnBlasted = false }},
		{"an area in litres", "/area_unit", func(in *Input) { in.AreaUnit = "l" }},
		{"negative area", "/area", func(in *Input) { in.Area = "-1" }},
	} {
		in := Example()
		r.spoil(&in)
		_, err := Compute(in)
		e := fault.As(err)
		if e == nil || e.Code != "coating-input" || !slices.ContainsFunc(e.Fields, func(f fault.Field) bool { return f.Pointer == r.pointer }) {
			t.Errorf("%s: got %v, want a fault at %s", r.name, err, r.pointer)
		}
	}
}

// Paint and rates are two sides of one balance: area over the rate out of the can
// is the paint, and what arrives makes the film.
func TestRatesAndPaintAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := func(name string, from, to int64) decimal.Decimal {
			return decimal.NewFromInt(rapid.Int64Range(from, to).Draw(t, name))
		}
		c := Coat{SolidsPercent: n("solids", 1, 100), ThinnerPercent: n("thinner", 0, 50), DryFilmUM: n("film", 1, 500), LossPercent: n("loss", 0, 99), DeadUM: n("dead", 0, 125)}
		area := n("area", 1, 1000)
		paint := c.Paint(area, 12)
		if off := area.DivRound(c.RateAsSupplied(20), 12).Sub(paint).Abs(); off.GreaterThan(decimal.New(1, -7)) {
			t.Fatalf("%+v: %s l, off by %s", c, paint, off)
		}
		volume := paint.Add(c.Thinner(area, 12)).Mul(c.PracticalRate(16))
		if volume.Sub(area).Abs().GreaterThan(decimal.New(1, -5)) {
			t.Fatalf("%+v: paint and thinner cover %s m2, want %s", c, volume, area)
		}
		arrives := paint.Mul(hundred.Sub(c.LossPercent)).Mul(c.SolidsPercent).Div(hundred.Mul(hundred)) // litres of dry film
		film := arrives.Mul(decimal.NewFromInt(1000)).Div(area)
		if film.Sub(c.DryFilmUM.Add(c.DeadUM)).Abs().GreaterThan(decimal.New(1, -6)) {
			t.Fatalf("%+v: a film of %s um arrives", c, film)
		}
	})
}
