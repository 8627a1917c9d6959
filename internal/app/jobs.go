package app

import (
	"context"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

// NewJob is what a job is made from.
type NewJob struct {
	Title      string
	TemplateID domain.ID
	ClientID   domain.ID
	Vehicle    domain.Vehicle
	NotBefore  domain.Day
	Currency   string // empty: the shop's own
}

// CreateJob makes a job from a template and a vehicle, whose options decide
// which tasks and lines it has, and returns its page.
func (a *App) CreateJob(ctx context.Context, actor domain.Actor, key string, n NewJob) (JobPage, error) {
	id, err := once(ctx, a, actor, "createJob", key, n, func(w *work) (domain.ID, error) { return w.createJob(n) })
	if err != nil {
		return JobPage{}, err
	}
	return a.JobPage(ctx, actor, id)
}

func (w *work) createJob(n NewJob) (domain.ID, error) {
	shop, err := w.Shop()
	if err != nil {
		return "", err
	}
	client, err := w.Person(n.ClientID)
	if fault.KindOf(err) == fault.NotFound || err == nil && (client.Role != domain.Client || !client.Active) {
		return "", fault.InvalidField("client-not-found", "/client_id", "The shop has no such client.")
	}
	if err != nil {
		return "", err
	}
	template, err := w.Template(n.TemplateID)
	if fault.KindOf(err) == fault.NotFound {
		return "", fault.InvalidField("template-not-found", "/template_id", "The shop has no such template.")
	}
	if err != nil {
		return "", err
	}
	if err := w.stillNewest(template); err != nil {
		return "", err
	}
	if err := checkVehicle(n.Vehicle, template.Plan.VehicleOptions); err != nil {
		return "", err
	}
	if err := checkDay("/not_before", n.NotBefore); err != nil {
		return "", err
	}
	currency, ok := shop.Settings.CurrencyFor(n.Currency)
	if !ok {
		return "", fault.InvalidField("currency-not-listed", "/currency", "The shop has no rate for %s; put it into the settings first.", n.Currency)
	}
	number, err := w.NextJobNumber()
	if err != nil {
		return "", err
	}
	job := domain.Job{ID: w.app.newID(), Version: 1, Number: number, Title: n.Title, State: domain.Enquiry, ClientID: client.ID,
		TemplateID: template.ID, TemplateName: template.Plan.Name, VehicleOptions: template.Plan.VehicleOptions, Cautions: template.Plan.Cautions,
		Vehicle: n.Vehicle, NotBefore: n.NotBefore, Weight: domain.OrdinaryWeight, CreatedAt: w.now,
		Currency: currency.Code, ExchangeRate: currency.Rate, RateOn: currency.On}
	e, err := instantiate(inCurrency(template.Plan, job), n.Vehicle.Options, shop.PricesFor(job, domain.DayOf(w.now, shop.Zone())), job.ID, w.app.newID)
	if err != nil {
		return "", err
	}
	layout, framed := w.app.layout(template.Plan.Frame)
	if template.Plan.Frame != "" && !framed {
		return "", fault.New(fault.Conflict, "layout-missing", "There is no frame layout %q, which the template names.", template.Plan.Frame)
	}
	job.FrameName = layout.Name
	if job.SheetID, job.SheetVersion, err = w.onlySheet(); err != nil {
		return "", err
	}
	c, err := w.app.crafted(template.ID, template.Plan)
	if err != nil {
		return "", err
	}
	c.startedBy(&job)
	if err := w.AddJob(job); err != nil {
		return "", err
	}
	if framed {
		if err := w.layFrame(&job, layout); err != nil {
			return "", err
		}
		zones, err := w.Zones(job.ID)
		if err != nil {
			return "", err
		}
		if e, err = w.app.followFromTheStart(c, job, zones, e, shop.PricesFor(job, domain.DayOf(w.now, shop.Zone()))); err != nil {
			return "", err
		}
	}
	if err := w.addEstimate(e); err != nil {
		return "", err
	}
	page, err := w.app.loadPage(w, job.ID)
	if err != nil {
		return "", err
	}
	if err := page.withinReach(); err != nil {
		return "", err
	}
	w.tell(job, "job")
	return job.ID, w.trail("job "+job.ID, job.ID, nil, job)
}

func (w *work) addEstimate(e domain.Estimate) error {
	if err := w.AddPhases(e.Phases); err != nil {
		return err
	}
	if err := w.AddTasks(e.Tasks); err != nil {
		return err
	}
	if err := w.AddTaskLinks(e.Links); err != nil {
		return err
	}
	if err := w.AddLines(e.Lines); err != nil {
		return err
	}
	return w.AddOptions(e.Options)
}

func checkDay(pointer string, d domain.Day) error {
	if d.IsZero() {
		return nil
	}
	if _, err := domain.ParseDay(string(d)); err != nil {
		return fault.InvalidField("day-not-readable", pointer, "%s", fault.As(err).Detail)
	}
	return nil
}

// checkVehicle wants one known choice for each option of the template.
func checkVehicle(v domain.Vehicle, options []domain.VehicleOption) error {
	var c fault.Collector
	known := map[string]bool{}
	for _, o := range options {
		known[o.Key] = true
		if !slices.ContainsFunc(o.Choices, func(ch domain.OptionChoice) bool { return ch.Key == v.Options[o.Key] }) {
			c.Add("/vehicle/options/"+o.Key, "Choose one: %s.", o.Name)
		}
	}
	for key := range v.Options {
		if !known[key] {
			c.Add("/vehicle/options/"+key, "This template has no option %q.", key)
		}
	}
	return c.Err("vehicle-options-invalid")
}

// instantiate copies what of a template a vehicle needs, with fresh IDs, and
// prices its material from the price book.
func instantiate(plan domain.TemplatePlan, options map[string]string, book domain.PriceBook, jobID domain.ID, newID func() domain.ID) (domain.Estimate, error) {
	var e domain.Estimate
	phases, tasks := map[string]domain.ID{}, map[string]domain.Task{}
	chosen := templateOptions(&e, plan, options, jobID, newID)
	for i, p := range plan.Phases {
		phases[p.Key] = newID()
		e.Phases = append(e.Phases, domain.Phase{ID: phases[p.Key], JobID: jobID, Key: p.Key, Name: p.Name, Position: i + 1})
	}
	for i, t := range plan.Tasks {
		option, offered := chosen[t.Option]
		if !t.When.Holds(options) || !offered {
			continue
		}
		class := t.TaxClass
		if class == "" {
			class = pricing.RepairLabour
		}
		task := domain.Task{ID: newID(), JobID: jobID, PhaseID: phases[t.Phase], Code: t.Key, Name: t.Name, Note: t.Note, Kind: t.Kind,
			Hours: t.Hours, ElapsedHours: t.ElapsedHours, LeadDays: t.LeadDays, Skill: t.Skill, Crew: t.Crew, Station: t.Station, Zone: t.Zone,
			Cautions: t.Cautions, HoldPoint: t.HoldPoint, StripGate: t.StripGate, TaxClass: class, Position: i + 1, Scope: domain.Estimated, OptionID: option, Floor: t.Floor}
		tasks[t.Key] = task
		e.Tasks = append(e.Tasks, task)
	}
	for _, l := range plan.Links {
		from, ok1 := tasks[l.From]
		to, ok2 := tasks[l.To]
		if ok1 && ok2 {
			e.Links = append(e.Links, domain.Link{ID: newID(), JobID: jobID, FromID: from.ID, ToID: to.ID, Type: l.Type, LagHours: l.LagHours, LagKind: l.LagKind, MaxLagHours: l.MaxLagHours})
		}
	}
	for i, l := range plan.Lines {
		task, hasTask := tasks[l.Task]
		option, offered := chosen[l.Option]
		if !l.When.Holds(options) || l.Task != "" && !hasTask || !offered {
			continue
		}
		phase := phases[l.Phase]
		if hasTask {
			phase = task.PhaseID
		}
		line, err := templateLine(l, book)
		if err != nil {
			return e, err
		}
		line.ID, line.JobID, line.PhaseID, line.TaskID, line.OptionID, line.Position, line.Scope = newID(), jobID, phase, task.ID, option, i+1, domain.Estimated
		e.Lines = append(e.Lines, line)
	}
	return e, nil
}

// templateOptions copies the options that a vehicle has, each with a fresh ID by
// its key; the empty key is what belongs to none. Where what a template advises of
// a group is not offered for this vehicle, the first that is stands for it.
func templateOptions(e *domain.Estimate, plan domain.TemplatePlan, vehicle map[string]string, jobID domain.ID, newID func() domain.ID) map[string]domain.ID {
	chosen, first, taken := map[string]domain.ID{"": ""}, map[string]int{}, map[string]bool{}
	for i, o := range plan.Options {
		if !o.When.Holds(vehicle) {
			continue
		}
		points := o.Points
		if points == nil {
			points = []domain.PointEffect{}
		}
		option := domain.Option{ID: newID(), JobID: jobID, Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken && (o.Group == "" || !taken[o.Group]), Position: i + 1, Points: points}
		if _, seen := first[o.Group]; !seen {
			first[o.Group] = len(e.Options)
		}
		taken[o.Group] = taken[o.Group] || option.Taken
		chosen[o.Key] = option.ID
		e.Options = append(e.Options, option)
	}
	for group, i := range first {
		if group != "" && !taken[group] {
			e.Options[i].Taken = true
		}
	}
	return chosen
}

// templateLine takes its figures from the price book where the template names a
// material. Waste and markup that the kind of line cannot carry are not priced
// and would stop every later edit of the line, so they are left behind.
func templateLine(l domain.TemplateLine, book domain.PriceBook) (domain.Line, error) {
	line := domain.Line{Kind: l.Kind, Description: l.Description, Quantity: l.Quantity, Unit: l.Unit, UnitCost: l.UnitCost,
		MarkupPercent: l.MarkupPercent, WastePercent: l.WastePercent, DiscountPercent: l.DiscountPercent, TaxClass: l.TaxClass, PriceItem: l.Material}
	if err := fromPriceBook(&line, l, book); err != nil {
		return line, err
	}
	if line.Kind != pricing.Material {
		line.WastePercent = decimal.Zero
	}
	if line.Kind != pricing.Material && line.Kind != pricing.Sublet {
		line.MarkupPercent = decimal.Zero
	}
	return line, nil
}

func fromPriceBook(line *domain.Line, l domain.TemplateLine, book domain.PriceBook) error {
	if l.Material == "" {
		return nil
	}
	m, ok := book.Material(l.Material)
	if !ok {
		return fault.New(fault.Conflict, "material-missing", "The price book has no material %q, which the template's line %q needs; add it first.", l.Material, l.Description)
	}
	line.Unit, line.UnitCost, line.MarkupPercent, line.WastePercent, line.TaxClass = m.Unit, m.UnitCost, m.MarkupPercent, m.WasteBilled(), m.TaxClass
	if line.Description == "" {
		line.Description = m.Name
	}
	return nil
}

// JobHead is what an owner edits about a job as a whole.
type JobHead struct {
	Title     string
	Vehicle   domain.Vehicle
	NotBefore domain.Day
	Promise   domain.Day
	Weight    int // 0: as it stands
}

// ChangeJob edits title, vehicle, earliest start, weight and the date to promise. The
// promise moves only before acceptance: afterwards it is part of what was
// agreed.
func (a *App) ChangeJob(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, h JobHead) (JobPage, error) {
	return a.edit(ctx, actor, "changeJob", id, made, func(w *work, ed *editing) error {
		before := ed.job
		if err := checkVehicle(h.Vehicle, ed.job.VehicleOptions); err != nil {
			return err
		}
		if err := checkDay("/not_before", h.NotBefore); err != nil {
			return err
		}
		if err := checkDay("/promise", h.Promise); err != nil {
			return err
		}
		if ed.job.Sold() && h.Promise != ed.job.Promise {
			return fault.InvalidField("promise-agreed", "/promise", "The date is part of the accepted quote; only a change order moves it.")
		}
		if h.Weight == 0 {
			h.Weight = before.Weight
		}
		if h.Weight < domain.MinWeight || h.Weight > domain.MaxWeight {
			return fault.InvalidField("job-weight", "/weight", "The weight of a job is %d to %d; %d is an ordinary one.", domain.MinWeight, domain.MaxWeight, domain.OrdinaryWeight)
		}
		ed.job.Title, ed.job.Vehicle, ed.job.NotBefore, ed.job.Promise, ed.job.Weight = h.Title, h.Vehicle, h.NotBefore, h.Promise, h.Weight
		return w.trail("job "+ed.job.ID, ed.job.ID, headOf(before), headOf(ed.job))
	})
}

func headOf(j domain.Job) JobHead {
	return JobHead{j.Title, j.Vehicle, j.NotBefore, j.Promise, j.Weight}
}

// MoveJob moves a job along its life by hand, with a reason.
func (a *App) MoveJob(ctx context.Context, actor domain.Actor, id domain.ID, made Precondition, to domain.JobState, reason string) (JobPage, error) {
	var page JobPage
	err := a.change(ctx, actor, "moveJob", func(w *work) error {
		job, err := w.Job(id)
		if err != nil {
			return err
		}
		if err := w.stillAt(job, made); err != nil {
			return err
		}
		before := job.State
		if err := job.Move(to); err != nil {
			return err
		}
		if err := w.mayMove(job, to); err != nil {
			return err
		}
		job.Version++
		if err := w.SaveJob(job); err != nil {
			return err
		}
		w.tell(job, "job")
		if err := w.trail("job "+job.ID, job.ID, map[string]any{"state": before}, map[string]any{"state": to, "reason": reason}); err != nil {
			return err
		}
		page, err = a.loadPage(w, id)
		return err
	})
	return page, err
}

// mayMove refuses to finish while a task is left or a hold point stands, to end
// a job while its quote or an order is with the client, and either while a clock
// runs.
func (w *work) mayMove(job domain.Job, to domain.JobState) error {
	if to == domain.Finished || to == domain.Cancelled {
		if err := w.noOrderOpen(job); err != nil {
			return err
		}
	}
	switch to {
	case domain.Finished:
		page, err := w.app.loadPage(w, job.ID)
		if err != nil {
			return err
		}
		for _, t := range page.Estimate.Tasks {
			if page.Tasks[t.ID].State != TaskFinished && t.Scope != domain.Outside {
				return fault.New(fault.Conflict, "work-left", "%s is not finished yet.", t.Describe())
			}
			if t.Holds() && t.ReleasedAt == nil && t.Scope != domain.Outside {
				return fault.New(fault.Conflict, "hold-not-released", "%s is not released yet: %s", t.Describe(), t.HoldPoint)
			}
		}
	case domain.Declined, domain.Cancelled:
		quotes, err := w.Quotes([]domain.ID{job.ID})
		if err != nil {
			return err
		}
		for _, q := range quotes[job.ID] {
			if q.StateAt(w.now) == domain.QuoteOpen {
				return fault.New(fault.Conflict, "quote-open", "Quote %s is with the client; withdraw it first.", q.Number)
			}
		}
	}
	entries, err := w.Entries([]domain.ID{job.ID})
	if err != nil {
		return err
	}
	for _, e := range entries[job.ID] {
		if e.Running() && to != domain.Surveyed {
			return fault.New(fault.Conflict, "clock-running", "A clock is still running on this job; stop it first.")
		}
	}
	return nil
}

// stillAt refuses an edit of an older version and shows the present page beside it.
func (w *work) stillAt(job domain.Job, made Precondition) error {
	if made.Given && made.Version == job.Version {
		return nil
	}
	page, err := w.app.loadPage(w, job.ID)
	if err != nil {
		return err
	}
	return made.check(job.Version, page)
}
