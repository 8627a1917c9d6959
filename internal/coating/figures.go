package coating

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/measure"
)

var one = decimal.NewFromInt(1)

func (r *Result) add(name string, value decimal.Decimal, places int32, unit, words string, args ...any) {
	v := value.StringFixed(places)
	r.Figures = append(r.Figures, Figure{name, v, unit, fmt.Sprintf(words, args...) + " = " + v + " " + unit})
}

func (r *Result) solids(c Coat) {
	r.add("solids_as_applied", c.SolidsAsApplied(rates), rates, "%", "%s x 100 / (100 + %s)", c.SolidsPercent, c.ThinnerPercent)
	r.add("dead_volume", c.DeadUM, 0, "um", "from the table of profiles")
}

func (r *Result) rates(c Coat) {
	solids := c.SolidsAsApplied(rates)
	r.rate("spreading_rate", c.SpreadingRate(finest), fmt.Sprintf("10 x %s / %s um", solids, c.DryFilmUM))
	words := fmt.Sprintf("10 x %s / (%s + %s) um x (1 - %s / 100)", solids, c.DryFilmUM, c.DeadUM, c.LossPercent)
	r.rate("practical_rate", c.PracticalRate(finest), words)
}

// rate adds a rate in m2/l and in ft2/gal.
func (r *Result) rate(name string, m2l decimal.Decimal, words string) {
	r.add(name, m2l.Round(rates), rates, "m2/l", "%s", words)
	r.add(name, m2l.Mul(gallon).DivRound(squareFoot, rates), rates, "ft2/gal", "%s m2/l x %s / %s", m2l.Round(rates), gallon, squareFoot)
}

var (
	gallon     = in(measure.Gallon, measure.Litre)
	squareFoot = in(measure.SquareFoot, measure.SquareMetre)
	mil        = in(measure.Mil, measure.Micrometre)
)

// in is one of a unit in another; both are known and of one dimension.
func in(unit, as measure.Unit) decimal.Decimal {
	q, err := measure.Quantity{Value: one, Unit: unit}.Convert(as, finest)
	if err != nil {
		panic(err)
	}
	return q.Value
}

func (r *Result) film(c Coat) {
	wet := c.WetFilmUM(finest)
	words := "%s um x (100 + %s) / %s"
	r.add("wet_film", wet.Round(films), films, "um", words, c.DryFilmUM, c.ThinnerPercent, c.SolidsPercent)
	r.add("wet_film", wet.DivRound(mil, films), films, "mil", "%s um / %s", wet.Round(films), mil)
}

func (r *Result) paint(c Coat, areaM2 decimal.Decimal) {
	film := c.DryFilmUM.Add(c.DeadUM)
	volume := c.Paint(areaM2, finest)
	r.add("paint", volume.Round(litres), litres, "l", "%s m2 x %s um x 10 / (%s x (100 - %s)), as supplied", areaM2, film, c.SolidsPercent, c.LossPercent)
	r.add("paint", volume.DivRound(gallon, litres), litres, "gal", "%s l / %s, as supplied", volume.Round(litres), gallon)
	r.add("thinner", c.Thinner(areaM2, litres), litres, "l", "%s l x %s / 100", volume.Round(litres), c.ThinnerPercent)
}
