package app

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/method"
	"bareframe/internal/policy"
	"bareframe/internal/pricing"
	"bareframe/internal/takeoff"
)

// Bought is what a job buys of a material and what is left of it.
type Bought struct {
	Material domain.Material
	Need     decimal.Decimal // with waste
	Taken    decimal.Decimal // from other jobs
	Packs    []takeoff.Bought
	Amount   decimal.Decimal // bought
	Left     decimal.Decimal // bought and not needed
	Given    decimal.Decimal // of it, to other jobs
	Words    string
}

// Free is what other jobs may still take.
func (b Bought) Free() decimal.Decimal { return b.Left.Sub(b.Given) }

// buys is what a job buys, by material, of those that the price book has: what its
// lines use, with waste; a line billed in whole packs uses what the rules ask for.
func (a asking) buys() map[string]Bought {
	needs := map[string]decimal.Decimal{}
	for _, l := range a.e.InForce().Lines {
		m, known := a.book.Material(l.PriceItem)
		if l.Kind != pricing.Material || !known || m.Unit != l.Unit {
			continue
		}
		q := withWaste(l.Quantity, l.WastePercent)
		if asked, ruled := a.quantityOf(l); ruled && l.Follows && m.WholePacks {
			q = decimal.Min(q, withWaste(asked, m.WastePercent))
		}
		needs[m.Key] = needs[m.Key].Add(q)
	}
	out := map[string]Bought{}
	for key, need := range needs {
		m, _ := a.book.Material(key)
		out[key] = a.stock.bought(a.m.job.ID, m, need)
	}
	return out
}

// bought covers a need in packs, after what comes from other jobs and so that what
// goes to them is there.
func (s stock) bought(jobID domain.ID, m domain.Material, need decimal.Decimal) Bought {
	b := Bought{Material: m, Need: need, Taken: s.taken(jobID, m.Key), Given: s.given(jobID, m.Key)}
	rest := s.less(jobID, m.Key, need)
	spare := decimal.Max(decimal.Zero, b.Taken.Sub(need)) // taken and not needed
	cover, err := packsFor(m, rest)
	if err == nil && cover.Left.Add(spare).LessThan(b.Given) {
		cover, err = packsFor(m, rest.Add(b.Given).Sub(spare))
		cover.Left = cover.Left.Add(b.Given).Sub(spare)
	}
	if err != nil {
		cover = takeoff.Cover{Need: rest, Words: "The packs of the price book cannot be reckoned with."}
	}
	b.Packs, b.Amount, b.Left, b.Words = cover.Buy, rest.Add(cover.Left), cover.Left.Add(spare), cover.Words
	return b
}

// Remainder is what a job in work leaves over of a material.
type Remainder struct {
	Job domain.Job
	Bought
	Moves   []domain.StockMove // what others took of it, voided ones too
	Numbers map[domain.ID]int  // of the jobs that did
}

// Remainders lists what jobs in work leave over of whole packs, by material and job.
func (a *App) Remainders(ctx context.Context, actor domain.Actor) (out []Remainder, err error) {
	out = []Remainder{}
	err = a.view(ctx, actor, "listRemainders", func(r Reader) error {
		page := Page{Limit: 200}
		for {
			jobs, next, err := r.Jobs([]domain.JobState{domain.Accepted, domain.InWork}, "", page)
			if err != nil {
				return err
			}
			for _, job := range jobs {
				of, err := a.remaindersOf(r, job)
				if err != nil {
					return err
				}
				out = append(out, of...)
			}
			if page.After = next; next == "" {
				return nil
			}
		}
	})
	slices.SortStableFunc(out, func(x, y Remainder) int {
		return cmp.Or(cmp.Compare(x.Material.Name, y.Material.Name), cmp.Compare(x.Job.Number, y.Job.Number))
	})
	return out, err
}

func (a *App) remaindersOf(r Reader, job domain.Job) ([]Remainder, error) {
	asks, all, err := a.asksOf(r, job)
	if err != nil {
		return nil, err
	}
	var out []Remainder
	for _, b := range asks.buys() {
		if len(b.Material.Packs) == 0 || !b.Left.IsPositive() {
			continue
		}
		row := Remainder{Job: job, Bought: b, Moves: []domain.StockMove{}}
		for _, m := range all {
			if m.FromJobID == job.ID && m.Material == b.Material.Key {
				row.Moves = append(row.Moves, m)
			}
		}
		out = append(out, row)
	}
	to := make([]domain.ID, len(all))
	for i, m := range all {
		to[i] = m.ToJobID
	}
	numbers, err := r.JobNumbers(to)
	for i := range out {
		out[i].Numbers = numbers
	}
	return out, err
}

// asksOf is what the rules ask of a job as it stands, with all stock moves.
func (a *App) asksOf(r Reader, job domain.Job) (asking, []domain.StockMove, error) {
	shop, err := r.Shop()
	if err != nil {
		return asking{}, nil, err
	}
	estimates, err := a.estimatesOf(r, []domain.Job{job})
	if err != nil {
		return asking{}, nil, err
	}
	measure := a.measuredFor
	if _, writes := r.(Tx); writes {
		measure = a.measure
	}
	m, err := measure(r, job)
	if err != nil {
		return asking{}, nil, err
	}
	all, err := r.StockMoves()
	if err != nil {
		return asking{}, nil, err
	}
	standing := slices.DeleteFunc(slices.Clone(all), domain.StockMove.Void)
	return m.asks(estimates[job.ID].whole, shop.PricesFor(job, domain.DayOf(a.now(), shop.Zone())), standing), all, nil
}

// TakenRemainder is what a job takes of another's remainder.
type TakenRemainder struct {
	Material  string
	FromJobID domain.ID
	Quantity  decimal.Decimal
	Unit      string
}

// UseRemainder has a job use what another leaves over, so that less is bought for
// it. It is refused beyond what is left there.
func (a *App) UseRemainder(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, t TakenRemainder) (TakeoffPage, error) {
	_, err := once(ctx, a, actor, "useRemainder", key, []any{jobID, t}, func(w *work) (domain.ID, error) {
		job, err := w.Job(jobID)
		if err == nil {
			err = job.Editable()
		}
		if err != nil {
			return "", err
		}
		from, err := w.takable(job, t)
		if err != nil {
			return "", err
		}
		m := domain.StockMove{ID: a.newID(), Material: t.Material, Unit: t.Unit, Quantity: t.Quantity, FromJobID: t.FromJobID, ToJobID: jobID,
			By: actor.PersonID, ByName: actor.Name, At: w.now}
		if err := w.AddStockMove(m); err != nil {
			return "", err
		}
		cause := fmt.Sprintf("%s %s of %s left over from job %d", t.Quantity, t.Unit, t.Material, from.Number)
		return m.ID, w.restocked(job, m, cause, map[string]any{"taken": m})
	})
	if err != nil {
		return TakeoffPage{}, err
	}
	return a.takeoffAfter(ctx, actor, "useRemainder", jobID)
}

// takable refuses what is not left, or not in this unit.
func (w *work) takable(job domain.Job, t TakenRemainder) (domain.Job, error) {
	if t.FromJobID == job.ID {
		return job, fault.InvalidField("remainder-own", "/from_job", "A job uses its own remainder anyhow.")
	}
	if !t.Quantity.IsPositive() {
		return job, fault.InvalidField("remainder-quantity", "/quantity", "Say how much is taken; it is more than nothing.")
	}
	from, err := w.Job(t.FromJobID)
	if fault.KindOf(err) == fault.NotFound {
		return from, fault.InvalidField("job-not-found", "/from_job", "The shop has no such job.")
	}
	if err != nil {
		return from, err
	}
	asks, _, err := w.app.asksOf(w, from)
	if err != nil {
		return from, err
	}
	b, has := asks.buys()[t.Material]
	switch {
	case !from.Workable() || !has:
		return from, fault.InvalidField("remainder-none", "/material", "Job %d has nothing left of it.", from.Number)
	case b.Material.Unit != t.Unit:
		return from, fault.InvalidField("remainder-unit", "/unit", "%s is counted in %s.", b.Material.Name, b.Material.Unit)
	case t.Quantity.GreaterThan(b.Free()):
		return from, fault.InvalidField("remainder-quantity", "/quantity", "Job %d has %s %s of %s left.", from.Number, b.Free(), t.Unit, b.Material.Name)
	}
	return from, nil
}

// VoidRemainder says that what was taken does not stand.
func (a *App) VoidRemainder(ctx context.Context, actor domain.Actor, id domain.ID, key, reason string) (TakeoffPage, error) {
	jobID, err := once(ctx, a, actor, "voidRemainder", key, []string{id, reason}, func(w *work) (domain.ID, error) {
		m, err := w.StockMove(id)
		if err != nil {
			return "", err
		}
		if m.Void() {
			return "", fault.New(fault.Conflict, "remainder-void", "This was voided by %s already.", m.VoidedBy)
		}
		job, err := w.Job(m.ToJobID)
		if err != nil {
			return "", err
		}
		m.VoidedAt, m.VoidedBy, m.VoidReason = &w.now, actor.Name, reason
		if err := w.VoidStockMove(m); err != nil {
			return "", err
		}
		return job.ID, w.restocked(job, m, fmt.Sprintf("%s %s of %s went back", m.Quantity, m.Unit, m.Material), map[string]string{"void": reason})
	})
	if err != nil {
		return TakeoffPage{}, err
	}
	return a.takeoffAfter(ctx, actor, "voidRemainder", jobID)
}

// restocked writes the trail and has the lines follow that are billed in whole packs.
func (w *work) restocked(job domain.Job, m domain.StockMove, cause string, what any) error {
	if err := w.trail("remainder "+m.ID, job.ID, nil, what); err != nil {
		return err
	}
	w.tell(job, "estimate")
	may, err := w.mayFollow(job)
	if err != nil || !may {
		return err
	}
	now, err := w.app.measure(w, job)
	if err != nil {
		return err
	}
	moved, err := w.follow(now, now, method.Comparison{}, cause, func(wanted) bool { return false })
	if err != nil || !moved {
		return err
	}
	job.Version++
	return w.SaveJob(job)
}

func (a *App) takeoffAfter(ctx context.Context, actor domain.Actor, action policy.Action, jobID domain.ID) (out TakeoffPage, err error) {
	err = a.view(ctx, actor, action, func(r Reader) (err error) {
		out, err = a.takeoffPage(r, jobID)
		return err
	})
	return out, err
}
