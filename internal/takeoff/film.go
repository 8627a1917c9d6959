package takeoff

import (
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/coating"
	"bareframe/internal/measure"
)

// coats takes off every coat; weld is the exact length of weld in m. The kinds of
// one coat follow each other.
func (t *taker) coats(reached, closed decimal.Decimal, weld ratio) {
	pitted := slices.Contains(t.setup.pitted, t.condition)
	for i := range t.setup.coats {
		c := &t.setup.coats[i]
		k := len(kinds) + i*len(coatKinds)
		film := c.film
		if pitted && c.onBlasted {
			film.DeadUM = coating.DeadVolumeUM(c.profile, true)
		}
		switch c.where {
		case Outside:
			t.coat(k, film, whole(reached), by("", "all that is reached from outside"))
		case Inside:
			t.coat(k, film, whole(closed), by("", "wall of the cavity"))
		case Both:
			t.coat(k, film, whole(reached.Add(closed)), by("", "all that is reached from outside, and the wall of the cavity"))
		case OnWelds:
			t.coat(k, film, weld.times(c.band).times(milli), by("", "{} m of weld x {} mm", weld.at(inWords), c.band))
		}
	}
	t.at = len(kinds) + len(t.setup.coats)*len(coatKinds)
}

func (t *taker) coat(k int, c coating.Coat, exact ratio, h how) {
	area := exact.num
	if area.IsZero() {
		return
	}
	if !exact.den.Equal(one) {
		area = exact.at(finest)
	}
	t.keep(k, exact.at(Places(measure.SquareMetre)), h)
	litres := t.keep(k+1, c.Paint(area, Places(measure.Litre)), film(area, c.DryFilmUM, c.DeadUM, c.SolidsPercent, c.LossPercent))
	t.keep(k+2, c.Thinner(area, Places(measure.Litre)), by("The data sheet's thinning.", "{} l x {} percent", litres, c.ThinnerPercent))
	h = by("Volume of solids. The data sheet comes first.", "{} um x 100 / {}", c.DryFilmUM, c.SolidsPercent)
	if !c.ThinnerPercent.IsZero() {
		h = by(h.source, "{} um x (100 + {} of thinner) / {}", c.DryFilmUM, c.ThinnerPercent, c.SolidsPercent)
	}
	t.keep(k+3, c.WetFilmUM(Places(measure.Micrometre)), h)
}

// finest is where an area that is no finite decimal is cut, far below what any
// quantity shows.
const finest = 12

// film is the formula of paint as supplied.
func film(area, dry, dead, solids, loss decimal.Decimal) how {
	area = area.Round(inWords)
	h := by("Volume of solids; loss divides.", "{} m2 x {} um", area, dry)
	if !dead.IsZero() {
		h = by("Volume of solids; loss divides; dead volume of the profile.", "{} m2 x ({} + {} in the profile) um", area, dry, dead)
	}
	return h.and(" x 10 / ({} percent of solids x (100 - {} percent lost))", solids, loss)
}
