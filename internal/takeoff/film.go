package takeoff

import (
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/coating"
)

// paint is what a square metre of a coat takes, by package coating.
type paint struct {
	film            coating.Coat
	litres, thinner float64 // a m2
	wetUM           float64
	figures         [4]float64 // dry, dead, solids, loss: for words
}

func paintOf(c coating.Coat) paint {
	return paint{film: c,
		litres: c.Paint(m2, finest).InexactFloat64(), thinner: c.Thinner(m2, finest).InexactFloat64(), wetUM: c.WetFilmUM(finest).InexactFloat64(),
		figures: [4]float64{c.DryFilmUM.InexactFloat64(), c.DeadUM.InexactFloat64(), c.SolidsPercent.InexactFloat64(), c.LossPercent.InexactFloat64()}}
}

var m2 = decimal.NewFromInt(1)

// finest is where a quotient from package coating is cut, below what a binary
// number holds of it.
const finest = 20

// coats takes off every coat; weld is the length of weld in m.
func (t *taker) coats(reached, closed, weld float64) {
	pitted := slices.Contains(t.setup.pitted, t.condition)
	for i := range t.setup.coats {
		c := &t.setup.coats[i]
		kind, p := atCoats+i*len(coatKinds), &c.sound
		if pitted && c.onBlasted {
			p = &c.pitted
		}
		switch c.where {
		case Outside:
			t.coat(kind, c, p, reached, by("", "all that is reached from outside"))
		case Inside:
			t.coat(kind, c, p, closed, by("", "wall of the cavity"))
		case Both:
			t.coat(kind, c, p, reached+closed, by("", "all that is reached from outside, and the wall of the cavity"))
		case OnWelds:
			t.coat(kind, c, p, weld*c.band/1000, by("", "{} m of weld x {} mm", weld, c.band))
		}
	}
}

func (t *taker) coat(kind int, c *coat, p *paint, area float64, h how) {
	if area == 0 {
		return
	}
	dry, solids, litres := p.figures[0], p.figures[2], area*p.litres
	t.put(kind, area, h)
	t.put(kind+1, litres, p.words(area))
	t.put(kind+2, area*p.thinner, by("The data sheet's thinning.", "{} l x {} percent", litres, c.thinner))
	t.put(kind+3, p.wetUM, by("Volume of solids. The data sheet comes first.", "{} um x (100 + {} of thinner) / {}", dry, c.thinner, solids))
}

// words is the formula of paint as supplied.
func (p *paint) words(area float64) how {
	dry, dead, solids, loss := p.figures[0], p.figures[1], p.figures[2], p.figures[3]
	const rest = " um x 10 / ({} percent of solids x (100 - {} percent lost))"
	if dead == 0 {
		return by("Volume of solids; loss divides.", "{} m2 x {}"+rest, area, dry, solids, loss)
	}
	return by("Volume of solids; loss divides; dead volume of the profile.", "{} m2 x ({} + {} in the profile)"+rest, area, dry, dead, solids, loss)
}

func (t *taker) cavity(closed float64) {
	if c := &t.setup.cavity; closed > 0 {
		t.put(len(t.setup.kinds)-1, closed*c.litres, c.words(closed))
	}
}
