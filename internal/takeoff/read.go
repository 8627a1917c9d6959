package takeoff

import (
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Bounds of an input.
const (
	MaxZones      = 500
	MaxCoats      = 20
	MaxPacks      = 50
	MaxSizes      = 12
	MaxMillimetre = 20_000
	MaxThickness  = 100 // mm
	MaxCount      = 1000
	MaxArea       = 100 // m2 of one piece
	MaxFilm       = 20_000
	MaxKeyLength  = 60
	MaxTextLength = 2000
	intDigits     = 7
	places        = 6
)

const code = "takeoff-input"

// reader parses and notes what is wrong.
type reader struct {
	faults fault.Collector
	noted  int
}

func (r *reader) add(pointer, detail string, args ...any) {
	r.noted++
	r.faults.Add(pointer, detail, args...)
}

// number reads a number from 0 to most; empty is 0.
func (r *reader) number(at, field, s string, most int64) float64 {
	if s == "" || r.decimal(at, field, s, most).IsZero() {
		return 0
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		r.add(at+field, "this is not a number")
		return 0
	}
	return v
}

// decimal reads a decimal from 0 to most, and 0 where it cannot.
func (r *reader) decimal(at, field, s string, most int64) decimal.Decimal {
	d, err := money.ParseDecimal(s, intDigits, places)
	switch {
	case err != nil:
		r.add(at+field, "%s", fault.As(err).Detail)
	case d.IsNegative():
		r.add(at+field, "this cannot be negative")
	case d.GreaterThan(decimal.NewFromInt(most)):
		r.add(at+field, "this cannot be above %d", most)
	default:
		return d
	}
	return decimal.Decimal{}
}

// needed reads a decimal above 0. Where it cannot, it notes that and returns 1,
// so that what divides by it can be read on.
func (r *reader) needed(at, field, s string, most int64) float64 {
	before := r.noted
	d := r.number(at, field, s, most)
	if d > 0 {
		return d
	}
	if r.noted == before {
		r.add(at+field, "a number above 0 is needed")
	}
	return 1
}

// percent reads a number above 0 and up to 100.
func (r *reader) percent(at, field, s string) float64 { return r.needed(at, field, s, 100) }

// loss reads a number from 0 to below 100.
func (r *reader) loss(at, field, s string) float64 {
	d := r.number(at, field, s, 100)
	if d == 100 {
		r.add(at+field, "a loss of 100 percent would need endless paint; it must be below 100")
		return 0
	}
	return d
}

func (r *reader) text(at, field, s string) {
	if utf8.RuneCountInString(s) > MaxTextLength {
		r.add(at+field, "a text of at most %d characters is needed", MaxTextLength)
	}
}

func (r *reader) key(at, field, s string) {
	if strings.TrimSpace(s) == "" || utf8.RuneCountInString(s) > MaxKeyLength {
		r.add(at+field, "a word of at most %d characters is needed", MaxKeyLength)
	}
}

func (r *reader) count(at, field string, n int) float64 {
	if n < 0 || n > MaxCount {
		r.add(at+field, "a whole number from 0 to %d is needed", MaxCount)
	}
	return float64(max(n, 1))
}

func (r *reader) sources(at string, sources map[string]string) {
	if len(sources) > 60 {
		r.add(at+"/sources", "at most 60 sources are allowed")
		return
	}
	for field, s := range sources {
		if len(s) > MaxTextLength || len(field) > MaxKeyLength {
			r.add(at+"/sources", "a source is a text of at most %d characters", MaxTextLength)
			return
		}
	}
}

func oneOf[T ~string](r *reader, at, field string, word T, all []T) bool {
	if slices.Contains(all, word) {
		return true
	}
	texts := make([]string, len(all))
	for i, w := range all {
		texts[i] = string(w)
	}
	r.add(at+field, "this is one of %s", strings.Join(texts, ", "))
	return false
}

func within(at string, i int) string { return at + "/" + strconv.Itoa(i) }

func tooMany(r *reader, at string, n, most int) bool {
	if n > most {
		r.add(at, "at most %d are allowed", most)
	}
	return n > most
}
