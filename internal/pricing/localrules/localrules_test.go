package localrules

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// table is a rule with prices and what is due on them.
type table struct {
	Source  string  `json:"source"`
	Consent Consent `json:"consent"`
	Cases   []struct {
		Currency   string `json:"currency"`
		Authorised string `json:"authorised"`
		Revised    string `json:"revised"`
		Allowed    string `json:"allowed"`
		Due        bool   `json:"due"`
		Arithmetic string `json:"arithmetic"`
	} `json:"cases"`
}

func amount(t testing.TB, s, currency string) money.Amount {
	t.Helper()
	c, err := money.ParseCurrency(currency)
	if err != nil {
		t.Fatal(err)
	}
	a, err := money.Parse(s, c)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func withConsent(c Consent) RuleSet {
	r := Example().Rule
	r.Consent = c
	return r
}

// The table of the design: what is due on 80, 300, 900 and 40,000, and the cent
// on either side of each bound.
func TestConsentTable(t *testing.T) {
	for name, prices := range map[string]int{
		"none_over": 9, "greater_of_10_and_10_percent_capped_at_50": 11, "lesser_of_10_and_10_percent": 11, "ten_percent_of_the_estimate": 11,
	} {
		text, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "localrules", name+".json"))
		if err != nil {
			t.Fatal(err)
		}
		var c table
		strict := json.NewDecoder(bytes.NewReader(text))
		strict.DisallowUnknownFields()
		if err := strict.Decode(&c); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if c.Source == "" || len(c.Cases) != prices {
			t.Errorf("%s: %d prices, want %d, with a source", name, len(c.Cases), prices)
		}
		for _, p := range c.Cases {
			got, err := ConsentDue(withConsent(c.Consent), amount(t, p.Authorised, p.Currency), amount(t, p.Revised, p.Currency))
			if err != nil || got.Due != p.Due || got.Allowed.String() != p.Allowed {
				t.Errorf("%s: %s to %s: due %v, allowed %s, %v; want %v, %s (%s)",
					name, p.Authorised, p.Revised, got.Due, got.Allowed, err, p.Due, p.Allowed, p.Arithmetic)
			}
			if asks := strings.Contains(got.Why, "get the client's consent"); asks != p.Due {
				t.Errorf("%s: %s to %s: due is %v and the sentence is %q", name, p.Authorised, p.Revised, p.Due, got.Why)
			}
		}
	}
}

func TestAPriceThatFallsNeedsNoConsent(t *testing.T) {
	for _, c := range []Consent{{Shape: NoneOver}, {Shape: Percent, Percent: "0"}} {
		got, err := ConsentDue(withConsent(c), amount(t, "900.00", "USD"), amount(t, "850.00", "USD"))
		if err != nil || got.Due || got.Extra.String() != "-50.00" {
			t.Errorf("%+v: %+v, %v", c, got, err)
		}
	}
}

func TestConsentDueRefuses(t *testing.T) {
	good := Example().Rule
	for _, c := range []struct {
		name                string
		rule                RuleSet
		authorised, revised money.Amount
	}{
		{"two currencies", good, amount(t, "1.00", "USD"), amount(t, "1.00", "EUR")},
		{"a negative authorised amount", good, amount(t, "-1.00", "USD"), amount(t, "1.00", "USD")},
		{"a negative revised price", good, amount(t, "1.00", "USD"), amount(t, "-1.00", "USD")},
		{"no rule", RuleSet{}, amount(t, "1.00", "USD"), amount(t, "1.00", "USD")},
	} {
		if got, err := ConsentDue(c.rule, c.authorised, c.revised); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: %+v, %v", c.name, got, err)
		}
	}
}

func TestEstimateDue(t *testing.T) {
	for _, c := range []struct {
		over, price string
		want        bool
	}{{"0", "0.00", true}, {"100", "100.00", false}, {"100", "100.01", true}, {"25", "0.00", false}} {
		rule := Example().Rule
		rule.WrittenEstimateOver = c.over
		if got, why, err := EstimateDue(rule, amount(t, c.price, "USD")); err != nil || got != c.want || why == "" {
			t.Errorf("over %s, price %s: %v %q %v, want %v", c.over, c.price, got, why, err, c.want)
		}
	}
}

// Every field that a rule wants is missed when it is left out or blank, and
// only then.
func TestMissing(t *testing.T) {
	rule := Example().Rule
	rule.RecordMustName = Fields()
	full := map[Field]string{}
	for _, f := range Fields() {
		full[f] = "said"
	}
	if got := Missing(rule, record(t, full)); len(got) != 0 {
		t.Errorf("a full record misses %v", got)
	}
	for _, f := range Fields() {
		for _, empty := range []string{"", " \t\n"} {
			less := map[Field]string{}
			for k, v := range full {
				less[k] = v
			}
			less[f] = empty
			if got := Missing(rule, record(t, less)); !slices.Equal(got, []Field{f}) {
				t.Errorf("without %s: %v", f, got)
			}
			other := rule
			other.RecordMustName = slices.DeleteFunc(Fields(), func(x Field) bool { return x == f })
			if got := Missing(other, record(t, less)); len(got) != 0 {
				t.Errorf("without %s, which is not asked for: %v", f, got)
			}
		}
	}
	if got := Missing(rule, Record{}); !slices.Equal(got, Fields()) {
		t.Errorf("an empty record misses %v", got)
	}
	for how, want := range map[string]int{InPerson: 7, Portal: 7, "telephone": 8, "email": 8} {
		if got := Missing(rule, Record{How: how}); len(got) != want {
			t.Errorf("%s: %v, want %d missing", how, got, want)
		}
	}
}

// record makes a record of its JSON members, which are named like the fields.
func record(t *testing.T, fields map[Field]string) Record {
	t.Helper()
	text, err := json.Marshal(fields)
	if err != nil {
		t.Fatal(err)
	}
	var r Record
	strict := json.NewDecoder(bytes.NewReader(text))
	strict.DisallowUnknownFields()
	if err := strict.Decode(&r); err != nil {
		t.Fatal(err)
	}
	return r
}

func TestWithReplacesEveryMember(t *testing.T) {
	base, years := Example().Rule, 9
	before, _ := json.Marshal(base)
	text := func(s string) *string { return &s }
	shape, supplies := LesserOf, SuppliesForbidden
	got, err := With(base, Overrides{WrittenEstimateOver: text("75"), Shape: &shape, Amount: text("12.50"), Percent: text("8"),
		RecordMustName: &[]Field{Person}, ShopSuppliesLine: &supplies, InvoiceMustShow: &[]string{"total"},
		EstimateMustState: &[]Charge{Storage}, KeepRecordsYears: &years, Note: "On our lawyer's advice."})
	if err != nil {
		t.Fatal(err)
	}
	if got.WrittenEstimateOver != "75" || got.Consent != (Consent{LesserOf, "12.50", "8", ""}) || !slices.Equal(got.RecordMustName, []Field{Person}) ||
		got.ShopSuppliesLine != SuppliesForbidden || !slices.Equal(got.InvoiceMustShow, []string{"total"}) ||
		!slices.Equal(got.EstimateMustState, []Charge{Storage}) || got.KeepRecordsYears != 9 || got.Note != "On our lawyer's advice." {
		t.Errorf("%+v", got)
	}
	if len(got.Overridden) != 9 {
		t.Errorf("overridden: %v", got.Overridden)
	}
	if after, _ := json.Marshal(base); !bytes.Equal(before, after) {
		t.Error("the rule set itself was changed")
	}
	if got, err := With(base, Overrides{Cap: text("75")}); err != nil || got.Consent.Cap != "75" || got.Consent.Percent != "10" || !slices.Equal(got.Overridden, []string{"consent.cap"}) {
		t.Errorf("only the cap: %+v, %v", got, err)
	}
	if same, err := With(base, Overrides{}); err != nil || len(same.Overridden) != 0 || same.Note != base.Note {
		t.Errorf("nothing replaced: %+v, %v", same, err)
	}
}

func TestValidateNamesEachFault(t *testing.T) {
	for pointer, spoil := range map[string]func(*RuleSet){
		"/code": func(r *RuleSet) { r.Code = "" }, "/name": func(r *RuleSet) { r.Name = " " },
		"/place": func(r *RuleSet) { r.Place = "" }, "/source": func(r *RuleSet) { r.Source = "" },
		"/check": func(r *RuleSet) { r.Check = "" }, "/read_on": func(r *RuleSet) { r.ReadOn = "2026-02-30" },
		"/note":                  func(r *RuleSet) { r.Note = strings.Repeat("x", MaxTextLength+1) },
		"/written_estimate_over": func(r *RuleSet) { r.WrittenEstimateOver = "1e3" },
		"/consent/shape":         func(r *RuleSet) { r.Consent.Shape = "half" },
		"/consent/amount":        func(r *RuleSet) { r.Consent.Amount = "-10" },
		"/consent/percent":       func(r *RuleSet) { r.Consent.Percent = "100.1" },
		"/consent/cap":           func(r *RuleSet) { r.Consent.Cap = "9.99" },
		"/record_must_name/1":    func(r *RuleSet) { r.RecordMustName = []Field{Date, Date} },
		"/record_must_name/0":    func(r *RuleSet) { r.RecordMustName = []Field{"mood"} },
		"/shop_supplies_line":    func(r *RuleSet) { r.ShopSuppliesLine = "" },
		"/invoice_must_show/0":   func(r *RuleSet) { r.InvoiceMustShow = []string{""} },
		"/estimate_must_state/0": func(r *RuleSet) { r.EstimateMustState = []Charge{"coffee"} },
		"/keep_records_years":    func(r *RuleSet) { r.KeepRecordsYears = -1 },
	} {
		r := Example().Rule
		spoil(&r)
		err := fault.As(r.Validate())
		if err == nil || len(err.Fields) != 1 || err.Fields[0].Pointer != pointer {
			t.Errorf("%s: %v", pointer, err)
		}
	}
	for _, c := range []Consent{{Shape: NoneOver, Percent: "10"}, {Shape: Percent, Amount: "10", Percent: "10"}, {Shape: LesserOf, Percent: "10"},
		{Shape: LesserOf, Amount: "10", Percent: "10", Cap: "50"}, {Shape: GreaterOfCapped, Amount: "10", Percent: "10"}, {}} {
		if err := withConsent(c).Validate(); err == nil {
			t.Errorf("%+v was let through", c)
		}
	}
	if err := Example().Rule.Validate(); err != nil {
		t.Error(err)
	}
}

func TestCalculate(t *testing.T) {
	got, err := Calculate(Example())
	// By hand: 975.50 - 900.00 = 75.50; 10 % of 900 is 90, over the cap of 50.
	if err != nil || !got.Consent.Due || got.Consent.Extra.String() != "75.50" || got.Consent.Allowed.String() != "50.00" {
		t.Fatalf("%+v, %v", got, err)
	}
	if !slices.Equal(got.Missing, []Field{NumberOrAddress}) || *got.RecordComplete || !got.EstimateDue || got.Check == "" {
		t.Errorf("%+v", got)
	}
	in := Example()
	in.Record = nil
	if got, err := Calculate(in); err != nil || got.RecordComplete != nil || len(got.Missing) != len(in.Rule.RecordMustName) {
		t.Errorf("without a record: %+v, %v", got, err)
	}
	in.Currency, in.Authorised, in.Rule.Source = "USD", "1.234", ""
	if f := fault.As(second(Calculate(in))); f == nil || len(f.Fields) != 2 || f.Fields[0].Pointer != "/rule/source" || f.Fields[1].Pointer != "/authorised" {
		t.Errorf("%v", f)
	}
}

func TestParse(t *testing.T) {
	text, err := json.Marshal(Example().Rule)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Parse(text)
	if again, _ := json.Marshal(got); err != nil || !bytes.Equal(text, again) {
		t.Errorf("%v\n%s\n%s", err, text, again)
	}
	for name, bad := range map[string]string{"not JSON": "{", "text after it": string(text) + "{}", "an unknown member": `{"luck": 1}`, "nothing": "{}"} {
		if _, err := Parse([]byte(bad)); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func second[T any](_ T, err error) error { return err }
