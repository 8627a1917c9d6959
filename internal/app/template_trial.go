package app

import (
	"cmp"
	"context"
	"slices"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// TrialJob is what a sample job is computed from.
type TrialJob struct {
	TemplateID domain.ID // whose repair list and the like go with the plan; may be empty
	Plan       domain.TemplatePlan
	Options    map[string]string // of the sample's vehicle
}

// Trial is a sample job that nobody stored.
type Trial struct {
	Problems []fault.Field // pointers such as /plan/tasks/3/hours, /vehicle/options/body
	Page     JobPage       // empty while there are problems
	Days     int           // working days from start to finish
	Options  map[string]string
	Rules    []RuleStanding // of the plan, whether it stands or not
}

// Stands reports whether a job could be made.
func (t Trial) Stands() bool { return len(t.Problems) == 0 }

// PreviewTemplate computes what a job made from a plan would come to, by the
// same path as a job that is made: the plan copied for the vehicle, priced with
// today's price book, scheduled from now. Nothing is stored. What stands in the
// way is listed instead.
func (a *App) PreviewTemplate(ctx context.Context, actor domain.Actor, t TrialJob) (out Trial, err error) {
	err = a.view(ctx, actor, "previewTemplate", func(r Reader) error {
		var base domain.TemplatePlan
		if t.TemplateID != "" {
			template, err := r.Template(t.TemplateID)
			if fault.KindOf(err) == fault.NotFound {
				return fault.InvalidField("template-not-found", "/template_id", "The shop has no such template.")
			}
			if err != nil {
				return err
			}
			base = template.Plan
		}
		shop, err := r.Shop()
		if err != nil {
			return err
		}
		out, err = a.trial(shop, base, a.edited(base, t.Plan, domain.DayOf(a.now(), shop.Zone())), t.Options)
		return err
	})
	return out, err
}

// trial is the sample job of a plan that was edited from a stored one, or what stands in its way.
func (a *App) trial(shop domain.Shop, base, plan domain.TemplatePlan, options map[string]string) (Trial, error) {
	out := Trial{Options: options, Problems: []fault.Field{}}
	now := a.now()
	out.Rules = a.standings(a.listOf(plan), a.knownTo(plan, shop.PriceBook))
	if err := a.planHolds(shop, base, plan, now); err != nil {
		return out.stopped("/plan", err)
	}
	if err := checkVehicle(domain.Vehicle{Options: options}, plan.VehicleOptions); err != nil {
		return out.stopped("", err)
	}
	e, err := instantiate(plan, options, shop.PriceBook.On(domain.DayOf(now, shop.Zone())), "", a.newID)
	if err != nil {
		return out.stopped("/plan", err)
	}
	if e, err = a.trialFollows(plan, e, shop, now); err != nil {
		return out.stopped("/plan", err)
	}
	e.Sort()
	page := JobPage{Shop: shop, Job: domain.Job{Version: 1, State: domain.Enquiry, Currency: shop.Settings.Currency}, Estimate: e.InForce(), All: e, AsOf: now}
	if err := a.figured(&page, shop.Basis(domain.DayOf(now, shop.Zone())), nil, true); err != nil {
		return out.stopped("/plan", err)
	}
	cal, err := a.calendarOf(shop)
	if err != nil {
		return out, err
	}
	out.Page = page
	if len(e.Tasks) > 0 {
		out.Days = movedDays(cal, standardDay(shop.Calendar), page.Plan.Start, page.Plan.Finish)
	}
	return out, nil
}

// trialFollows has the sample job follow its frame, as a job that is made does.
func (a *App) trialFollows(plan domain.TemplatePlan, e domain.Estimate, shop domain.Shop, now time.Time) (domain.Estimate, error) {
	layout, framed := a.layout(plan.Frame)
	c, err := a.newCraft(plan)
	if err != nil || !framed {
		return e, err
	}
	job := domain.Job{ID: "sample"}
	c.startedBy(&job)
	zones := make([]domain.Zone, len(layout.Zones))
	for i, z := range layout.Zones {
		zones[i] = z.Zone(job.ID, i+1)
		zones[i].ID = z.Code
	}
	return a.followFromTheStart(c, job, zones, e, shop.PriceBook.On(domain.DayOf(now, shop.Zone())))
}

// stopped turns a refusal into problems; what is no refusal stays an error.
func (t Trial) stopped(under string, err error) (Trial, error) {
	e := fault.As(err)
	if e == nil || e.Kind == fault.Unavailable {
		return t, err
	}
	for _, f := range e.Fields {
		detail := f.Detail
		if e.Code == "network-cycle" {
			detail = e.Detail // names every task of the circle, beside each of its links
		}
		t.Problems = append(t.Problems, fault.Field{Pointer: under + f.Pointer, Detail: detail})
	}
	if len(e.Fields) == 0 {
		t.Problems = append(t.Problems, fault.Field{Pointer: under, Detail: e.Detail})
	}
	return t, nil
}

// planHolds refuses a plan that no job could be made from: rows at fault, tasks
// that wait for each other, a schedule past the last year. It looks at all the
// work at once, whatever the vehicle.
func (a *App) planHolds(shop domain.Shop, base, plan domain.TemplatePlan, now time.Time) error {
	ground := domain.TemplateGround{Shop: shop}
	ground.Shop.PriceBook = shop.PriceBook.On(domain.DayOf(now, shop.Zone()))
	for _, l := range a.frames {
		ground.Frames = append(ground.Frames, l.Code)
	}
	if err := both(plan.Validate(ground), a.rulesHold(base, plan, ground.Shop.PriceBook)); err != nil {
		return err
	}
	scheduled, err := a.planOf(shop, domain.Job{}, plan.Whole(), nil, now)
	if err != nil {
		return err
	}
	return JobPage{Plan: scheduled}.withinReach()
}

// both is two refusals as one, under the first one's code.
func both(first, second error) error {
	a, b := fault.As(first), fault.As(second)
	if a == nil || b == nil {
		return cmp.Or(first, second)
	}
	own := *a
	own.Fields = slices.Concat(a.Fields, b.Fields)
	return &own
}
