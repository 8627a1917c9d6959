package app

import (
	"context"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/method"
	"bareframe/internal/money"
	"bareframe/internal/takeoff"
)

// TakeoffPage is what a job's steel comes to, beside what its estimate says.
type TakeoffPage struct {
	Page    JobPage
	Stands  string // why the estimate does not follow now: sold, quoted, over; empty: it follows
	Finish  domain.Finish
	Ways    domain.Ways // of the job, every stage named
	Choices []method.Method
	Zones   []TakeoffZone
	Totals  []takeoff.Quantity
	Tasks   []TakeoffTask     // that rules make hours for, in the order of the estimate
	Goods   []TakeoffMaterial // by material and line
	Gap     TakeoffGap
	Caution []takeoff.Caution
	Moves   []domain.TakeoffMove // the newest
	Known   method.Known
}

// TakeoffZone is a zone with its quantities.
type TakeoffZone struct {
	Zone      domain.Zone
	Condition domain.Condition
	Seen      bool
	Hole      domain.Observation // where it was measured, of the condition
	Finish    domain.Finish
	Ways      domain.Ways
	Unfit     string
	Taken     takeoff.ZoneResult
}

// TakeoffTask is what the rules ask of a task.
type TakeoffTask struct {
	Task  domain.Task
	Asked domain.ThreePoint
	Words string
	Rules []method.Made
}

// Difference is by how much the rules ask for more than the estimate has, likely hours.
func (t TakeoffTask) Difference() decimal.Decimal { return t.Asked.Likely.Sub(t.Task.Hours.Likely) }

// TakeoffMaterial is what the rules ask of a material for a task, and what is bought.
type TakeoffMaterial struct {
	Key      string
	Name     string
	Priced   bool // the price book has it today
	Task     domain.Task
	Line     *domain.Line // nil: the estimate has none
	Asked    decimal.Decimal
	Unit     string
	Quantity decimal.Decimal // of the line
	Words    string
	Rules    []method.Made
	Bought   *Bought // of the whole job, beside its first line
}

// TakeoffGap is by how much what the steel now asks for differs from the estimate.
type TakeoffGap struct {
	Hours decimal.Decimal // likely, of tasks that follow or followed when they were sold
	Net   money.Amount
	Total money.Amount
}

// recentMoves is how many moves stand on a takeoff.
const recentMoves = 20

// Takeoff shows what a job's steel comes to.
func (a *App) Takeoff(ctx context.Context, actor domain.Actor, jobID domain.ID) (out TakeoffPage, err error) {
	err = a.view(ctx, actor, "getTakeoff", func(r Reader) (err error) {
		out, err = a.takeoffPage(r, jobID)
		return err
	})
	return out, err
}

func (a *App) takeoffPage(r Reader, jobID domain.ID) (TakeoffPage, error) {
	page, err := a.loadPage(r, jobID)
	if err != nil {
		return TakeoffPage{}, err
	}
	m, err := a.measuredFor(r, page.Job)
	if err != nil {
		return TakeoffPage{}, err
	}
	have, err := stockOf(r)
	if err != nil {
		return TakeoffPage{}, err
	}
	asks := m.asks(page.All, page.Shop.PricesFor(page.Job, domain.DayOf(page.AsOf, page.Shop.Zone())), have)
	out := TakeoffPage{Page: page, Stands: whyStands(page), Finish: m.job.Finish, Ways: m.ways, Choices: m.rules.List().Methods,
		Zones: m.zonePages(), Totals: m.taken.Totals, Tasks: asks.taskPages(), Goods: asks.goodsPages(), Caution: m.taken.Cautions}
	if out.Gap, err = asks.gap(page); err != nil {
		return out, err
	}
	out.Known = m.rules.Known()
	out.Known.Materials = supplied(page.Shop.PriceBook)
	out.Moves, _, err = r.TakeoffMoves(jobID, Page{Limit: recentMoves})
	return out, err
}

func (m *measured) zonePages() []TakeoffZone {
	out := make([]TakeoffZone, len(m.zones))
	for i, z := range m.zones {
		out[i] = TakeoffZone{Zone: z.Zone, Condition: z.condition, Seen: z.seen.ID != "", Finish: z.finish, Ways: z.ways, Unfit: z.unfit, Taken: m.taken.Zones[i]}
		if z.seen.Holed() {
			out[i].Hole = z.seen
		}
	}
	return out
}

func (a asking) taskPages() []TakeoffTask {
	out := []TakeoffTask{}
	for _, t := range a.e.Tasks {
		h, ruled := a.m.hoursOf(t.Code)
		if !ruled || t.Kind != domain.Work {
			continue
		}
		row := TakeoffTask{Task: t, Asked: h, Words: "The rules make nothing for it: no zone asks for it.", Rules: []method.Made{}}
		if i := slices.IndexFunc(a.m.made.Tasks, func(x method.TaskHours) bool { return x.Task == t.Code }); i >= 0 {
			row.Words, row.Rules = a.m.made.Tasks[i].Words, a.m.made.Tasks[i].Rules
		}
		out = append(out, row)
	}
	return out
}

// goodsPages lists what rules make, then lines of such material that they make
// nothing for.
func (a asking) goodsPages() []TakeoffMaterial {
	out := []TakeoffMaterial{}
	buys, told, lines := a.buys(), map[string]bool{}, map[domain.ID]bool{}
	add := func(row TakeoffMaterial) {
		if row.Line != nil {
			lines[row.Line.ID] = true
			row.Quantity = row.Line.Quantity
		}
		if _, known := a.book.Material(row.Key); known {
			row.Priced = true
		}
		if b, has := buys[row.Key]; has && !told[row.Key] {
			row.Bought, told[row.Key] = &b, true
		}
		row.Name = a.name(row.Key)
		out = append(out, row)
	}
	for _, made := range a.m.made.Materials {
		task, has := taskCoded(a.e, made.Task)
		if !has {
			continue
		}
		row := TakeoffMaterial{Key: made.Material, Task: *task, Asked: made.Quantity, Unit: made.Unit, Words: made.Words, Rules: made.Rules}
		if line, has := lineFor(a.e, *task, made.Material); has {
			row.Line, row.Asked, row.Unit = &line, inUnit(made.Quantity, made.Unit, line.Unit), line.Unit
		}
		add(row)
	}
	for _, l := range a.e.Lines {
		if q, ruled := a.quantityOf(l); ruled && !lines[l.ID] {
			task, _ := a.e.Task(l.TaskID)
			row := TakeoffMaterial{Key: l.PriceItem, Line: &l, Asked: q, Unit: l.Unit, Words: "The rules make nothing for it: no zone asks for it.", Rules: []method.Made{}}
			if task != nil {
				row.Task = *task
			}
			add(row)
		}
	}
	return out
}

// gap prices the estimate as the steel now asks, of what follows or followed when
// it was sold, with what the job is priced with. Options that are not taken are
// left out.
func (a asking) gap(p JobPage) (TakeoffGap, error) {
	out := TakeoffGap{Hours: decimal.Zero, Net: money.Zero(p.Price.Currency), Total: money.Zero(p.Price.Currency)}
	e := domain.Estimate{Phases: p.Estimate.Phases, Tasks: slices.Clone(p.Estimate.Tasks), Lines: slices.Clone(p.Estimate.Lines)}
	for i, t := range e.Tasks {
		if h, ruled := a.m.hoursOf(t.Code); ruled && t.Follows {
			out.Hours = out.Hours.Add(h.Likely.Sub(t.Hours.Likely))
			e.Tasks[i].Hours = h
		}
	}
	a.needs = map[string]decimal.Decimal{}
	for i, l := range e.Lines {
		if n, ruled := a.followed(l); ruled && l.Follows {
			e.Lines[i] = n
		}
	}
	for _, want := range a.bare {
		if l, ok := a.lineOf(want); ok && whyStands(p) != "" && want.task.Follows && inForce(p.Estimate, want.task.ID) {
			l.ID = "new:" + want.task.ID + want.material
			e.Lines = append(e.Lines, l)
		}
	}
	now, err := priceOf(p.Job.Currency, basisOf(p.Shop, p.Job, p.Quotes, p.AsOf), e)
	if err != nil {
		return out, err
	}
	if out.Net, err = now.Totals.TaxBasisTotal.Sub(p.Price.Totals.TaxBasisTotal); err != nil {
		return out, err
	}
	out.Total, err = now.Totals.GrandTotal.Sub(p.Price.Totals.GrandTotal)
	return out, err
}

func inForce(e domain.Estimate, taskID domain.ID) bool {
	_, ok := e.Task(taskID)
	return ok
}
