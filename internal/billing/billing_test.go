package billing

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bareframe/internal/fault"
)

func load(t *testing.T, file string, into any) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	strict := json.NewDecoder(bytes.NewReader(text))
	strict.DisallowUnknownFields()
	if err := strict.Decode(into); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
}

// worked is an example worked by hand.
type worked struct {
	Source string       `json:"source"`
	Steps  []string     `json:"steps"`
	Input  StopNowInput `json:"input"`
	Want   struct {
		Lines []struct {
			Kind LineKind `json:"kind"`
			ID   string   `json:"id"`
			Net  string   `json:"net"`
		} `json:"lines"`
		Taxes []struct {
			Exempt  bool   `json:"exempt"`
			Percent string `json:"percent"`
			Base    string `json:"base"`
			Tax     string `json:"tax"`
		} `json:"taxes"`
		Net, Tax, Total, Paid, Balance string
		OverAuthorised                 string `json:"over_authorised"`
	} `json:"want"`
}

func TestStopNowWorkedExamples(t *testing.T) {
	files, err := filepath.Glob("../../testdata/billing/stop_now_*.json")
	if err != nil || len(files) != 4 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, file := range files {
		var w worked
		load(t, file, &w)
		t.Run(filepath.Base(file), func(t *testing.T) { w.hold(t) })
	}
}

func (w worked) hold(t *testing.T) {
	if w.Source == "" || len(w.Steps) == 0 {
		t.Fatal("an example needs its source and its steps")
	}
	got, err := StopNow(w.Input)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Lines) != len(w.Want.Lines) || len(got.Taxes) != len(w.Want.Taxes) {
		t.Fatalf("%d lines and %d rates, want %d and %d", len(got.Lines), len(got.Taxes), len(w.Want.Lines), len(w.Want.Taxes))
	}
	for i, want := range w.Want.Lines {
		l := got.Lines[i]
		if l.Kind != want.Kind || l.ID != want.ID || l.Net.String() != want.Net || l.Why == "" || l.Quantity == "" {
			t.Errorf("line %d: %+v, want %+v", i, l, want)
		}
		if (l.Tax != nil) != (w.Input.TaxBasis == PerLine) {
			t.Errorf("line %d: tax %v with the basis %s", i, l.Tax, w.Input.TaxBasis)
		}
	}
	for i, want := range w.Want.Taxes {
		if row := got.Taxes[i]; row.Exempt != want.Exempt || row.Percent != want.Percent || row.Base.String() != want.Base || row.Tax.String() != want.Tax || row.Why == "" {
			t.Errorf("rate %d: %+v, want %+v", i, row, want)
		}
	}
	over := ""
	if got.OverAuthorised != nil {
		over = got.OverAuthorised.String()
	}
	for _, total := range [][3]string{{"net", got.Net.String(), w.Want.Net}, {"tax", got.Tax.String(), w.Want.Tax}, {"total", got.Total.String(), w.Want.Total},
		{"paid", got.Paid.String(), w.Want.Paid}, {"balance", got.Balance.String(), w.Want.Balance}, {"over authorised", over, w.Want.OverAuthorised}} {
		if total[1] != total[2] {
			t.Errorf("%s %s, want %s", total[0], total[1], total[2])
		}
	}
	owed := strings.Contains(strings.Join(got.Words, " "), "The shop would owe the client")
	if owed != strings.HasPrefix(w.Want.Balance, "-") {
		t.Errorf("a balance of %s in words: %q", w.Want.Balance, got.Words)
	}
}

func TestWatchTable(t *testing.T) {
	var table struct {
		Source string `json:"source"`
		Cases  []struct {
			WatchInput
			State      WatchState `json:"state"`
			Exposure   string     `json:"exposure"`
			WarnAt     string     `json:"warn_at"`
			StopAbove  string     `json:"stop_above"`
			LeftToWarn string     `json:"left_to_warn"`
			LeftToStop string     `json:"left_to_stop"`
			Arithmetic string     `json:"arithmetic"`
		} `json:"cases"`
	}
	load(t, "../../testdata/billing/watch.json", &table)
	if table.Source == "" || len(table.Cases) != 15 {
		t.Fatalf("%d cases, and a source %q", len(table.Cases), table.Source)
	}
	for _, c := range table.Cases {
		got, err := Watch(c.WatchInput)
		if err != nil {
			t.Errorf("%s: %v", c.Arithmetic, err)
			continue
		}
		for _, v := range [][3]string{{"state", string(got.State), string(c.State)}, {"exposure", got.Exposure.String(), c.Exposure}, {"warn at", got.WarnAt.String(), c.WarnAt},
			{"stop above", got.StopAbove.String(), c.StopAbove}, {"left to warn", got.LeftToWarn.String(), c.LeftToWarn}, {"left to stop", got.LeftToStop.String(), c.LeftToStop}} {
			if v[1] != v[2] {
				t.Errorf("%s: %s %s, want %s", c.Arithmetic, v[0], v[1], v[2])
			}
		}
		if stops := strings.HasPrefix(got.Why, "Stop:"); stops != (c.State == WatchStop) {
			t.Errorf("%s: %s and the sentence %q", c.Arithmetic, c.State, got.Why)
		}
	}
}

func TestStopNowNamesEachFault(t *testing.T) {
	for pointer, spoil := range map[string]func(*StopNowInput){
		"/currency":                func(in *StopNowInput) { in.Currency = "EURO" },
		"/tax_basis":               func(in *StopNowInput) { in.TaxBasis = "" },
		"/tax_rates/1/percent":     func(in *StopNowInput) { in.TaxRates[1].Percent = "100.1" },
		"/tax_rates/6/class":       func(in *StopNowInput) { in.TaxRates = append(in.TaxRates, TaxRate{"part", "5"}) },
		"/tax_rates/6/percent":     func(in *StopNowInput) { in.TaxRates = append(in.TaxRates, TaxRate{Exempt, "5"}) },
		"/labour/0/minutes":        func(in *StopNowInput) { in.Labour[0].Minutes = -1 },
		"/labour/1/rate":           func(in *StopNowInput) { in.Labour[1].Rate = "1e2" },
		"/labour/0/tax_class":      func(in *StopNowInput) { in.Labour[0].TaxClass = "gold" },
		"/labour/0/description":    func(in *StopNowInput) { in.Labour[0].Description = " " },
		"/fitted/0/net":            func(in *StopNowInput) { in.Fitted[0].Net = "-1.00" },
		"/fitted/0/quantity":       func(in *StopNowInput) { in.Fitted[0].Quantity = "six" },
		"/orders/0/restocking_fee": func(in *StopNowInput) { in.Orders[0].RestockingFee = "5.00" },
		"/orders/1/fee_tax_class":  func(in *StopNowInput) { in.Orders[1].FeeTaxClass = "" },
		"/orders/1/net":            func(in *StopNowInput) { in.Orders[1].Net = "306.801" },
		"/storage/days":            func(in *StopNowInput) { in.Storage.Days = -1 },
		"/storage/per_day":         func(in *StopNowInput) { in.Storage.PerDay = "" },
		"/reassembly/amount":       func(in *StopNowInput) { in.Reassembly.Amount = "lots" },
		"/payments/0/amount":       func(in *StopNowInput) { in.Payments[0].Amount = "-4000.00" },
		"/authorised":              func(in *StopNowInput) { in.Authorised = "-1.00" },
		"/payments":                func(in *StopNowInput) { in.Payments = make([]Payment, MaxEntries+1) },
		"/credits":                 func(in *StopNowInput) { in.Credits = make([]Item, MaxEntries+1) },
	} {
		in := StopNowExample()
		spoil(&in)
		_, err := StopNow(in)
		if f := fault.As(err); f == nil || f.Kind != fault.Invalid || len(f.Fields) != 1 || f.Fields[0].Pointer != pointer {
			t.Errorf("%s: %v", pointer, err)
		}
	}
	if _, err := StopNow(StopNowExample()); err != nil {
		t.Error(err)
	}
	in := StopNowExample()
	in.Fitted[0].Net, in.Orders[0].Net = "999999999999.99", "999999999999.99"
	if _, err := StopNow(in); fault.KindOf(err) != fault.Invalid {
		t.Errorf("a total that does not fit: %v", err)
	}
}

func TestWatchNamesEachFault(t *testing.T) {
	for pointer, spoil := range map[string]func(*WatchInput){
		"/currency":          func(in *WatchInput) { in.Currency = "" },
		"/authorised":        func(in *WatchInput) { in.Authorised = "" },
		"/worked":            func(in *WatchInput) { in.Worked = "-1.00" },
		"/fitted":            func(in *WatchInput) { in.Fitted = "NaN" },
		"/ordered":           func(in *WatchInput) { in.Ordered = "1.234" },
		"/invoiced":          func(in *WatchInput) { in.Invoiced = "1e3" },
		"/warn_percent":      func(in *WatchInput) { in.WarnPercent = "0" },
		"/tolerance_percent": func(in *WatchInput) { in.TolerancePercent = "101" },
	} {
		in := WatchExample()
		spoil(&in)
		_, err := Watch(in)
		if f := fault.As(err); f == nil || len(f.Fields) != 1 || f.Fields[0].Pointer != pointer {
			t.Errorf("%s: %v", pointer, err)
		}
	}
}
