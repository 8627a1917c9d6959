package app_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
)

// ruledPlan is the small plan with two rules of its own for painting: an hour a
// zone, and a third of a square metre of blasted surface in the hour.
func ruledPlan() domain.TemplatePlan {
	plan := smallPlan()
	plan.Frame = "two"
	plan.Methods = &method.List{Rules: []method.Rule{
		{Key: "own-1", Name: "By the zone", Stage: method.Coat, Makes: method.Hours, Task: "C10", Unit: "h", Each: "1", Source: "own figure"},
		{Key: "own-2", Name: "By the surface", Stage: method.Coat, Makes: method.Hours, Task: "C10", Unit: "h", Source: "own figure",
			Parts: []method.Part{{Factors: []method.Factor{{Of: "blast_area"}, {Per: "0.333", Unit: "m2/h"},
				{By: method.ByCondition, Table: map[string]string{"d": "1.5"}}}}}}}}
	return plan
}

// measuredTemplate is the template of takeoffBench, which has figures to take off by.
const measuredTemplate = "00000009-3333-7000-8000-000000000011"

func (b *bench) measuredTrial(plan domain.TemplatePlan) app.Trial {
	b.t.Helper()
	out, err := b.app.PreviewTemplate(b.t.Context(), b.owner, app.TrialJob{TemplateID: measuredTemplate, Plan: plan, Options: map[string]string{}})
	b.ok("preview", err)
	return out
}

// Each row spoils one rule; the pointer names the field and the words say why.
func TestARuleIsRefusedAtItsField(t *testing.T) {
	b, _, _ := frameBench(t)
	for name, r := range map[string]struct {
		change        func(r *method.Rule)
		pointer, says string
	}{
		"units that do not come out": {func(r *method.Rule) { r.Parts[0].Factors[1].Unit = "kg/h" }, "/parts/0", "wanted"},
		"an unknown unit":            {func(r *method.Rule) { r.Parts[0].Factors[1].Unit = "furlong" }, "/parts/0/factors/1/unit", "must be one of"},
		"an unknown quantity":        {func(r *method.Rule) { r.Parts[0].Factors[0].Of = "shine" }, "/parts/0/factors/0/of", "shine"},
		"an unknown task":            {func(r *method.Rule) { r.Task = "Z99" }, "/task", "Z99"},
		"an unknown zone":            {func(r *method.Rule) { r.For.Zones = []string{"left-wing"} }, "/for/zones/0", "left-wing"},
		"an unknown material": {func(r *method.Rule) {
			r.Makes, r.Material, r.Unit = method.Material, "unobtainium", "m2"
		}, "/material", "unobtainium"},
		"a negative rate":           {func(r *method.Rule) { r.Parts[0].Factors[1].Per = "-2" }, "/parts/0/factors/1/per", "negative"},
		"division by zero":          {func(r *method.Rule) { r.Parts[0].Factors[1].Per = "0" }, "/parts/0/factors/1/per", "zero"},
		"a rate of zero":            {func(r *method.Rule) { r.Parts[0].Factors[2] = method.Factor{Times: "0"} }, "/parts/0/factors/2/times", "zero"},
		"a factor out of bounds":    {func(r *method.Rule) { r.Parts[0].Factors[2].Table["d"] = "150" }, "/parts/0/factors/2/table/d", "100"},
		"a rule that reads itself":  {func(r *method.Rule) { r.Parts[0].Factors = []method.Factor{{OfRule: r.Key}} }, "", "circle"},
		"a method of another stage": {func(r *method.Rule) { r.For.Methods = []string{"spell"} }, "/for/methods/0", "spell"},
	} {
		plan := ruledPlan()
		r.change(&plan.Methods.Rules[1])
		out := b.trial(plan)
		at := "/plan/methods/rules/1" + r.pointer
		i := slices.IndexFunc(out.Problems, func(f fault.Field) bool {
			return (f.Pointer == at || r.pointer == "" && strings.HasPrefix(f.Pointer, at)) && strings.Contains(f.Detail, r.says)
		})
		if i < 0 || out.Page.Price.Lines != nil {
			t.Errorf("%s: got %v, want %s saying %q", name, out.Problems, at, r.says)
		}
		_, err := b.app.SaveTemplate(t.Context(), b.owner, b.template, on(1), plan, "")
		if fault.As(err) == nil {
			t.Errorf("%s: saved with %v, want a refusal", name, err)
		}
	}
}

// By hand: painting of 2 zones at 1 h each takes 2 h; at 1.5 h each, 3 h: an hour
// more at the fitter's 68.35.
func TestARateMovesTheSampleAndIsSavedAsAnOwnFigure(t *testing.T) {
	b, _, _ := takeoffBench(t)
	plan := ruledPlan()
	plan.Methods.Rules = plan.Methods.Rules[:1]
	before := b.measuredTrial(plan)
	plan.Methods.Rules[0].Each = "1.5"
	after := b.measuredTrial(plan)
	if !before.Stands() || !after.Stands() {
		t.Fatalf("%v, %v", before.Problems, after.Problems)
	}
	moved := after.Page.Price.Totals.TaxBasisTotal.Decimal().Sub(before.Page.Price.Totals.TaxBasisTotal.Decimal())
	if want := dec("68.35"); !moved.Equal(want) {
		t.Errorf("net moved by %s, want %s", moved, want)
	}
	saved, err := b.app.SaveTemplate(t.Context(), b.owner, measuredTemplate, on(1), plan, "Our own figure.")
	b.ok("saving", err)
	again, err := b.app.Template(t.Context(), b.owner, saved.ID)
	b.ok("template", err)
	if len(again.Rules) != 1 || again.Rules[0].Each != "1.5" || again.Rules[0].Origin != method.Added || !strings.Contains(again.Rules[0].Sentence, "1.5 h a zone") {
		t.Errorf("stored as %+v", again.Rules)
	}
}

// A template without rules of its own follows the program's: what is sent as it
// was read leaves it so, whatever order its empty lists are written in.
func TestRulesSentAsTheyWereReadChangeNothing(t *testing.T) {
	b, _, _ := frameBench(t)
	now, err := b.app.Template(t.Context(), b.owner, b.template)
	b.ok("template", err)
	sent := now.Plan
	sent.Methods = &method.List{Rules: slices.Clone(now.Methods.Rules)}
	for i := range sent.Methods.Rules {
		sent.Methods.Rules[i].For.Kinds = append([]method.Kind{}, sent.Methods.Rules[i].For.Kinds...)
	}
	want := b.trial(now.Plan)
	got, err := b.app.PreviewTemplate(t.Context(), b.owner, app.TrialJob{TemplateID: b.template, Plan: sent, Options: map[string]string{}})
	b.ok("preview", err)
	if a, z := want.Page.Price.Totals.GrandTotal.String(), got.Page.Price.Totals.GrandTotal.String(); a != z {
		t.Errorf("the sample came to %s, and now to %s", a, z)
	}
	saved, err := b.app.SaveTemplate(t.Context(), b.owner, b.template, on(1), sent, "")
	b.ok("saving", err)
	if now.Plan.Methods == nil && saved.Plan.Methods != nil {
		t.Errorf("the template got a list of its own: %+v", saved.Plan.Methods)
	}
}

// Rules of random figures, each sent as it was read: price and hours stay.
func TestARuleEditedToItselfChangesNothing(t *testing.T) {
	b, _, _ := takeoffBench(t)
	rapid.Check(t, func(t *rapid.T) {
		plan := ruledPlan()
		figure := rapid.StringMatching(`[1-9]\.[0-9]{1,2}`)
		plan.Methods.Rules[0].Each = figure.Draw(t, "each")
		plan.Methods.Rules[1].Parts[0].Factors[1].Per = figure.Draw(t, "per")
		plan.Methods.Rules[1].Parts[0].Factors[2].Table["d"] = figure.Draw(t, "factor")
		plan.Methods.Rules[1].For.Kinds = rapid.SliceOfNDistinct(rapid.SampledFrom(method.Kinds()), 0, 3, rapid.ID[method.Kind]).Draw(t, "kinds")
		first := b.measuredTrial(plan)
		same := ruledPlan()
		same.Methods.Rules = slices.Clone(plan.Methods.Rules)
		for i, r := range first.Rules {
			same.Methods.Rules[i] = r.Rule
			if !r.Same(plan.Methods.Rules[i]) {
				t.Errorf("%s is not the same as itself", r.Key)
			}
		}
		second := b.measuredTrial(same)
		if !first.Stands() || first.Page.Price.Totals.GrandTotal.String() != second.Page.Price.Totals.GrandTotal.String() {
			t.Errorf("%v: %s became %s", first.Problems, first.Page.Price.Totals.GrandTotal, second.Page.Price.Totals.GrandTotal)
		}
	})
}
