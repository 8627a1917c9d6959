package api

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/fault"
)

// Strong comparison of entity tags, so that a weak tag is no precondition: RFC
// 9110, sections 8.8.3 and 13.1.1.
func TestPreconditionReadsIfMatch(t *testing.T) {
	given := func(version int) app.Precondition { return app.Precondition{Given: true, Version: version} }
	for name, c := range map[string]struct {
		header string
		want   app.Precondition
		bad    bool
	}{
		"as answered":           {`"v12"`, given(12), false},
		"without quotes":        {`v12`, given(12), false},
		"number":                {`12`, given(12), false},
		"nine digits":           {`"v999999999"`, given(999999999), false},
		"weak tag":              {`W/"v12"`, app.Precondition{}, true},
		"any":                   {`*`, app.Precondition{}, true},
		"list":                  {`"v12", "v13"`, app.Precondition{}, true},
		"empty":                 {``, app.Precondition{}, true},
		"zero":                  {`"v0"`, app.Precondition{}, true},
		"leading zero":          {`"v012"`, app.Precondition{}, true},
		"negative":              {`-12`, app.Precondition{}, true},
		"half a quote":          {`"v12`, app.Precondition{}, true},
		"quoted number":         {`"12"`, app.Precondition{}, true},
		"blank":                 {` v12`, app.Precondition{}, true},
		"line feed":             {"v12\n", app.Precondition{}, true},
		"more than an int32":    {`v9999999999`, app.Precondition{}, true},
		"digits of another set": {`v١٢`, app.Precondition{}, true},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := precondition(&c.header)
			if got != c.want {
				t.Errorf("precondition(%q) = %+v, want %+v", c.header, got, c.want)
			}
			if c.bad {
				wantFault(t, err, "if-match-not-readable", "/header/If-Match")
			} else if err != nil {
				t.Errorf("precondition(%q): %v, want no error", c.header, err)
			}
		})
	}
	t.Run("left out", func(t *testing.T) {
		got, err := precondition(nil)
		if err != nil || got.Given {
			t.Errorf("precondition(nil) = %+v, %v, want not given and no error", got, err)
		}
	})
}

func TestEtagIsReadBack(t *testing.T) {
	for _, version := range []int{1, 9, 10, 4711} {
		got, err := precondition(etag(version))
		if err != nil || !got.Given || got.Version != version {
			t.Errorf("precondition(etag(%d)) = %+v, %v", version, got, err)
		}
	}
}

func TestDecimalsAreReadPlain(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"whole":                 {"12", "12"},
		"places":                {"0.1250", "0.125"},
		"negative":              {"-3.5", "-3.5"},
		"longest":               {"999999999999.9999", "999999999999.9999"},
		"leading zeros":         {"007.5", "7.5"},
		"exponent":              {"1e3", ""},
		"capital exponent":      {"1E3", ""},
		"not a number":          {"NaN", ""},
		"infinity":              {"Inf", ""},
		"empty":                 {"", ""},
		"sign alone":            {"-", ""},
		"plus":                  {"+1", ""},
		"comma":                 {"1,5", ""},
		"blank":                 {" 1", ""},
		"leading point":         {".5", ""},
		"trailing point":        {"5.", ""},
		"hexadecimal":           {"0x10", ""},
		"underscore":            {"1_000", ""},
		"five places":           {"1.00001", ""},
		"thirteen digits":       {"1000000000000", ""},
		"digits of another set": {"١٢", ""},
	} {
		t.Run(name, func(t *testing.T) {
			var r reading
			got := r.decimal("/hours/low", c.text)
			if c.want == "" {
				wantFault(t, r.err(), "value-not-readable", "/hours/low")
				return
			}
			if err := r.err(); err != nil || got.String() != c.want {
				t.Errorf("decimal(%q) = %s, %v, want %s", c.text, got, err, c.want)
			}
		})
	}
}

// Days of the Gregorian calendar: 2028 is a leap year, 2027 and 2100 are not.
func TestDaysAreReadAsRealDays(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		good bool
	}{
		"ordinary":             {"2027-03-31", true},
		"leap day":             {"2028-02-29", true},
		"first year":           {"1970-01-01", true},
		"last year":            {"2189-12-31", true},
		"no leap year":         {"2027-02-29", false},
		"century":              {"2100-02-29", false},
		"30 February":          {"2027-02-30", false},
		"31 April":             {"2027-04-31", false},
		"year 0":               {"0000-01-01", false},
		"year 99999":           {"99999-01-01", false},
		"year 2190":            {"2190-01-01", false},
		"month 13":             {"2027-13-01", false},
		"without zeros":        {"2027-3-1", false},
		"with a time":          {"2027-03-31T00:00:00Z", false},
		"other order":          {"31-03-2027", false},
		"empty":                {"", false},
		"a line feed after it": {"2027-03-31\n", false},
	} {
		t.Run(name, func(t *testing.T) {
			var r reading
			got := r.day("/promise", &c.text)
			if !c.good {
				wantFault(t, r.err(), "value-not-readable", "/promise")
				return
			}
			if err := r.err(); err != nil || string(got) != c.text {
				t.Errorf("day(%q) = %q, %v, want it as it is", c.text, got, err)
			}
		})
	}
	t.Run("left out", func(t *testing.T) {
		var r reading
		if got := r.day("/promise", nil); !got.IsZero() || r.err() != nil {
			t.Errorf("day(nil) = %q, %v, want no day and no error", got, r.err())
		}
	})
}

func TestEveryUnreadableValueIsNamed(t *testing.T) {
	bad, day := "1e3", "2027-02-30"
	for name, c := range map[string]struct {
		read func() error
		want []string
	}{
		"task": {func() error {
			_, err := taskFrom(TaskDraft{Hours: ThreePoint{Low: bad, Likely: bad, High: bad}, ElapsedHours: bad, NotBefore: &day, FinishBy: &day})
			return err
		}, []string{"/hours/low", "/hours/likely", "/hours/high", "/elapsed_hours", "/not_before", "/finish_by"}},
		"line": {func() error {
			_, err := lineFrom(LineDraft{Quantity: bad, UnitCost: bad, MarkupPercent: bad, WastePercent: bad, DiscountPercent: bad})
			return err
		}, []string{"/quantity", "/unit_cost", "/markup_percent", "/waste_percent", "/discount_percent"}},
		"link": {func() error { _, err := taskLinkFrom(LinkDraft{LagHours: bad}); return err }, []string{"/lag_hours"}},
		"job":  {func() error { _, err := newJobFrom(JobCreate{NotBefore: &day}); return err }, []string{"/not_before"}},
		"head": {func() error { _, err := headFrom(JobDraft{NotBefore: &day, Promise: &day}); return err }, []string{"/not_before", "/promise"}},
		"settings": {func() error {
			_, err := settingsFrom(ShopDraft{DepositPercent: bad, TolerancePercent: bad, TaxRates: []TaxRate{{Percent: "1"}, {Percent: bad}}, Draws: []DrawRule{{Percent: bad}}})
			return err
		}, []string{"/deposit_percent", "/tolerance_percent", "/tax_rates/1/percent", "/draws/0/percent"}},
		"price book": {func() error {
			one := "1"
			_, err := priceChangeFrom(PriceChange{Set: []PriceRow{{Kind: PriceKindLabour, CostRate: &bad, SellRate: &bad, ValidFrom: &day},
				{Kind: PriceKindMaterial, UnitCost: &one, MarkupPercent: &bad, WastePercent: &bad, Packs: &[]Pack{{Size: bad, Cost: bad}}}, {Kind: PriceKindVendor}}})
			return err
		}, []string{"/set/0/valid_from", "/set/0/cost_rate", "/set/0/sell_rate", "/set/1/markup_percent", "/set/1/waste_percent", "/set/1/packs/0/size", "/set/1/packs/0/cost", "/set/2/markup_percent"}},
		"person":     {func() error { _, err := personFrom(PersonDraft{CostRate: &bad}); return err }, []string{"/cost_rate"}},
		"decision":   {func() error { _, err := recordedFrom(RecordedDecision{Amount: bad}); return err }, []string{"/amount"}},
		"stop":       {func() error { _, err := stopFrom(ClockStop{HoursToGo: &bad}, ""); return err }, []string{"/hours_to_go"}},
		"switch":     {func() error { _, _, err := switchFrom(ClockSwitch{Stop: ClockStop{HoursToGo: &bad}}); return err }, []string{"/stop/hours_to_go"}},
		"log":        {func() error { _, err := logFrom(HoursLog{HoursToGo: &bad}); return err }, []string{"/hours_to_go"}},
		"correction": {func() error { _, err := correctionFrom(HoursCorrection{HoursToGo: &bad}); return err }, []string{"/hours_to_go"}},
	} {
		t.Run(name, func(t *testing.T) { wantFault(t, c.read(), "value-not-readable", c.want...) })
	}
}

func TestPagesHaveFiftyRowsUnlessSaid(t *testing.T) {
	limit, cursor := 7, "abc"
	for name, c := range map[string]struct {
		limit  *Limit
		cursor *Cursor
		want   app.Page
	}{
		"nothing said": {nil, nil, app.Page{Limit: 50}},
		"both said":    {&limit, &cursor, app.Page{Limit: 7, After: "abc"}},
	} {
		if got := pageOf(c.limit, c.cursor); got != c.want {
			t.Errorf("%s: %+v, want %+v", name, got, c.want)
		}
	}
}

// wantFault holds a refusal against its code and the pointers it must name, in
// order.
func wantFault(t *testing.T, err error, code string, pointers ...string) {
	t.Helper()
	e := fault.As(err)
	if e == nil || e.Kind != fault.Invalid || e.Code != code {
		t.Fatalf("got %v, want Invalid %s", err, code)
	}
	got := make([]string, len(e.Fields))
	for i, f := range e.Fields {
		got[i] = f.Pointer
	}
	if len(got) != len(pointers) {
		t.Fatalf("pointers %q, want %q", got, pointers)
	}
	for i := range got {
		if got[i] != pointers[i] {
			t.Errorf("pointers %q, want %q", got, pointers)
		}
	}
}
