package coating

import "github.com/shopspring/decimal"

var (
	ten     = decimal.NewFromInt(10)
	hundred = decimal.NewFromInt(100)
)

// Coat is a coat as its data sheet and the shop's setup give it. Solids are above
// 0 and at most 100 percent, loss is from 0 to below 100; its methods trust that.
type Coat struct {
	SolidsPercent  decimal.Decimal // by volume, as supplied
	ThinnerPercent decimal.Decimal // parts by volume to 100 parts of paint
	DryFilmUM      decimal.Decimal
	LossPercent    decimal.Decimal
	DeadUM         decimal.Decimal // of the profile under it; 0 on another coat
}

// SolidsAsApplied is the percent of solids after thinning.
func (c Coat) SolidsAsApplied(places int32) decimal.Decimal {
	return c.SolidsPercent.Mul(hundred).DivRound(hundred.Add(c.ThinnerPercent), places)
}

// SpreadingRate is how many m2 a litre of the paint as applied covers at the dry
// film, with nothing lost and nothing swallowed.
func (c Coat) SpreadingRate(places int32) decimal.Decimal {
	return ten.Mul(c.SolidsPercent).Mul(hundred).DivRound(c.DryFilmUM.Mul(hundred.Add(c.ThinnerPercent)), places)
}

// PracticalRate is how many m2 a litre of the paint as applied covers with loss
// and dead volume.
func (c Coat) PracticalRate(places int32) decimal.Decimal {
	return ten.Mul(c.SolidsPercent).Mul(hundred.Sub(c.LossPercent)).DivRound(c.DryFilmUM.Add(c.DeadUM).Mul(hundred.Add(c.ThinnerPercent)), places)
}

// RateAsSupplied is how many m2 a litre out of the can covers, with loss and dead
// volume, whatever thinner is added to it.
func (c Coat) RateAsSupplied(places int32) decimal.Decimal {
	return c.SolidsPercent.Mul(hundred.Sub(c.LossPercent)).DivRound(ten.Mul(c.DryFilmUM.Add(c.DeadUM)), places)
}

// WetFilmUM is the wet film to aim for, of the paint as applied.
func (c Coat) WetFilmUM(places int32) decimal.Decimal {
	return c.DryFilmUM.Mul(hundred.Add(c.ThinnerPercent)).DivRound(c.SolidsPercent, places)
}

// Paint is how many litres, as supplied, an area in m2 takes.
func (c Coat) Paint(areaM2 decimal.Decimal, places int32) decimal.Decimal {
	return areaM2.Mul(c.DryFilmUM.Add(c.DeadUM)).Mul(ten).DivRound(c.SolidsPercent.Mul(hundred.Sub(c.LossPercent)), places)
}

// Thinner is how many litres of thinner go into the paint for an area in m2.
func (c Coat) Thinner(areaM2 decimal.Decimal, places int32) decimal.Decimal {
	return areaM2.Mul(c.DryFilmUM.Add(c.DeadUM)).Mul(c.ThinnerPercent).DivRound(ten.Mul(c.SolidsPercent).Mul(hundred.Sub(c.LossPercent)), places)
}

// profile is a row of the table of dead volumes.
type profile struct{ upTo, dead decimal.Decimal }

var profiles = []profile{
	{decimal.NewFromInt(50), decimal.NewFromInt(10)},
	{decimal.NewFromInt(100), decimal.NewFromInt(35)},
	{decimal.NewFromInt(150), decimal.NewFromInt(60)},
}

var oldPitted = decimal.NewFromInt(125)

// DeepestProfileUM is the deepest blast profile that the table of dead volumes
// knows.
var DeepestProfileUM = profiles[len(profiles)-1].upTo

// DeadVolumeUM is the thickness of paint that a blast profile swallows. A profile
// of 0 swallows nothing; pitted is old pitted steel that was blasted again,
// whatever its profile. A profile deeper than DeepestProfileUM counts as pitted.
func DeadVolumeUM(profileUM decimal.Decimal, pitted bool) decimal.Decimal {
	if pitted {
		return oldPitted
	}
	if profileUM.Sign() <= 0 {
		return decimal.Decimal{}
	}
	for _, p := range profiles {
		if profileUM.LessThanOrEqual(p.upTo) {
			return p.dead
		}
	}
	return oldPitted
}
