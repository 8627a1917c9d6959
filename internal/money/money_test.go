package money

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"bareframe/internal/fault"
)

// load reads a published check into v.
func load(t *testing.T, name string, v any) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "money", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, v); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
}

func currency(t testing.TB, code string) Currency {
	t.Helper()
	c, err := ParseCurrency(code)
	if err != nil {
		t.Fatalf("currency %q: %v", code, err)
	}
	return c
}

func amount(t testing.TB, s, code string) Amount {
	t.Helper()
	a, err := Parse(s, currency(t, code))
	if err != nil {
		t.Fatalf("amount %q %s: %v", s, code, err)
	}
	return a
}

func TestMinorUnitsAsPublished(t *testing.T) {
	var published struct {
		Places     map[string][]string
		NotCurrent []string `json:"not_current"`
	}
	load(t, "minor_units.json", &published)
	checked := 0
	for places, codes := range published.Places {
		for _, code := range codes {
			if got := strconv.Itoa(int(currency(t, code).Places())); got != places {
				t.Errorf("%s has %s places, want %s", code, got, places)
			}
			checked++
		}
	}
	if left := len(Currencies()) - checked; left != 3 {
		t.Errorf("%d currencies are not checked, want the 3 that the source names", left)
	}
	for _, code := range published.NotCurrent {
		if _, err := ParseCurrency(code); fault.KindOf(err) != fault.Invalid {
			t.Errorf("ParseCurrency(%q) = %v, want Invalid", code, err)
		}
	}
}

func TestRoundAsPublished(t *testing.T) {
	var published struct {
		Cases []struct{ Value, Currency, Want string }
	}
	load(t, "rounding.json", &published)
	if len(published.Cases) == 0 {
		t.Fatal("no cases")
	}
	for _, c := range published.Cases {
		d := decimal.RequireFromString(c.Value)
		if got := Round(d, currency(t, c.Currency)).String(); got != c.Want {
			t.Errorf("Round(%s, %s) = %s, want %s", c.Value, c.Currency, got, c.Want)
		}
		thirds := d.Mul(decimal.NewFromInt(3))
		if got := RoundQuotient(thirds, decimal.NewFromInt(3), currency(t, c.Currency)).String(); got != c.Want {
			t.Errorf("RoundQuotient(3 x %s, 3, %s) = %s, want %s", c.Value, c.Currency, got, c.Want)
		}
	}
}

func TestAllocateAsPublished(t *testing.T) {
	var published struct {
		Cases []struct {
			Name, Amount, Currency string
			Weights, Want          []string
		}
	}
	load(t, "allocation.json", &published)
	if len(published.Cases) == 0 {
		t.Fatal("no cases")
	}
	for _, c := range published.Cases {
		var weights []decimal.Decimal
		for _, w := range c.Weights {
			weights = append(weights, decimal.RequireFromString(w))
		}
		parts, err := amount(t, c.Amount, c.Currency).AllocateBy(weights)
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		for i, want := range c.Want {
			if parts[i].String() != want {
				t.Errorf("%s: part %d is %s, want %s (%v)", c.Name, i, parts[i], want, parts)
			}
		}
	}
}

func TestAllocateEqualParts(t *testing.T) {
	got := amount(t, "33.34", "USD").Allocate(4)
	for i, want := range []string{"8.34", "8.34", "8.33", "8.33"} {
		if got[i].String() != want {
			t.Fatalf("33.34 over 4 = %v", got)
		}
	}
	if parts := amount(t, "1.00", "USD").Allocate(0); parts != nil {
		t.Fatalf("over 0 parts = %v, want nil", parts)
	}
}

func TestAllocateRefusesWeights(t *testing.T) {
	zero, minus := decimal.Decimal{}, decimal.NewFromInt(-1)
	for name, weights := range map[string][]decimal.Decimal{
		"none": nil, "all zero": {zero, zero}, "negative": {minus, decimal.NewFromInt(3)},
	} {
		if parts, err := amount(t, "1.00", "USD").AllocateBy(weights); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%s: got %v, %v; want Invalid", name, parts, err)
		}
	}
}

func TestTwoCurrenciesNeverMeet(t *testing.T) {
	dollars, euros := amount(t, "1.00", "USD"), amount(t, "1.00", "EUR")
	_, addErr := dollars.Add(euros)
	_, subErr := dollars.Sub(euros)
	_, cmpErr := dollars.Cmp(euros)
	_, sumErr := Sum(dollars.Currency(), dollars, euros)
	_, zeroErr := Sum(euros.Currency(), Zero(dollars.Currency()))
	for name, err := range map[string]error{"Add": addErr, "Sub": subErr, "Cmp": cmpErr, "Sum": sumErr, "Sum of zero": zeroErr} {
		if e := fault.As(err); e == nil || e.Code != "mixed-currencies" {
			t.Errorf("%s: got %v, want mixed-currencies", name, err)
		}
	}
	if dollars.Equal(euros) {
		t.Error("one dollar equals one euro")
	}
}

func TestParseRefuses(t *testing.T) {
	for _, s := range []string{"", "-", ".", ".5", "5.", "+1", "1e3", "1E-2", "NaN", "Inf", "-Inf", "0x1p4", "1_000",
		"1,000.00", "1 000", " 1", "1 ", "--1", "1.2.3", "1.234", "1234567890123", "٣", "１", "1\n", "1\x00"} {
		if a, err := Parse(s, currency(t, "USD")); fault.KindOf(err) != fault.Invalid {
			t.Errorf("Parse(%q) = %v, %v; want Invalid", s, a, err)
		}
	}
	if a, err := Parse("1.5", currency(t, "JPY")); err == nil {
		t.Errorf("Parse(1.5 JPY) = %v, want an error: it must not round", a)
	}
}

func TestParseAcceptsAndPrints(t *testing.T) {
	for _, c := range []struct{ in, code, want string }{
		{"12.3", "USD", "12.30"}, {"-0.05", "USD", "-0.05"}, {"999999999999.99", "USD", "999999999999.99"},
		{"007", "JPY", "7"}, {"-0", "USD", "0.00"}, {"1.5", "KWD", "1.500"},
	} {
		a := amount(t, c.in, c.code)
		if a.String() != c.want {
			t.Errorf("Parse(%q %s) prints %s, want %s", c.in, c.code, a, c.want)
		}
		text, err := json.Marshal(struct{ A Amount }{a})
		if want := `{"A":"` + c.want + `"}`; err != nil || string(text) != want {
			t.Errorf("JSON of %q is %s, %v; want %s", c.in, text, err, want)
		}
		if back := FromMinor(a.Minor(), a.Currency()); !back.Equal(a) {
			t.Errorf("%s is %d minor units, which are %s", a, a.Minor(), back)
		}
	}
}

func TestFitsAndMinorDoNotWrap(t *testing.T) {
	kwd := currency(t, "KWD")
	if a := Round(decimal.New(1, MaxIntegerDigits), kwd); a.Fits() {
		t.Errorf("%s fits", a)
	}
	if a := amount(t, "999999999999.999", "KWD"); !a.Fits() || a.Minor() != 999999999999999 {
		t.Errorf("%s: fits %v, minor %d", a, a.Fits(), a.Minor())
	}
	defer func() {
		if recover() == nil {
			t.Error("Minor of 10^30 did not panic")
		}
	}()
	Round(decimal.New(1, 30), kwd).Minor()
}

func TestCurrencyAsText(t *testing.T) {
	var c Currency
	if err := json.Unmarshal([]byte(`"NOK"`), &c); err != nil || c != currency(t, "NOK") {
		t.Fatalf("got %v, %v", c, err)
	}
	if text, err := json.Marshal(c); err != nil || string(text) != `"NOK"` {
		t.Fatalf("got %s, %v", text, err)
	}
	if err := json.Unmarshal([]byte(`"NOPE"`), &c); err == nil {
		t.Fatal("NOPE was read as a currency")
	}
}
