package coating

import (
	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/measure"
	"bareframe/internal/money"
)

// Bounds of an input, and the places of its results.
const (
	MaxFilmUM  = 20_000
	MaxArea    = 1_000_000
	MaxThinner = 100
	intDigits  = 7
	inPlaces   = 6
	finest     = 12 // of what is converted once more
	rates      = 2
	films      = 2
	litres     = 3
)

const code = "coating-input"

// Input is one coat and, where paint is wanted, a surface. Numbers are plain
// decimal text; empty is 0.
type Input struct {
	SolidsPercent  string `json:"solids_percent"`
	ThinnerPercent string `json:"thinner_percent,omitempty"`
	LossPercent    string `json:"loss_percent,omitempty"`
	DryFilm        string `json:"dry_film"`
	FilmUnit       string `json:"film_unit"` // um or mil
	// OnBlasted adds what the profile swallows; Pitted is old pitted steel.
	OnBlasted bool   `json:"on_blasted,omitempty"`
	ProfileUM string `json:"profile_um,omitempty"`
	Pitted    bool   `json:"pitted,omitempty"`
	Area      string `json:"area,omitempty"`
	AreaUnit  string `json:"area_unit,omitempty"` // m2, dm2, ft2 or in2
}

// Result is the film's arithmetic, with the words for each figure.
type Result struct {
	Figures []Figure `json:"figures"`
	Caution string   `json:"caution"`
}

// Figure is a named value, rounded once for its unit.
type Figure struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	Unit  string `json:"unit"`
	Words string `json:"words"`
}

// Caution goes with every figure of this package.
const Caution = "An aid to estimating, not an inspection: film, thinning, mixing, recoat times and breathing protection are as the product data sheet says, which comes before every figure here."

// Of returns a figure by name and unit; ok is false when it was not worked out.
func (r Result) Of(name, unit string) (f Figure, ok bool) {
	for _, f := range r.Figures {
		if f.Name == name && f.Unit == unit {
			return f, true
		}
	}
	return Figure{}, false
}

// Compute works out spreading rates, wet film, dead volume and, for a surface,
// paint and thinner. A bad input is a fault.Invalid "coating-input" with a pointer
// for each field.
func Compute(in Input) (Result, error) {
	var r reader
	c, area := r.coat(in), r.area(in)
	if err := r.Err(code); err != nil {
		return Result{}, err
	}
	out := Result{Caution: Caution}
	out.solids(c)
	out.rates(c)
	out.film(c)
	if area.Sign() > 0 {
		out.paint(c, area)
	}
	return out, nil
}

type reader struct{ fault.Collector }

func (r *reader) number(at, s string, most int64) decimal.Decimal {
	if s == "" {
		return decimal.Decimal{}
	}
	d, err := money.ParseDecimal(s, intDigits, inPlaces)
	switch {
	case err != nil:
		r.Add(at, "%s", fault.As(err).Detail)
	case d.IsNegative() || d.GreaterThan(decimal.NewFromInt(most)):
		r.Add(at, "a number from 0 to %d is needed", most)
	default:
		return d
	}
	return one
}

func (r *reader) above(at, s string, most int64) decimal.Decimal {
	if d := r.number(at, s, most); d.Sign() > 0 {
		return d
	}
	r.Add(at, "a number above 0 and up to %d is needed", most)
	return one
}

func (r *reader) coat(in Input) Coat {
	c := Coat{
		SolidsPercent:  r.above("/solids_percent", in.SolidsPercent, 100),
		ThinnerPercent: r.number("/thinner_percent", in.ThinnerPercent, MaxThinner),
		LossPercent:    r.number("/loss_percent", in.LossPercent, 100),
		DryFilmUM:      r.film(in),
	}
	if c.LossPercent.Equal(hundred) {
		r.Add("/loss_percent", "a loss of 100 percent would need endless paint; it must be below 100")
	}
	profile := r.number("/profile_um", in.ProfileUM, DeepestProfileUM.IntPart())
	if in.OnBlasted {
		c.DeadUM = DeadVolumeUM(profile, in.Pitted)
	} else if in.Pitted || !profile.IsZero() {
		r.Add("/on_blasted", "a profile counts only for the coat that lies on blasted steel")
	}
	return c
}

func (r *reader) film(in Input) decimal.Decimal {
	unit := measure.Unit(in.FilmUnit)
	if unit != measure.Micrometre && unit != measure.Mil {
		r.Add("/film_unit", "a film is measured in um or mil")
		return one
	}
	q := measure.Quantity{Value: r.above("/dry_film", in.DryFilm, MaxFilmUM), Unit: unit}
	um, err := q.Convert(measure.Micrometre, inPlaces+1)
	if err != nil {
		r.Add("/film_unit", "%s", fault.As(err).Detail)
	}
	if um.Value.GreaterThan(decimal.NewFromInt(MaxFilmUM)) {
		r.Add("/dry_film", "a film of at most %d um is needed", MaxFilmUM)
	}
	return um.Value
}

// area is in m2, 0 when none is given.
func (r *reader) area(in Input) decimal.Decimal {
	if in.Area == "" {
		return decimal.Decimal{}
	}
	q := measure.Quantity{Value: r.number("/area", in.Area, MaxArea), Unit: measure.Unit(in.AreaUnit)}
	m2, err := q.Convert(measure.SquareMetre, finest)
	if err != nil {
		r.Add("/area_unit", "an area is measured in m2, dm2, ft2 or in2")
	}
	return m2.Value
}
