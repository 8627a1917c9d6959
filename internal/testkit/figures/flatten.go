package figures

import (
	"encoding/json"
	"strings"

	"github.com/shopspring/decimal"

	"bareframe/internal/measure"
)

// figure is a value of an answer with its unit; a text has none.
type figure struct{ value, unit string }

// flatten lists the figures of an answer by path. Objects with a name, a value and
// a unit are figures; other objects in lists go by their id or key.
func flatten(answer []byte) (map[string][]figure, error) {
	var v any
	if err := json.Unmarshal(answer, &v); err != nil {
		return nil, err
	}
	out := map[string][]figure{}
	walk("", v, out)
	return out, nil
}

func walk(at string, v any, out map[string][]figure) {
	switch v := v.(type) {
	case string:
		out[at] = append(out[at], figure{v, ""})
	case []any:
		for _, each := range v {
			walk(at, each, out)
		}
	case map[string]any:
		name, isFigure := v["name"].(string)
		value, _ := v["value"].(string)
		unit, _ := v["unit"].(string)
		if isFigure && value != "" {
			at = joined(at, name)
			out[at] = append(out[at], figure{value, unit})
			return
		}
		for _, by := range []string{"id", "key"} {
			if id, ok := v[by].(string); ok {
				at = joined(at, id)
			}
		}
		for k, each := range v {
			next := joined(at, k)
			if k == "figures" || k == "quantities" {
				next = at
			}
			walk(next, each, out)
		}
	}
}

func joined(at, next string) string { return strings.TrimPrefix(at+"/"+next, "/") }

// in states the figure in another unit, also one of two signs such as lb/h; ok is
// false when the units do not convert.
func (f figure) in(unit string) (decimal.Decimal, bool) {
	value, err := decimal.NewFromString(f.value)
	if err != nil || f.unit == unit {
		return value, err == nil
	}
	top, bottom, compound := strings.Cut(f.unit, "/")
	wantTop, wantBottom, wantCompound := strings.Cut(unit, "/")
	if compound != wantCompound {
		return value, false
	}
	num, ok := factor(top, wantTop)
	if !ok || !compound {
		return value.Mul(num), ok
	}
	den, ok := factor(bottom, wantBottom)
	if !ok {
		return value, false
	}
	return value.Mul(num).DivRound(den, 12), true
}

// factor is how many of one unit another is.
func factor(from, to string) (decimal.Decimal, bool) {
	q, err := measure.Quantity{Value: decimal.NewFromInt(1), Unit: measure.Unit(from)}.Convert(measure.Unit(to), 15)
	return q.Value, err == nil
}

func spelt(found []figure) string {
	if len(found) == 0 {
		return "nothing"
	}
	words := make([]string, len(found))
	for i, f := range found {
		words[i] = strings.TrimSpace(f.value + " " + f.unit)
	}
	return strings.Join(words, ", ")
}
