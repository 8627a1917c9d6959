package app_test

import (
	"slices"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/method"
	"bareframe/internal/testkit"
)

// railRules are the rules of the short template that the program brings.
func railRules(t *testing.T, w *testkit.World, id domain.ID) app.TemplatePage {
	t.Helper()
	page, err := w.App.Template(t.Context(), w.Owner.Actor, id)
	if err != nil {
		t.Fatal(err)
	}
	return page
}

// A template that came with rules of its own reads them as starting values, an
// edited one as the shop's own figure with the way back, and so does its copy.
func TestRulesOfABroughtTemplateBeginAsStartingValues(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	page := railRules(t, w, w.Template(t, w.Owner, "rail-section"))
	if len(page.Rules) == 0 {
		t.Fatal("the rail template has no rules")
	}
	for _, r := range page.Rules {
		if r.Origin != method.Starting {
			t.Errorf("%s is %s, want a starting value", r.Key, r.Origin)
		}
	}
	at := slices.IndexFunc(page.Rules, func(r app.RuleStanding) bool { return r.Key == "section-made" })
	began := page.Rules[at].Rule
	save := func(from app.TemplatePage, change func(r *method.Rule)) app.TemplatePage {
		t.Helper()
		plan := from.Plan
		list := from.Methods
		list.Rules = slices.Clone(list.Rules)
		i := slices.IndexFunc(list.Rules, func(r method.Rule) bool { return r.Key == began.Key })
		rule := &list.Rules[i]
		rule.Parts = []method.Part{{Factors: slices.Clone(rule.Parts[0].Factors)}}
		change(rule)
		plan.Methods = &list
		saved, err := w.App.SaveTemplate(t.Context(), w.Owner.Actor, from.ID, on(from.Revision), plan, "")
		if err != nil {
			t.Fatal(err)
		}
		return railRules(t, w, saved.ID)
	}
	check := func(what string, p app.TemplatePage, origin method.Origin, source string) {
		t.Helper()
		i := slices.IndexFunc(p.Rules, func(r app.RuleStanding) bool { return r.Key == began.Key })
		if r := p.Rules[i]; r.Origin != origin || r.Source != source || origin == method.Changed && !r.Began.Same(began) {
			t.Errorf("%s: %s from %q, began as %+v; want %s from %q, began as %+v", what, r.Origin, r.Source, r.Began, origin, source, began)
		}
	}
	rate := func(to string) func(r *method.Rule) { return func(r *method.Rule) { r.Parts[0].Factors[1].Times = to } }
	changed := save(page, rate("0.9"))
	check("a changed rate", changed, method.Changed, "our own figure, 2026-11-25")
	copied, err := w.App.AddTemplate(t.Context(), w.Owner.Actor, testkit.FreshKey(), app.NewTemplate{Name: "Short work", CopyOf: changed.ID})
	if err != nil {
		t.Fatal(err)
	}
	check("its copy", copied, method.Changed, "our own figure, 2026-11-25")
	typed := save(changed, func(r *method.Rule) { rate("1.1")(r); r.Source = "Timed on three cars" })
	check("with a source that was typed", typed, method.Changed, "Timed on three cars")
	named := save(typed, func(r *method.Rule) { r.Name = "Section cut and bent" })
	check("a new name alone", named, method.Changed, "Timed on three cars")
	back := save(named, func(r *method.Rule) { rate("0.75")(r); r.Name = began.Name })
	check("back at the starting value", back, method.Starting, began.Source)
}
