package app

import (
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// JobPage is everything that the owner's job page shows, computed from one
// snapshot.
type JobPage struct {
	Shop     domain.Shop
	Job      domain.Job
	Client   domain.Person
	Estimate domain.Estimate               // in force: what is priced, scheduled and worked
	All      domain.Estimate               // with what belongs to options that are not taken
	Quotes   []domain.Quote                // newest first
	Baseline map[domain.ID]domain.Baseline // by task
	// OrderNumbers are of the change orders that brought tasks, by their ID.
	OrderNumbers map[domain.ID]int
	Price        pricing.Result
	Draws        []domain.OfferDraw // of the estimate; once a quote is accepted, of that quote
	Plan         Plan
	Phases       []PhaseStanding // in the order of the estimate
	Tasks        map[domain.ID]Standing
	Whole        Standing
	LateDays     int // of the job's own schedule
	Ahead        Forecast
	Why          string
	Warnings     []string        // of a page that was loaded by itself: what the estimate asks that the shop has not
	Closed       []calendar.Span // whole closed days from start to finish, merged
	AsOf         time.Time
	priceLine    map[string]int // into the lines of Price
	held         *heldPlan      // the agreed plan of all jobs, if there is one
}

// PhaseStanding is a phase with its money, hours and dates.
type PhaseStanding struct {
	Phase    domain.Phase
	Net      money.Amount
	Cost     money.Amount
	Margin   money.Amount
	Standing Standing
	Start    *time.Time // nil when the phase has no task
	Finish   *time.Time
	WasStart *time.Time // baseline
	WasEnd   *time.Time
}

// TaskPrice returns net and cost of a task's labour.
func (p JobPage) TaskPrice(id domain.ID) (net, cost money.Amount) { return p.lookUp(labourOf + id) }

// LinePrice returns net and cost of a line.
func (p JobPage) LinePrice(id domain.ID) (net, cost money.Amount) { return p.lookUp(lineOf + id) }

func (p JobPage) lookUp(name string) (net, cost money.Amount) {
	net, cost = money.Zero(p.Price.Currency), money.Zero(p.Price.Currency)
	if i, ok := p.priceLine[name]; ok {
		l := &p.Price.Lines[i]
		net = l.Net
		if l.Cost != nil {
			cost = *l.Cost
		}
	}
	return net, cost
}

// JobPage returns the owner's page of a job.
func (a *App) JobPage(ctx context.Context, actor domain.Actor, id domain.ID) (page JobPage, err error) {
	err = a.view(ctx, actor, "getJob", func(r Reader) (err error) {
		page, err = a.loadPage(r, id)
		return err
	})
	return page, err
}

// Jobs lists jobs with price, plan and progress, newest number first.
func (a *App) Jobs(ctx context.Context, actor domain.Actor, state domain.JobState, page Page) (out []JobPage, next string, err error) {
	return JobsAs(ctx, a, actor, state, page, func(p JobPage) JobPage { return p })
}

// JobsAs is Jobs with what one keeps of each page. Only some pages are in memory at
// once: of a job of 75 tasks one takes some 300 KB.
func JobsAs[T any](ctx context.Context, a *App, actor domain.Actor, state domain.JobState, page Page, one func(JobPage) T) (out []T, next string, err error) {
	err = a.view(ctx, actor, "listJobs", func(r Reader) error {
		var states []domain.JobState
		if state != "" {
			states = []domain.JobState{state}
		}
		jobs, after, err := r.Jobs(states, "", page)
		if err != nil {
			return err
		}
		out, next = make([]T, 0, len(jobs)), after
		for some := range slices.Chunk(jobs, jobsAtOnce) {
			pages, err := a.loadPages(r, some)
			if err != nil {
				return err
			}
			for _, p := range pages {
				out = append(out, one(p))
			}
		}
		return nil
	})
	return out, next, err
}

// compute works out what the rows of a page mean.
func (a *App) compute(p *JobPage, progress map[domain.ID]domain.TaskProgress, writes bool) error {
	p.AsOf = a.now()
	return a.figured(p, basisOf(p.Shop, p.Job, p.Quotes, p.AsOf), progress, writes)
}

// figured fills in price, draws, plan, standing and sentence of a page. Afresh, its
// price is neither looked for in memory nor kept there: of a use case that writes,
// and of a selection that the job's version does not name.
func (a *App) figured(p *JobPage, basis domain.PriceBasis, progress map[domain.ID]domain.TaskProgress, afresh bool) error {
	p.Tasks, p.Whole = make(map[domain.ID]Standing, len(p.Estimate.Tasks)), Standing{}
	price, err := a.pricedOf(afresh, p.AsOf, p.Shop, p.Job, basis, p.Estimate)
	if err != nil {
		return err
	}
	p.Price, p.priceLine = price.result, price.line
	if p.Draws, err = p.drawsAgreed(basis); err != nil {
		return err
	}
	if p.Plan, err = a.planHeld(p.Shop, p.Job, p.Estimate, progress, p.AsOf); err != nil {
		return err
	}
	p.stand(progress)
	p.LateDays = p.Plan.lateDays(standardDay(p.Shop.Calendar))
	cal, err := a.calendarOf(p.Shop)
	if err != nil {
		return err
	}
	p.forecast(cal)
	p.Draws = p.dueDraws(p.Draws)
	p.Why = p.sentence()
	p.Closed, err = a.closedDays(p.Shop, p.Plan.Start, p.Plan.Finish)
	return err
}

// drawsAgreed are the draws of the accepted quote, which are paid whatever was added
// since; before that those of the estimate.
func (p *JobPage) drawsAgreed(basis domain.PriceBasis) ([]domain.OfferDraw, error) {
	if q, ok := p.Accepted(); ok {
		return q.Offer.Draws, nil
	}
	return drawsOf(p.Price.Totals.GrandTotal, basis)
}

// basisOf is what a job is priced with: after acceptance what the accepted
// quote kept, before it the shop's present rates.
func basisOf(shop domain.Shop, job domain.Job, quotes []domain.Quote, now time.Time) domain.PriceBasis {
	for _, q := range quotes {
		if job.Sold() && q.ID == job.AcceptedQuoteID {
			return withTodaysSkills(q.Basis, shop, job, now)
		}
	}
	return shop.BasisFor(job, domain.DayOf(now, shop.Zone()))
}

// withTodaysSkills adds rates of skills that the shop took up since the quote,
// so that work added later has a price.
func withTodaysSkills(b domain.PriceBasis, shop domain.Shop, job domain.Job, now time.Time) domain.PriceBasis {
	kept := domain.PriceBook{Labour: b.Labour}
	for _, r := range shop.BasisFor(job, domain.DayOf(now, shop.Zone())).Labour {
		if _, ok := kept.Rate(r.Skill); !ok {
			b.Labour = append(b.Labour[:len(b.Labour):len(b.Labour)], r)
		}
	}
	return b
}

// stand fills hours, money and dates by task, phase and job.
func (p *JobPage) stand(progress map[domain.ID]domain.TaskProgress) {
	byPhase := map[domain.ID]*PhaseStanding{}
	p.Phases = make([]PhaseStanding, len(p.Estimate.Phases))
	for i, ph := range p.Estimate.Phases {
		p.Phases[i].Phase = ph
		byPhase[ph.ID] = &p.Phases[i]
	}
	for _, r := range p.Price.Phases {
		if ph := byPhase[r.ID]; ph != nil {
			ph.Net, ph.Cost, ph.Margin = r.Net, r.Cost, r.Amount
		}
	}
	now, was := map[domain.ID]*span{}, map[domain.ID]*span{}
	for _, t := range p.Estimate.Tasks {
		standing := p.taskStanding(t, progress[t.ID])
		p.Tasks[t.ID] = standing
		p.Whole = p.Whole.plus(standing)
		ph := byPhase[t.PhaseID]
		if ph == nil {
			continue
		}
		ph.Standing = ph.Standing.plus(standing)
		times := p.Plan.Of(t.ID)
		grow(now, t.PhaseID, times.EarlyStart, times.EarlyFinish)
		if b, ok := p.Baseline[t.ID]; ok {
			grow(was, t.PhaseID, b.Start, b.Finish)
		}
	}
	p.Whole.Waiting = p.Whole.Waiting.Add(hoursOf(progress[""].WaitingMinutes))
	for i := range p.Phases {
		ph := &p.Phases[i]
		if s := now[ph.Phase.ID]; s != nil {
			ph.Start, ph.Finish = s.start, s.finish
		}
		if s := was[ph.Phase.ID]; s != nil {
			ph.WasStart, ph.WasEnd = s.start, s.finish
		}
	}
}

func grow(spans map[domain.ID]*span, id domain.ID, from, to time.Time) {
	if spans[id] == nil {
		spans[id] = &span{}
	}
	spans[id].widen(from, to)
}

func (p *JobPage) taskStanding(t domain.Task, progress domain.TaskProgress) Standing {
	sold := t.Hours.Mean()
	if p.Job.Sold() {
		sold = decimal.Zero // what was added since acceptance was not sold
		if b, ok := p.Baseline[t.ID]; ok {
			sold = b.Hours
		}
	}
	start, finish := p.Plan.Actual(t.ID)
	return taskStanding(t, sold, progress, finish != nil, start != nil)
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// mostDrawnDays bounds the closed days that a picture of a schedule gets.
const mostDrawnDays = 1500

// closedDays lists the days from start to finish on which the shop is never
// open, neighbours joined.
func (a *App) closedDays(shop domain.Shop, start, finish time.Time) ([]calendar.Span, error) {
	cal, err := a.calendarOf(shop)
	if err != nil {
		return nil, err
	}
	zone := shop.Zone()
	day := domain.DayOf(start, zone).Start(zone)
	if limit := day.AddDate(0, 0, mostDrawnDays); finish.After(limit) {
		finish = limit
	}
	out := []calendar.Span{}
	for from := day.UTC(); !day.After(finish); {
		day = day.AddDate(0, 0, 1)
		to := day.UTC()
		if cal.Between(from, to) == 0 {
			if n := len(out); n > 0 && out[n-1].To.Equal(from) {
				out[n-1].To = to
			} else {
				out = append(out, calendar.Span{From: from, To: to})
			}
		}
		from = to
	}
	return out, nil
}
