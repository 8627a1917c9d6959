package pricing

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"bareframe/internal/fault"
)

func calculate(t testing.TB, in Input) Result {
	t.Helper()
	r, err := Calculate(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

var secrets = []string{"cost", "markup", "margin", "waste"}

// No type that a client's view is made of has a field for cost, markup, margin
// or waste, so no change of the code below can fill one.
func TestClientTypesHaveNoPlaceForSecrets(t *testing.T) {
	seen := 0
	var walk func(path string, typ reflect.Type)
	walk = func(path string, typ reflect.Type) {
		for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice {
			typ = typ.Elem()
		}
		if typ.Kind() != reflect.Struct || typ.PkgPath() != reflect.TypeFor[ClientResult]().PkgPath() {
			return
		}
		for i := range typ.NumField() {
			f := typ.Field(i)
			seen++
			for _, s := range secrets {
				if strings.Contains(strings.ToLower(f.Name+f.Tag.Get("json")), s) {
					t.Errorf("%s.%s can hold a %s", path, f.Name, s)
				}
			}
			walk(path+"."+f.Name, f.Type)
		}
	}
	walk("ClientResult", reflect.TypeFor[ClientResult]())
	walk("Explanation", reflect.TypeFor[Explanation]())
	if seen < 40 {
		t.Fatalf("only %d fields were looked at", seen)
	}
}

// Nor do costs and markups leak as values: they are made unmistakable here and
// looked for in everything that a client can be sent.
func TestClientViewLeaksNoCost(t *testing.T) {
	in := Example()
	marks := []string{"31.7171", "61.3131", "13.1717", "17.3737"}
	in.Lines[0].UnitCost = marks[0]
	in.Lines[2].UnitCost, in.Lines[2].MarkupPercent, in.Lines[2].WastePercent = marks[1], marks[2], marks[3]
	owner := calculate(t, in)
	view := owner.ClientView()
	parts := []any{view}
	for _, l := range view.Lines {
		e, err := view.Explain(l.ID)
		if err != nil {
			t.Fatal(err)
		}
		parts = append(parts, e)
	}
	text, err := json.Marshal(parts)
	if err != nil {
		t.Fatal(err)
	}
	ownerText, _ := json.Marshal(owner)
	for _, m := range append(marks, owner.Lines[0].Cost.String(), owner.Lines[2].Margin.String(), owner.Margin.Cost.String()) {
		if strings.Contains(string(text), m) {
			t.Errorf("the client can read %s", m)
		}
		if !strings.Contains(string(ownerText), m) {
			t.Errorf("the owner cannot read %s, so the test looks for nothing", m)
		}
	}
	if _, err := view.ExplainTotal("margin"); fault.KindOf(err) != fault.NotFound {
		t.Errorf("the client can open the margin: %v", err)
	}
}

// A reserve of 100.00 carried by nets of 300.00 and 100.00 of its phase and tax
// class adds 75.00 and 25.00 to them. With tax per line its tax of 7.25 is shared
// as 5.4375 and 1.8125; whole cents 5.43 and 1.81, and the cent left over goes to
// the larger remainder, 0.75 of a cent. Taxes: 21.75 + 5.44 and 7.25 + 1.81.
// Arithmetic by hand.
func TestCarriedReserve(t *testing.T) {
	line := func(id, phase, price string, class TaxClass) Line {
		return Line{ID: id, PhaseID: phase, Kind: Labour, Quantity: "1", UnitPrice: price, TaxClass: class}
	}
	reserve := Line{ID: "R", PhaseID: "rust", Kind: Reserve, Quantity: "1", UnitPrice: "100", TaxClass: RepairLabour,
		Reserve: &ReserveRule{Approval: ByOwner, Carried: true}}
	in := Input{Currency: "USD", TaxBasis: PerLine, TaxRates: []TaxRate{{RepairLabour, "7.25"}, {Part, "7.25"}},
		Phases: []Phase{{"rust", "Rust repair"}, {"coating", "Coating"}},
		Lines: []Line{line("A", "rust", "300", RepairLabour), line("B", "rust", "100", RepairLabour), reserve,
			line("C", "rust", "50", Part), line("D", "coating", "50", RepairLabour)}}
	owner := calculate(t, in)
	view := owner.ClientView()
	if err := view.Ties(owner); err != nil {
		t.Error(err)
	}
	want := map[string][3]string{ // net, tax, unit price
		"A": {"375.00", "27.19", ""}, "B": {"125.00", "9.06", ""}, "C": {"50.00", "3.63", "50"}, "D": {"50.00", "3.63", "50"}}
	if len(view.Lines) != len(want) || view.Reserve != nil {
		t.Fatalf("the client sees %d lines and the reserve %v", len(view.Lines), view.Reserve)
	}
	for _, l := range view.Lines {
		if got := [3]string{l.Net.String(), l.Tax.String(), l.UnitPrice}; got != want[l.ID] {
			t.Errorf("line %s: got %v, want %v", l.ID, got, want[l.ID])
		}
	}
	if owner.Reserve.Net.String() != "100.00" {
		t.Errorf("the owner's reserve is %s", owner.Reserve.Net)
	}
	if _, err := view.Explain("R"); fault.KindOf(err) != fault.NotFound {
		t.Errorf("the client can open the hidden line: %v", err)
	}
	if _, err := owner.Explain("R"); err != nil {
		t.Errorf("the owner cannot open it: %v", err)
	}
}

func TestReserveOfItsOwnIsShownWithItsRule(t *testing.T) {
	view := calculate(t, Example()).ClientView()
	if view.Reserve == nil || view.Reserve.Net.String() != "2500.00" {
		t.Fatalf("got %v", view.Reserve)
	}
	for _, l := range view.Lines {
		if (l.Kind == Reserve) != (l.Approval == ByClient) {
			t.Errorf("line %s of kind %s has the approval %q", l.ID, l.Kind, l.Approval)
		}
	}
}
