package app

import (
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// Selection is one combination of a job's options with its figures. Each
// combination is priced and scheduled as a whole of its own, so its totals tie
// exactly; what single options change does not add up to it.
type Selection struct {
	domain.Agreed        // figures, offer and plan of the selection
	Currency      string //
	Advised       []domain.ID
	Computed      domain.Day // when the work would be finished; the offer's finish is what is promised
	Days          int        // working days by which the finish moves against what is advised
	Hours         decimal.Decimal
	Originality   decimal.Decimal
	Condition     decimal.Decimal
}

// choosing works out combinations of a job's options.
type choosing struct {
	app      *App
	base     JobPage // with shop, job and the whole estimate, as advised
	basis    domain.PriceBasis
	progress map[domain.ID]domain.TaskProgress
	currency money.Currency
	cal      *calendar.Calendar
	day      calendar.Minutes
	ends     map[string]end // by selection
}

// end is what of a combination is compared.
type end struct {
	total  decimal.Decimal
	finish time.Time
}

func (a *App) choosingOf(base JobPage, basis domain.PriceBasis, progress map[domain.ID]domain.TaskProgress) (*choosing, error) {
	c := &choosing{app: a, base: base, basis: basis, progress: progress, day: standardDay(base.Shop.Calendar), ends: map[string]end{}}
	var err error
	if c.currency, err = money.ParseCurrency(base.Job.Currency); err != nil {
		return nil, err
	}
	c.cal, err = a.calendarOf(base.Shop)
	return c, err
}

// of computes a selection with what each option changes against it. It fails with
// Invalid on a selection that cannot be, and on one that cannot be scheduled.
func (c *choosing) of(ids []domain.ID) (Selection, error) {
	var out Selection
	chosen, err := c.base.All.Choose(ids)
	if err != nil {
		return out, err
	}
	advised, err := c.end(c.base.All)
	if err != nil {
		return out, err
	}
	p := c.page(chosen)
	if err := c.app.figured(&p, c.basis, c.progress, true); err != nil {
		return out, err
	}
	if err := p.withinReach(); err != nil {
		return out, err
	}
	out.Currency, out.Days = p.Job.Currency, movedDays(c.cal, c.day, advised.finish, p.Plan.Finish)
	p.Job.Promise = c.promised(out.Days)
	out.Agreed = figuresOf(p)
	out.OptionIDs, out.Advised = chosen.Taken(), c.base.All.Taken()
	out.Computed = domain.DayOf(p.Plan.Finish, p.Shop.Zone())
	for _, t := range p.Estimate.Tasks {
		out.Hours = out.Hours.Add(t.Hours.Mean())
	}
	for _, o := range chosen.Options {
		if o.Taken {
			originality, condition := o.Gains()
			out.Originality, out.Condition = out.Originality.Add(originality), out.Condition.Add(condition)
		}
	}
	out.Offer.Options, err = c.options(chosen, end{p.Price.Totals.GrandTotal.Decimal(), p.Plan.Finish})
	return out, err
}

// promised is the date promised for a selection. An entered promise moves with the
// work by working days, and never forward: leaving something out gives the shop
// room. Without one the computed finish is promised.
func (c *choosing) promised(days int) domain.Day {
	if c.base.Job.Promise.IsZero() {
		return ""
	}
	return workingDayAfter(c.cal, c.base.Shop.Zone(), c.base.Job.Promise, days)
}

// page is the job's page with a selection, not computed yet.
func (c *choosing) page(chosen domain.Estimate) JobPage {
	p := c.base
	p.All, p.Estimate = chosen, chosen.InForce()
	p.Quotes, p.Draws = nil, nil
	return p
}

// end prices and schedules a selection, once.
func (c *choosing) end(chosen domain.Estimate) (end, error) {
	key := strings.Join(chosen.Taken(), " ")
	if e, ok := c.ends[key]; ok {
		return e, nil
	}
	inForce := chosen.InForce()
	price, err := priceOf(c.base.Job.Currency, c.basis, inForce)
	if err != nil {
		return end{}, err
	}
	plan, err := c.app.planOf(c.base.Shop, c.base.Job, inForce, c.progress, c.base.AsOf)
	if err != nil {
		return end{}, err
	}
	e := end{price.Totals.GrandTotal.Decimal(), plan.Finish}
	c.ends[key] = e
	return e, nil
}

// options lays out every option against a selection.
func (c *choosing) options(chosen domain.Estimate, selected end) ([]domain.OfferOption, error) {
	out := make([]domain.OfferOption, 0, len(chosen.Options))
	for _, o := range chosen.Options {
		row := domain.OfferOption{ID: o.ID, Group: o.Group, Name: o.Name, Note: o.Note, Taken: o.Taken, Points: o.Points}
		row.Originality, row.Condition = o.Gains()
		if err := c.content(&row, chosen); err != nil {
			return nil, err
		}
		other, err := chosen.Choose(chosen.Toggled(o.ID))
		if err != nil {
			return nil, err
		}
		then, err := c.end(other)
		if err != nil {
			return nil, optionContradicts(o, err)
		}
		row.Difference = then.total.Sub(selected.total).StringFixed(c.currency.Places())
		row.Days = movedDays(c.cal, c.day, selected.finish, then.finish)
		out = append(out, row)
	}
	return out, nil
}

// optionContradicts says which option it is that makes work impossible to
// schedule.
func optionContradicts(o domain.Option, err error) error {
	e := fault.As(err)
	if e == nil {
		return err
	}
	return fault.New(fault.Invalid, "option-contradiction", "With %q the work cannot be scheduled or priced: %s", o.Label(), e.Detail)
}

// content fills in what belongs to an option: its lines, their net, its hours. A
// line that hangs on a task of the option comes with it.
func (c *choosing) content(row *domain.OfferOption, e domain.Estimate) error {
	own := domain.Estimate{Phases: e.Phases}
	tasks, hours := map[domain.ID]bool{}, decimal.Zero
	for _, t := range e.Tasks {
		if t.OptionID == row.ID {
			own.Tasks, tasks[t.ID] = append(own.Tasks, t), true
			hours = hours.Add(t.Hours.Mean())
		}
	}
	for _, l := range e.Lines {
		if l.OptionID == row.ID || l.OptionID == "" && tasks[l.TaskID] {
			own.Lines = append(own.Lines, l)
		}
	}
	price, err := priceOf(c.base.Job.Currency, c.basis, own)
	if err != nil {
		return err
	}
	view := price.ClientView()
	row.Net, row.Hours = price.Totals.TaxBasisTotal.String(), hours.StringFixed(2)
	row.Lines = offerLines(view.Lines, func(pricing.ClientLine) bool { return true })
	return nil
}

// movedDays is by how many working days an instant moves: the working minutes
// between the two over a standard day, any part of a day counting as one, either
// way alike.
func movedDays(cal *calendar.Calendar, day calendar.Minutes, from, to time.Time) int {
	minutes := cal.Between(from, to)
	days := int((max(minutes, -minutes) + day - 1) / day)
	if minutes < 0 {
		return -days
	}
	return days
}

// snapshotOf is what the combinations of a page's options are computed from later.
func snapshotOf(p JobPage) domain.Snapshot {
	s := domain.Snapshot{From: p.AsOf, NotBefore: p.Job.NotBefore, Promise: p.Job.Promise,
		TimeZone: p.Shop.Settings.TimeZone, CalendarVersion: p.Shop.CalendarVersion, Calendar: p.Shop.Calendar}
	s.Keep(p.All)
	return s
}

// choosingIn is how the options of a quote are combined: from what the quote kept
// alone.
func (a *App) choosingIn(r Reader, q domain.Quote, job domain.Job) (*choosing, error) {
	shop, err := r.Shop()
	if err != nil {
		return nil, err
	}
	s, err := r.Snapshot(q.ID)
	if err != nil {
		return nil, err
	}
	shop.Calendar, shop.CalendarVersion = s.Calendar, s.CalendarVersion
	shop.Settings.TimeZone = s.TimeZone
	e := s.Estimate()
	base := JobPage{Shop: shop, AsOf: s.From, All: e, Job: domain.Job{ID: job.ID, Number: job.Number, Currency: q.Currency, NotBefore: s.NotBefore, Promise: s.Promise}}
	return a.choosingOf(base, q.Basis, nil)
}
