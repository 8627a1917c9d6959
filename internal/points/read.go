package points

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// Bounds of an input. They keep the search's integers inside 64 bits.
const (
	MaxItems      = 60
	MaxOptions    = 128
	MaxGroups     = 64
	MaxSets       = 130
	MaxEntries    = 1000 // zones, things seen, departures and rows of a sheet
	MaxCount      = 1000
	MaxDays       = 36_500
	MaxShare      = 10
	MaxTextLength = 2000
	MaxKeyLength  = 100
	// DefaultNodes ends a search after a second or so of one processor.
	DefaultNodes = 400_000
	// MaxNodes is the most that may be asked for.
	MaxNodes = 5_000_000

	pointDigits = 3
	costDigits  = 9
	otherDigits = 6
)

const (
	code      = "points-input"
	sheetCode = "points-sheet"
)

// ParseSheet reads a sheet from JSON and validates it. Unknown members are
// refused. Errors are fault.Invalid "points-sheet".
func ParseSheet(text []byte) (Sheet, error) {
	var s Sheet
	d := json.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&s); err != nil {
		return Sheet{}, fault.New(fault.Invalid, sheetCode, "this is not a sheet: %s", err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return Sheet{}, fault.New(fault.Invalid, sheetCode, "there is text after the sheet")
	}
	return s, s.Validate()
}

// Validate names everything that is wrong with s at once, as a fault.Invalid
// "points-sheet" with a pointer into the sheet for each.
func (s Sheet) Validate() error {
	r := &reader{}
	r.sheet("", s)
	return r.Err(sheetCode)
}

// reader parses and notes what is wrong.
type reader struct {
	fault.Collector
	currency money.Currency
	items    map[string]int // place of an item by key
	maximum  []Pair
}

func (r *reader) sheet(at string, s Sheet) {
	r.key(at+"/key", s.Key)
	r.text(at+"/name", s.Name, true)
	r.text(at+"/note", s.Note, false)
	r.looks(at+"/looks", s.Looks)
	r.items, r.maximum = map[string]int{}, make([]Pair, len(s.Items))
	if len(s.Items) == 0 || len(s.Items) > MaxItems {
		r.Add(at+"/items", "a sheet has 1 to %d items", MaxItems)
		return
	}
	for i, item := range s.Items {
		here := fmt.Sprintf("%s/items/%d", at, i)
		r.key(here+"/key", item.Key)
		if _, twice := r.items[item.Key]; twice {
			r.Add(here+"/key", "another item has this key")
		}
		r.items[item.Key] = i
		r.item(here, item, &r.maximum[i])
	}
}

func (r *reader) item(at string, item Item, maximum *Pair) {
	r.text(at+"/name", item.Name, true)
	r.text(at+"/note", item.Note, false)
	maximum.Originality = r.points(at+"/max_originality", item.MaxOriginality)
	maximum.Condition = r.points(at+"/max_condition", item.MaxCondition)
	if !r.bounded(at+"/departures", len(item.Departures)) || !r.bounded(at+"/zones", len(item.Zones)) || !r.bounded(at+"/kinds", len(item.Kinds)) {
		return
	}
	for i, d := range item.Departures {
		here := fmt.Sprintf("%s/departures/%d", at, i)
		r.key(here+"/what", d.What)
		r.text(here+"/note", d.Note, false)
		if slices.ContainsFunc(item.Departures[:i], func(e Departure) bool { return e.What == d.What }) {
			r.Add(here+"/what", "the item has a figure for this already")
		}
		if d.AsFound < 0 || d.AsFound > MaxCount {
			r.Add(here+"/as_found", "a car is expected to have 0 to %d of it as found", MaxCount)
		}
		r.within(here, d.Originality, orNone(d.Condition), *maximum)
	}
}

// within reads a deduction that must not be more than the item's maximum.
func (r *reader) within(at, originality, condition string, maximum Pair) Pair {
	p := Pair{r.points(at+"/originality", originality), r.points(at+"/condition", condition)}
	r.under(at, p, maximum)
	return p
}

func (r *reader) under(at string, p, maximum Pair) {
	if p.Originality > maximum.Originality || -p.Originality > maximum.Originality {
		r.Add(at+"/originality", "this is more than the item's maximum of %s", maximum.Originality)
	}
	if p.Condition > maximum.Condition || -p.Condition > maximum.Condition {
		r.Add(at+"/condition", "this is more than the item's maximum of %s", maximum.Condition)
	}
}

func (r *reader) looks(at string, looks []Look) {
	if !r.bounded(at, len(looks)) {
		return
	}
	starts := map[Look]bool{}
	for i, l := range looks {
		here := fmt.Sprintf("%s/%d", at, i)
		r.condition(here+"/condition", l.Condition)
		r.whole(here+"/from_visible_percent", l.FromVisible, 0, 100)
		if share := r.number(here+"/share", l.Share, 2, 4); share.GreaterThan(decimal.NewFromInt(MaxShare)) {
			r.Add(here+"/share", "a share from 0 to %d is needed", MaxShare)
		}
		l.Share = ""
		if starts[l] {
			r.Add(here, "there is a row for this condition from %d percent already", l.FromVisible)
		}
		starts[l] = true
	}
	for _, c := range Conditions() {
		if !starts[Look{Condition: c}] {
			r.Add(at, "the condition %s needs a row from 0 percent", c)
		}
	}
}

func (r *reader) condition(at string, c Condition) {
	if !slices.Contains(Conditions(), c) {
		r.Add(at, "this is one of a, b, c, d, pitted, patched, perforated, hidden")
	}
}

// points reads points that are not negative.
func (r *reader) points(at, s string) Points {
	return rounded(r.number(at, s, pointDigits, places))
}

// signed reads points of either sign; empty is none.
func (r *reader) signed(at, s string) Points {
	d, err := money.ParseDecimal(orNone(s), pointDigits, places)
	if err != nil {
		r.Add(at, "%s", fault.As(err).Detail)
	}
	return rounded(d)
}

func (r *reader) number(at, s string, digits, places int32) decimal.Decimal {
	d, err := money.ParseDecimal(s, digits, places)
	if err != nil {
		r.Add(at, "%s", fault.As(err).Detail)
		return decimal.Decimal{}
	}
	if d.IsNegative() {
		r.Add(at, "this cannot be negative")
		return decimal.Decimal{}
	}
	return d
}

// cost reads an amount that is not negative and small enough to be summed.
func (r *reader) cost(at, s string) int64 {
	a, err := money.Parse(s, r.currency)
	switch {
	case err != nil:
		r.Add(at, "%s", fault.As(err).Detail)
	case a.Sign() < 0:
		r.Add(at, "this cannot be negative")
	case a.Decimal().NumDigits()+int(a.Decimal().Exponent()) > costDigits:
		r.Add(at, "use at most %d digits before the point", costDigits)
	default:
		return a.Minor()
	}
	return 0
}

func (r *reader) whole(at string, n, least, most int) {
	if n < least || n > most {
		r.Add(at, "a whole number from %d to %d is needed", least, most)
	}
}

func (r *reader) key(at, s string) {
	if strings.TrimSpace(s) == "" || utf8.RuneCountInString(s) > MaxKeyLength {
		r.Add(at, "a word of 1 to %d characters is needed", MaxKeyLength)
	}
}

func (r *reader) text(at, s string, needed bool) {
	if needed && strings.TrimSpace(s) == "" || utf8.RuneCountInString(s) > MaxTextLength {
		r.Add(at, "a text of at most %d characters is needed", MaxTextLength)
	}
}

// bounded reports whether a list is short enough to be read.
func (r *reader) bounded(at string, n int) bool {
	if n > MaxEntries {
		r.Add(at, "at most %d entries are allowed, and there are %d", MaxEntries, n)
	}
	return n <= MaxEntries
}

func orNone(s string) string {
	if s == "" {
		return "0"
	}
	return s
}
