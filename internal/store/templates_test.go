package store

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// The list has the newest revision of each key; older ones stay readable, and a
// key is a shop's own.
func TestTemplateRevisions(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		other := furnish(t, s, "b")
		plan := f.template.Plan
		plan.Name = "Body off, longer"
		second := f.template.Revised("a-second", plan, at(20), "Bo Lind", "Longer.")
		third := second.Revised("a-third", plan, at(30), "Ida Kranz", "Nobody asks for it.")
		third.Retired = true
		apart := domain.Template{ID: "a-apart", Revision: 1, Plan: domain.TemplatePlan{Key: "apart", Name: "Apart"}}
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.AddTemplate(second), tx.AddTemplate(third), tx.AddTemplate(apart))
		})
		head := func(t domain.Template) domain.Template {
			t.Plan = domain.TemplatePlan{Key: t.Plan.Key}
			return t
		}
		view(t, s, "a", func(r app.Reader) {
			all, err := r.Templates()
			same(t, "Templates", all, []domain.Template{apart, third}, err)
			for _, want := range []domain.Template{f.template, second, third} {
				got, err := r.Template(want.ID)
				same(t, "Template", got, want, err)
			}
			revisions, err := r.TemplateRevisions("body-off")
			same(t, "TemplateRevisions", revisions, []domain.Template{head(third), head(second), head(f.template)}, err)
			none, err := r.TemplateRevisions("nothing")
			same(t, "TemplateRevisions of nothing", none, []domain.Template{}, err)
		})
		view(t, s, "b", func(r app.Reader) {
			all, err := r.Templates()
			same(t, "another shop's Templates", all, []domain.Template{other.template}, err)
			revisions, err := r.TemplateRevisions("apart")
			same(t, "another shop's TemplateRevisions", revisions, []domain.Template{}, err)
			_, err = r.Template("a-second")
			refused(t, "another shop's Template", err, fault.NotFound, "template-not-found")
		})
	})
}
