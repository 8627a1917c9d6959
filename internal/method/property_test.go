package method

import (
	"encoding/json"
	"fmt"
	"math/big"
	"reflect"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

var cents = rapid.Custom(func(t *rapid.T) string { return hundredths(rapid.Int64Range(1, 900).Draw(t, "hundredths")) })

func hundredths(n int64) string { return fmt.Sprintf("%d.%02d", n/100, n%100) }

// input draws rules of every sort, some of which read others, and zones.
var input = rapid.Custom(func(t *rapid.T) Input {
	in := Input{List: List{Methods: Example().List.Methods}, Known: Known{Quantities: TakeoffQuantities(Named{"top", "top coat"})}}
	for i := range rapid.IntRange(1, 6).Draw(t, "rules") {
		in.List.Rules = append(in.List.Rules, drawRule(t, i))
	}
	for i := range rapid.IntRange(1, 5).Draw(t, "zones") {
		in.Zones = append(in.Zones, drawZone(t, i))
	}
	return in
})

func drawRule(t *rapid.T, i int) Rule {
	r := Rule{Key: fmt.Sprintf("r%d", i), Name: fmt.Sprintf("Rule %d", i), Stage: Strip, Makes: Hours, Unit: "h", Source: "drawn",
		Task: rapid.SampledFrom([]string{"B45", "C10"}).Draw(t, "task")}
	table := Factor{By: ByCondition, Table: map[string]string{"a": cents.Draw(t, "A"), "c": cents.Draw(t, "C")}, Other: cents.Draw(t, "other")}
	r.Parts = []Part{{Factors: rapid.SampledFrom([][]Factor{
		{{Of: "outer_area"}, {Per: cents.Draw(t, "rate"), Unit: "m2/h"}, table},
		{{Of: "edge_length"}, {Times: cents.Draw(t, "rate"), Unit: "h/ft"}},
		{table, {Of: "weld_time"}},
	}).Draw(t, "part")}}
	if i > 0 && rapid.Bool().Draw(t, "reads") {
		r.Parts = append(r.Parts, Part{Factors: []Factor{{OfRule: "r0"}, {Per: cents.Draw(t, "share")}}})
	}
	if rapid.Bool().Draw(t, "spreads") {
		r.Spread = &Spread{Low: "0.7", High: "1.8"}
	}
	if rapid.Bool().Draw(t, "only some") {
		r.For = For{Methods: []string{"blast"}, Conditions: []Condition{GradeA, GradeC, Pitted}}
	}
	if i > 0 && rapid.Bool().Draw(t, "material") {
		r.Makes, r.Material, r.Spread, r.Unit = Material, rapid.SampledFrom([]string{"tape", "disc"}).Draw(t, "goods"), nil, "pc"
		r.Parts = []Part{{Factors: []Factor{{Of: "outer_area"}, {Times: cents.Draw(t, "pieces"), Unit: "pc/m2"}}}}
	}
	return r
}

func drawZone(t *rapid.T, i int) Zone {
	q := func(name, unit string) Quantity { return Quantity{Name: name, Value: cents.Draw(t, name), Unit: unit} }
	return Zone{ID: fmt.Sprintf("z%d", i), Name: fmt.Sprintf("Zone %d", i), Kind: Rail, Side: Left, Finish: Driver,
		Condition:  rapid.SampledFrom(Conditions()).Draw(t, "condition"),
		Methods:    map[Stage]string{Strip: rapid.SampledFrom([]string{"blast", "hand"}).Draw(t, "method")},
		Quantities: []Quantity{q("outer_area", "m2"), q("edge_length", "m"), q("weld_time", "h")}}
}

func must(t *rapid.T, in Input) Result {
	r, err := Compute(in)
	if err != nil {
		t.Fatalf("%v of %+v", err, in)
	}
	return r
}

// Twice the frame is twice the work, and so for any whole multiple, exactly, as
// long as nothing is counted once or by the zone.
func TestAmountsAreLinearInTheQuantities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := input.Draw(t, "input")
		k := rapid.Int64Range(2, 50).Draw(t, "times")
		large := in
		large.Zones = nil
		for _, z := range in.Zones {
			z.Quantities = slices.Clone(z.Quantities)
			for i, q := range z.Quantities {
				z.Quantities[i].Value = decimal.RequireFromString(q.Value).Mul(decimal.NewFromInt(k)).String()
			}
			large.Zones = append(large.Zones, z)
		}
		small, big_ := must(t, in).amounts(), must(t, large).amounts()
		if len(small) != len(big_) {
			t.Fatalf("%d amounts and %d", len(small), len(big_))
		}
		for s, amount := range small {
			if want := new(big.Rat).Mul(amount.rat(), big.NewRat(k, 1)); !big_[s].known() || big_[s].rat().Cmp(want) != 0 {
				t.Fatalf("%v: %s times %d is %s, got %v", s, amount.rat(), k, want, big_[s].rat())
			}
		}
	})
}

func TestTheOrderOfRulesChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := input.Draw(t, "input")
		first := must(t, in)
		in.List.Rules = rapid.Permutation(in.List.Rules).Draw(t, "order")
		second := must(t, in)
		if written(t, first) != written(t, second) || !reflect.DeepEqual(first.amounts(), second.amounts()) {
			t.Fatalf("%s\n%s", written(t, first), written(t, second))
		}
	})
}

// written is all that a result says.
func written(t *rapid.T, r Result) string {
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The zones and the fixed amounts add up exactly to what is rounded once: hours
// lie within half a hundredth, whole pieces are never too few and never one too
// many.
func TestZonesAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := input.Draw(t, "input")
		for i := range in.List.Rules {
			if rapid.Bool().Draw(t, "fixed") {
				in.List.Rules[i].Fixed = cents.Draw(t, "fixed amount")
			}
		}
		r := must(t, in)
		sums := map[goods]*big.Rat{}
		for s, amount := range r.amounts() {
			if sums[s.goods] == nil {
				sums[s.goods] = new(big.Rat)
			}
			sums[s.goods].Add(sums[s.goods], amount.rat())
		}
		for _, task := range r.Tasks {
			exact := sums[goods{target{task.Task, ""}, "h"}]
			off := new(big.Rat).Sub(task.Hours.Likely.Rat(), exact)
			if off.Abs(off).Cmp(big.NewRat(1, 200)) > 0 || task.Hours.Likely.Exponent() < -2 {
				t.Fatalf("%s: %s, exact %s", task.Task, task.Hours.Likely, exact.FloatString(8))
			}
			if task.Hours.Low.GreaterThan(task.Hours.Likely) || task.Hours.High.LessThan(task.Hours.Likely) {
				t.Fatalf("hours do not rise: %v", task.Hours)
			}
		}
		for _, m := range r.Materials {
			exact := sums[goods{target{m.Task, m.Material}, m.Unit}]
			over := new(big.Rat).Sub(m.Quantity.Rat(), exact)
			if !m.Quantity.IsInteger() || over.Sign() < 0 || over.Cmp(big.NewRat(1, 1)) >= 0 {
				t.Fatalf("%s for a need of %s", m.Quantity, exact.FloatString(8))
			}
		}
	})
}

// Held against the formulas of the drawn rules in floating point, with the foot
// by its definition: 0.3048 m.
func TestAmountsAgainstTheFormula(t *testing.T) {
	number := func(s string) float64 { f, _ := decimal.RequireFromString(s).Float64(); return f }
	rapid.Check(t, func(t *rapid.T) {
		in := input.Draw(t, "input")
		got := must(t, in).amounts()
		made := map[string]float64{}
		for _, rule := range in.List.Rules {
			for _, z := range in.Zones {
				sum := 0.0
				for _, p := range rule.Parts {
					product := 1.0
					for _, f := range p.Factors {
						switch {
						case f.Of != "":
							product *= number(z.Quantities[slices.IndexFunc(z.Quantities, func(q Quantity) bool { return q.Name == f.Of })].Value)
						case f.OfRule != "":
							product *= made[f.OfRule+z.ID]
						case f.Unit == "h/ft":
							product *= number(f.Times) / 0.3048
						case f.Times != "":
							product *= number(f.Times)
						case f.Per != "":
							product /= number(f.Per)
						case f.Table[string(z.Condition)] != "":
							product *= number(f.Table[string(z.Condition)])
						default:
							product *= number(f.Other)
						}
					}
					sum += product
				}
				if len(rule.For.Methods) > 0 && (z.Methods[Strip] != "blast" || !slices.Contains([]Condition{"a", "c", "pitted"}, z.Condition)) {
					sum = 0
				}
				made[rule.Key+z.ID] = sum
				exact := 0.0
				if r := got[spot{goods{target{rule.Task, rule.Material}, rule.Unit}, rule.Key, z.ID}]; r.known() {
					exact, _ = r.rat().Float64()
				}
				if off := exact - sum; off > 1e-9*(1+sum) || off < -1e-9*(1+sum) {
					t.Fatalf("%s for %s: %v, want %v", rule.Key, z.ID, exact, sum)
				}
			}
		}
	})
}

// What moved by zone adds up exactly to what the task or the material moved;
// nothing moves between a result and itself; there and back is the same.
func TestComparisonsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := input.Draw(t, "input")
		before := must(t, in)
		if c := Compare(before, before); len(c.Tasks)+len(c.Materials)+len(c.Zones) != 0 {
			t.Fatalf("nothing was changed: %+v", c)
		}
		changed := in
		changed.Zones = slices.Clone(in.Zones)
		changed.Zones[0] = drawZone(t, 0)
		if rapid.Bool().Draw(t, "a rule changes") {
			changed.List.Rules = slices.Clone(in.List.Rules)
			changed.List.Rules[0].Fixed = cents.Draw(t, "fixed")
		}
		after := must(t, changed)
		there, back := Compare(before, after), Compare(after, before)
		was, is := exactTasks(before), exactTasks(after)
		for i, m := range there.Tasks {
			want := new(big.Rat)
			for _, side := range []struct {
				all  map[string]*big.Rat
				sign int64
			}{{was, -1}, {is, 1}} {
				if side.all[m.Task] != nil {
					want.Add(want, new(big.Rat).Mul(side.all[m.Task], big.NewRat(side.sign, 1)))
				}
			}
			if got := movedTotal(m.By); got.rat().Cmp(want) != 0 {
				t.Fatalf("%s: the zones moved %s, the task %s", m.Task, got.rat(), want)
			}
			if sum := movedTotal(m.By).plus(movedTotal(back.Tasks[i].By)); sum.sign() != 0 {
				t.Fatalf("%s: there and back leaves %s", m.Task, sum.rat())
			}
			for _, by := range m.By {
				if by.Why == "" || by.Why == "what the rules may name was changed" {
					t.Fatalf("no reason: %+v", by)
				}
			}
		}
		for task := range is {
			moved := was[task] == nil || was[task].Cmp(is[task]) != 0
			if named := slices.ContainsFunc(there.Tasks, func(m TaskMoved) bool { return m.Task == task }); moved && !named {
				t.Fatalf("%s moved and is not named", task)
			}
		}
	})
}

func exactTasks(r Result) map[string]*big.Rat {
	out := map[string]*big.Rat{}
	for _, task := range r.Tasks {
		out[task.Task] = total(task.Rules).rat()
	}
	return out
}
