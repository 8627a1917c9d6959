package takeoff

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/measure"
)

const (
	packPlaces  = 3 // of a size
	pricePlaces = 4
	needPlaces  = 6
)

// pack is a pack that was read.
type pack struct {
	in     Pack
	kind   int
	unit   measure.Unit
	sizes  []size
	places int32 // that prices are shown with
}

type size struct{ size, price decimal.Decimal }

func (r *reader) packs(in []Pack, kinds []Kind) []pack {
	if tooMany(r, "/packs", len(in), MaxPacks) {
		return nil
	}
	out := make([]pack, len(in))
	for i, p := range in {
		at := within("/packs", i)
		r.key(at, "/key", p.Key)
		out[i] = pack{in: p, unit: measure.Unit(p.Unit), kind: slices.IndexFunc(kinds, func(k Kind) bool { return k.Name == p.Of && k.Sums })}
		if out[i].kind < 0 {
			r.add(at+"/of", "there is no quantity with this name that has a total")
		} else if d := kinds[out[i].kind].Unit.Dimension(); out[i].unit.Dimension() != d {
			r.add(at+"/unit", "%s measures %s; a unit of that is needed", p.Of, d)
		}
		out[i].sizes, out[i].places = r.sizes(at+"/sizes", p.Sizes)
	}
	return out
}

func (r *reader) sizes(at string, in []Size) (out []size, shown int32) {
	if tooMany(r, at, len(in), MaxSizes) {
		return nil, 0
	}
	if len(in) == 0 {
		r.add(at, "at least one size is needed")
	}
	for i, s := range in {
		here := within(at, i)
		read := size{r.decimal(here, "/size", s.Size, 10_000), r.decimal(here, "/price", s.Price, 1_000_000)}
		if read.size.IsZero() {
			r.add(here+"/size", "a size above 0 is needed")
		}
		if read.size.Exponent() < -packPlaces {
			r.add(here+"/size", "a size has at most %d decimal places", packPlaces)
		}
		if read.price.Exponent() < -pricePlaces {
			r.add(here+"/price", "a price with at most %d decimal places is needed", pricePlaces)
		}
		shown = max(shown, -read.price.Exponent())
		out = append(out, read)
	}
	return out, shown
}

// CheapestCover finds how many of each size to buy so that need is covered at the
// least price; of equal prices the one with less left over, then with fewer packs.
// need is not negative, and sizes are as in a Pack. It is exact; time and memory
// grow with need over the greatest common part of the sizes. Above 100,000 such
// parts price and rest are still the least, the number of packs may not be, and
// sizes too finely divided even for that are a fault.Invalid "pack-sizes". Errors
// in numbers are fault.Invalid "takeoff-input".
func CheapestCover(need decimal.Decimal, sizes []Size) (Cover, error) {
	var r reader
	if need.IsNegative() {
		r.add("/need", "this cannot be negative")
	}
	read, places := r.sizes("/sizes", sizes)
	if err := r.faults.Err(code); err != nil {
		return Cover{}, err
	}
	p := pack{in: Pack{Sizes: sizes}, sizes: read, places: places}
	return p.covers(need)
}

func (p *pack) cover(all *sums) (Cover, error) {
	from := all.kinds[p.kind].Unit
	need, err := measure.Quantity{Value: asDecimal(all.units[p.kind], Places(from)), Unit: from}.Convert(p.unit, needPlaces)
	if err != nil {
		return Cover{}, err
	}
	return p.covers(need.Value)
}

func (p *pack) covers(need decimal.Decimal) (Cover, error) {
	counts, err := buy(need, p.sizes)
	if err != nil {
		return Cover{}, err
	}
	c := Cover{Key: p.in.Key, Of: p.in.Of, Unit: p.in.Unit, Need: need, Buy: []Bought{}, places: p.places}
	bought, words := decimal.Decimal{}, []string{}
	for i, n := range counts {
		if n == 0 {
			continue
		}
		many := decimal.NewFromInt(int64(n))
		c.Buy = append(c.Buy, Bought{Size: p.in.Sizes[i].Size, Count: n})
		c.Price = c.Price.Add(p.sizes[i].price.Mul(many))
		bought = bought.Add(p.sizes[i].size.Mul(many))
		words = append(words, strings.TrimSpace(fmt.Sprintf("%d x %s %s", n, p.sizes[i].size, p.in.Unit)))
	}
	c.Left = bought.Sub(need)
	if len(words) == 0 {
		c.Words = "Nothing is needed."
		return c, nil
	}
	c.Words = strings.TrimSpace(fmt.Sprintf("Buy %s for %s %s", strings.Join(words, " and "), need, p.in.Unit)) +
		fmt.Sprintf(" at %s; %s", c.Price.StringFixed(p.places), strings.TrimSpace(c.Left.String()+" "+p.in.Unit)) + " is left over."
	return c, nil
}

// MarshalJSON writes the price with the places of the prices it is made of.
func (c Cover) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Key   string          `json:"key"`
		Of    string          `json:"of"`
		Need  decimal.Decimal `json:"need"`
		Unit  string          `json:"unit"`
		Buy   []Bought        `json:"buy"`
		Price string          `json:"price"`
		Left  decimal.Decimal `json:"left"`
		Words string          `json:"words"`
	}{c.Key, c.Of, c.Need, c.Unit, c.Buy, c.Price.StringFixed(c.places), c.Left, c.Words})
}
