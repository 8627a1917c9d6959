package app

import (
	"context"
	"fmt"
	"strings"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
	"bareframe/internal/policy"
	"bareframe/internal/repair"
)

// TemplatePage is one revision of a template with what stands beside it.
type TemplatePage struct {
	domain.Template
	Newest     domain.Template // of its key, without its plan
	Repairs    repair.List     // that its jobs go by
	OwnRepairs bool            // the list is the template's own, not the program's
	Methods    method.List     // by which its jobs follow their takeoff
	Known      method.Known    // what they may name
	Rules      []RuleStanding  // those of Methods, in words
}

// Templates lists the newest revision of each template that jobs are made from,
// by name.
func (a *App) Templates(ctx context.Context, actor domain.Actor) ([]domain.Template, error) {
	return a.templates(ctx, actor, false)
}

// RetiredTemplates lists the newest revision of each template that was retired.
func (a *App) RetiredTemplates(ctx context.Context, actor domain.Actor) ([]domain.Template, error) {
	return a.templates(ctx, actor, true)
}

func (a *App) templates(ctx context.Context, actor domain.Actor, retired bool) (out []domain.Template, err error) {
	err = a.view(ctx, actor, "listTemplates", func(r Reader) error {
		all, err := r.Templates()
		out = make([]domain.Template, 0, len(all))
		for _, t := range all {
			if t.Retired == retired {
				out = append(out, t)
			}
		}
		return err
	})
	return out, err
}

// Template returns one revision.
func (a *App) Template(ctx context.Context, actor domain.Actor, id domain.ID) (out TemplatePage, err error) {
	err = a.view(ctx, actor, "getTemplate", func(r Reader) error {
		t, err := r.Template(id)
		if err != nil {
			return err
		}
		out, err = a.templatePage(r, t)
		return err
	})
	return out, err
}

func (a *App) templatePage(r Reader, t domain.Template) (TemplatePage, error) {
	newest, err := newestOf(r, t)
	p := TemplatePage{Template: t, Newest: newest, Repairs: a.repairs}
	if t.Plan.Repairs != nil {
		p.Repairs, p.OwnRepairs = *t.Plan.Repairs, true
	}
	if err != nil {
		return p, err
	}
	shop, err := r.Shop()
	if err != nil {
		return p, err
	}
	p.Methods, p.Known = a.listOf(t.Plan), a.knownTo(t.Plan, shop.PriceBook)
	p.Rules = a.standings(p.Methods, p.Known)
	return p, nil
}

func newestOf(r Reader, t domain.Template) (domain.Template, error) {
	all, err := r.TemplateRevisions(t.Plan.Key)
	if err != nil || len(all) == 0 {
		return t, err
	}
	return all[0], nil
}

// TemplateRevisions lists the revisions of a template, newest first, without
// their plans.
func (a *App) TemplateRevisions(ctx context.Context, actor domain.Actor, id domain.ID) (out []domain.Template, err error) {
	err = a.view(ctx, actor, "listTemplateRevisions", func(r Reader) error {
		t, err := r.Template(id)
		if err != nil {
			return err
		}
		out, err = r.TemplateRevisions(t.Plan.Key)
		return err
	})
	return out, err
}

// NewTemplate is what a template is made from.
type NewTemplate struct {
	Name   string
	CopyOf domain.ID // a revision whose plan is copied; empty: the usual phases and nothing in them
}

// AddTemplate makes a template of its own key.
func (a *App) AddTemplate(ctx context.Context, actor domain.Actor, key string, n NewTemplate) (TemplatePage, error) {
	id, err := once(ctx, a, actor, "addTemplate", key, n, func(w *work) (domain.ID, error) { return w.addTemplate(n) })
	if err != nil {
		return TemplatePage{}, err
	}
	return a.Template(ctx, actor, id)
}

func (w *work) addTemplate(n NewTemplate) (domain.ID, error) {
	if strings.TrimSpace(n.Name) == "" {
		return "", fault.InvalidField("template-invalid", "/name", "A template has a name.")
	}
	plan, note := w.app.blankPlan(), ""
	if n.CopyOf != "" {
		from, err := w.Template(n.CopyOf)
		if fault.KindOf(err) == fault.NotFound {
			return "", fault.InvalidField("template-not-found", "/copy_of", "The shop has no such template.")
		}
		if err != nil {
			return "", err
		}
		plan, note = from.Plan, fmt.Sprintf("Copied from %s, revision %d.", from.Plan.Name, from.Revision)
	}
	plan.Name = n.Name
	var err error
	if plan.Key, err = w.freeKey(n.Name); err != nil {
		return "", err
	}
	t := domain.Template{Plan: domain.TemplatePlan{Key: plan.Key}}.Revised(w.app.newID(), plan, w.now, w.actor.Name, note)
	return t.ID, w.storeTemplate(t, nil)
}

// blankPlan has the phases of the trade's usual order and nothing in them. The
// program's methods are there to choose from, but not its rules: they mean tasks by
// codes that here may be anything.
func (a *App) blankPlan() domain.TemplatePlan {
	return domain.TemplatePlan{
		Methods:        &method.List{Methods: a.methods.Methods, Rules: []method.Rule{}},
		VehicleOptions: []domain.VehicleOption{}, Tasks: []domain.TemplateTask{}, Links: []domain.TemplateLink{}, Lines: []domain.TemplateLine{},
		Cautions: map[string]string{},
		Phases: []domain.TemplatePhase{{Key: "removal", Name: "Removal"}, {Key: "stripping", Name: "Media stripping"}, {Key: "repair", Name: "Rust repair"},
			{Key: "coating", Name: "Coating"}, {Key: "remount", Name: "Remount"}},
	}
}

// freeKey writes a name as a key that no template of the shop has, retired or not.
func (w *work) freeKey(name string) (string, error) {
	plain := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			return r
		}
		return ' '
	}, strings.ToLower(name))
	stem := strings.Join(strings.Fields(plain), "-")
	if stem = strings.Trim(stem[:min(len(stem), 40)], "-"); stem == "" {
		stem = "template"
	}
	for n := 1; ; n++ {
		key := stem
		if n > 1 {
			key = fmt.Sprintf("%s-%d", stem, n)
		}
		taken, err := w.TemplateRevisions(key)
		if err != nil || len(taken) == 0 {
			return key, err
		}
	}
}

// SaveTemplate stores an edited plan as the next revision. Jobs keep the revision
// that they were made from. The plan is held against the shop: no job could be
// made from one that fails.
func (a *App) SaveTemplate(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, edited domain.TemplatePlan, note string) (TemplatePage, error) {
	return a.revise(ctx, actor, "saveTemplate", id, made, func(w *work, newest domain.Template, _ domain.Template) (domain.Template, error) {
		if newest.Retired {
			return newest, fault.New(fault.Conflict, "template-retired", "This template is retired; restore a revision of it first.")
		}
		shop, err := w.Shop()
		if err != nil {
			return newest, err
		}
		plan := a.edited(newest.Plan, edited, domain.DayOf(w.now, shop.Zone()))
		if err := a.planHolds(shop, newest.Plan, plan, w.now); err != nil {
			return newest, err
		}
		return newest.Revised(a.newID(), plan, w.now, actor.Name, note), nil
	})
}

// RestoreTemplate stores the plan of an old revision as the next one; it also
// brings a retired template back.
func (a *App) RestoreTemplate(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, note string) (TemplatePage, error) {
	return a.revise(ctx, actor, "restoreTemplate", id, made, func(_ *work, newest, old domain.Template) (domain.Template, error) {
		if old.ID == newest.ID && !newest.Retired {
			return newest, fault.New(fault.Conflict, "template-newest", "Revision %d is the newest already.", newest.Revision)
		}
		note = strings.TrimSpace(fmt.Sprintf("As in revision %d. %s", old.Revision, note))
		return newest.Revised(a.newID(), old.Plan, a.now(), actor.Name, note), nil
	})
}

// RetireTemplate takes a template out of the list that jobs are made from. Its
// revisions stay readable.
func (a *App) RetireTemplate(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, note string) (TemplatePage, error) {
	return a.revise(ctx, actor, "retireTemplate", id, made, func(_ *work, newest, _ domain.Template) (domain.Template, error) {
		if newest.Retired {
			return newest, fault.New(fault.Conflict, "template-retired", "This template is retired already.")
		}
		next := newest.Revised(a.newID(), newest.Plan, a.now(), actor.Name, note)
		next.Retired = true
		return next, nil
	})
}

// revise stores a further revision, made on the newest one; id is any of its key.
func (a *App) revise(ctx context.Context, actor domain.Actor, action policy.Action, id domain.ID, made Precondition, fn func(w *work, newest, named domain.Template) (domain.Template, error)) (page TemplatePage, err error) {
	err = a.change(ctx, actor, action, func(w *work) error {
		named, err := w.Template(id)
		if err != nil {
			return err
		}
		newest, err := newestOf(w, named)
		if err != nil {
			return err
		}
		if newest, err = w.Template(newest.ID); err != nil {
			return err
		}
		now, err := a.templatePage(w, newest)
		if err != nil {
			return err
		}
		if err := made.check(newest.Revision, now); err != nil {
			return err
		}
		next, err := fn(w, newest, named)
		if err != nil {
			return err
		}
		if err := w.storeTemplate(next, &newest); err != nil {
			return err
		}
		page, err = a.templatePage(w, next)
		return err
	})
	return page, err
}

// storeTemplate adds a revision and says so in the trail, which names revisions
// and does not repeat their plans: they stay readable.
func (w *work) storeTemplate(t domain.Template, before *domain.Template) error {
	if err := w.AddTemplate(t); err != nil {
		return err
	}
	w.events = append(w.events, Event{ShopID: w.actor.ShopID, What: "shop"})
	if before == nil {
		return w.trail("template "+t.Plan.Key, "", nil, revisionOf(t))
	}
	return w.trail("template "+t.Plan.Key, "", revisionOf(*before), revisionOf(t))
}

func revisionOf(t domain.Template) map[string]any {
	return map[string]any{"id": t.ID, "revision": t.Revision, "name": t.Plan.Name, "note": t.Note, "retired": t.Retired,
		"tasks": len(t.Plan.Tasks), "links": len(t.Plan.Links), "lines": len(t.Plan.Lines)}
}

// stillNewest refuses to make a job from a revision that was replaced or retired.
func (w *work) stillNewest(t domain.Template) error {
	newest, err := newestOf(w, t)
	switch {
	case err != nil:
		return err
	case newest.Retired:
		return fault.InvalidField("template-retired", "/template_id", "%s is retired; no new jobs are made from it.", t.Plan.Name)
	case newest.ID != t.ID:
		return fault.InvalidField("template-revised", "/template_id", "%s was changed meanwhile: revision %d replaces revision %d. Choose it again.", t.Plan.Name, newest.Revision, t.Revision)
	}
	return nil
}
