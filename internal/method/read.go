package method

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Bounds of a list and of a frame.
const (
	MaxRules      = 200
	MaxMethods    = 40
	MaxParts      = 8
	MaxFactors    = 8
	MaxListed     = 200 // entries in a list of For, and in a table
	MaxZones      = 200
	MaxQuantities = 100 // of a zone
	MaxKnown      = 1000
	MaxWord       = 100
	MaxText       = 2000
)

// Digits of what is written in a rule and of a zone's quantities.
const (
	ruleDigits, rulePlaces         = 6, 6
	quantityDigits, quantityPlaces = 9, 6
)

const code = "method-rules"

// Parse reads a list from JSON and checks it. Unknown members are refused.
// Errors are fault.Invalid "method-rules".
func Parse(text []byte, known Known) (List, error) {
	var l List
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&l); err != nil {
		return List{}, fault.New(fault.Invalid, code, "this is not a list of method rules: %s", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return List{}, fault.New(fault.Invalid, code, "there is text after the list of method rules")
	}
	return l, l.Check(known)
}

// reader notes what is wrong while it reads.
type reader struct{ f fault.Collector }

// figure reads a figure of a rule; an empty one is 0 unless it is needed. It
// reports whether there was nothing to note.
func (r *reader) figure(at, s string, needed bool) (decimal.Decimal, bool) {
	if s == "" && !needed {
		return decimal.Decimal{}, true
	}
	return r.decimal(at, s, ruleDigits, rulePlaces)
}

// decimal reads a decimal that is not negative.
func (r *reader) decimal(at, s string, digits, places int32) (decimal.Decimal, bool) {
	d, err := money.ParseDecimal(s, digits, places)
	if err != nil {
		r.f.Add(at, "%s", fault.As(err).Detail)
		return decimal.Decimal{}, false
	}
	if d.IsNegative() {
		r.f.Add(at, "this cannot be negative")
		return decimal.Decimal{}, false
	}
	return d, true
}

func (r *reader) unit(at, s string) (compound, bool) {
	u, err := parseUnit(s)
	if err != nil {
		r.f.Add(at, "%s", fault.As(err).Detail)
	}
	return u, err == nil
}

func (r *reader) text(at, s string, needed bool) {
	if needed && strings.TrimSpace(s) == "" || utf8.RuneCountInString(s) > MaxText {
		r.f.Add(at, "a text of at most %d characters is needed", MaxText)
	}
}

func (r *reader) word(at, s string, needed bool) {
	if needed && strings.TrimSpace(s) == "" || utf8.RuneCountInString(s) > MaxWord {
		r.f.Add(at, "a word of at most %d characters is needed", MaxWord)
	}
}

// few notes a list that is too long, and reports whether it is not.
func (r *reader) few(at string, n, most int) bool {
	if n > most {
		r.f.Add(at, "at most %d are allowed here", most)
	}
	return n <= most
}

func oneOf[T ~string](r *reader, at string, word T, all []T) {
	if !slices.Contains(all, word) {
		texts := make([]string, len(all))
		for i, w := range all {
			texts[i] = string(w)
		}
		r.f.Add(at, "%q is none of %s", word, strings.Join(texts, ", "))
	}
}
