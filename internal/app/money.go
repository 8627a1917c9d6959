package app

import (
	"context"
	"slices"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
	"bareframe/internal/paper"
	"bareframe/internal/policy"
	"bareframe/internal/pricing"
)

// JobMoney is a job's money so far, computed from one snapshot.
type JobMoney struct {
	Job        domain.Job
	Currency   money.Currency
	Agreed     []AgreedPart // together the authorised amount
	Watch      Watch
	Paid       money.Amount
	Payments   []domain.Payment
	Overrides  []domain.WatchOverride
	Supplies   []SupplyLine
	Allowances []AllowanceUse
	Stop       StopNow
	Draws      []domain.OfferDraw // as the accepted quote has them, with the days as the plan stands
	Check      string             // to check local law
}

// SupplyLine is a line that buys something, with its latest note if there is one.
type SupplyLine struct {
	Line domain.Line
	Net  money.Amount
	Note *domain.Supply
}

// AllowanceUse is how much of an allowance was used by the work under it, before
// tax.
type AllowanceUse struct {
	Line domain.Line
	Cap  money.Amount
	Used money.Amount
	Left money.Amount // negative past the cap
}

func (a *App) jobMoney(r Reader, job domain.Job) (JobMoney, error) {
	l, err := a.loadLedger(r, job)
	if err != nil {
		return JobMoney{}, err
	}
	m := JobMoney{Job: job, Currency: l.currency, Agreed: l.agreed(), Paid: l.paid(), Payments: l.payments, Overrides: l.overrides}
	if l.accepted != nil {
		page, err := a.loadPage(r, job.ID)
		if err != nil {
			return m, err
		}
		m.Draws = page.Draws
	}
	if m.Watch, err = l.watch(); err != nil {
		return m, err
	}
	if m.Supplies, err = l.supplies(); err != nil {
		return m, err
	}
	if m.Allowances, err = l.allowances(); err != nil {
		return m, err
	}
	since, err := stoodStill(r, job)
	if err != nil {
		return m, err
	}
	if m.Stop, err = l.stopNow(a.now(), since); err != nil {
		return m, err
	}
	m.Check = a.checkLaw(l.shop)
	return m, nil
}

// checkLaw is the sentence of the shop's rule set that says to check local law.
func (a *App) checkLaw(shop domain.Shop) string {
	rule, err := a.ruleOf(shop.GoesBy())
	if err != nil {
		return "Check your local law before you rely on this. Not legal advice."
	}
	return rule.Check
}

func (l *ledger) supplies() ([]SupplyLine, error) {
	nets, err := l.lineNets()
	if err != nil {
		return nil, err
	}
	out := []SupplyLine{}
	for _, line := range l.estimate.Lines {
		if !bought(line) {
			continue
		}
		row := SupplyLine{Line: line, Net: nets[lineOf+line.ID].Net}
		if s, ok := l.noted[line.ID]; ok {
			row.Note = &s
		}
		out = append(out, row)
	}
	return out, nil
}

// allowances says how much of each allowance line is used.
func (l *ledger) allowances() ([]AllowanceUse, error) {
	out := []AllowanceUse{}
	for _, line := range l.estimate.Lines {
		if line.Kind != pricing.Allowance || line.Scope != domain.Authorised {
			continue
		}
		use, err := l.useOf(line, l.under(line.ID))
		if err != nil {
			return nil, err
		}
		out = append(out, use)
	}
	return out, nil
}

// under lists the tasks that an allowance line pays for.
func (l *ledger) under(lineID domain.ID) map[domain.ID]bool {
	out := map[domain.ID]bool{}
	for _, t := range l.estimate.Tasks {
		if t.AllowanceLineID == lineID {
			out[t.ID] = true
		}
	}
	return out
}

// useOf counts the hours of tasks and what was fitted on them against an
// allowance, before tax: the cap is the net of its line.
func (l *ledger) useOf(line domain.Line, tasks map[domain.ID]bool) (AllowanceUse, error) {
	priced, err := l.priced([]pricing.Line{materialLine(line)})
	if err != nil {
		return AllowanceUse{}, err
	}
	u := AllowanceUse{Line: line, Cap: priced.Lines[0].Net, Used: money.Zero(l.currency)}
	var lines []pricing.Line
	for _, worked := range l.workedLines() {
		if tasks[worked.TaskID] {
			lines = append(lines, worked)
		}
	}
	lines = append(lines, l.boughtLines(func(x domain.Line) bool { return x.ID != line.ID && tasks[x.TaskID] && l.isFitted(x) })...)
	if len(lines) > 0 {
		used, err := l.priced(lines)
		if err != nil {
			return u, err
		}
		u.Used = used.Totals.LineTotal
	}
	u.Left, err = u.Cap.Sub(u.Used)
	return u, err
}

// JobMoney returns a job's money for the owner.
func (a *App) JobMoney(ctx context.Context, actor domain.Actor, jobID domain.ID) (out JobMoney, err error) {
	err = a.view(ctx, actor, "getJobMoney", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		out, err = a.jobMoney(r, job)
		return err
	})
	return out, err
}

// ClientMoney returns a job's money for its client. The caller shows only what a
// client may see of it.
func (a *App) ClientMoney(ctx context.Context, actor domain.Actor, jobID domain.ID) (out JobMoney, err error) {
	err = a.view(ctx, actor, "getClientMoney", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		if err := policy.AllowOn(actor, "getClientMoney", policy.Subject{JobID: job.ID, ClientID: job.ClientID}); err != nil {
			return err
		}
		out, err = a.jobMoney(r, job)
		return err
	})
	return out, err
}

// cash runs a use case that writes about a job's money and answers with it.
func (a *App) cash(ctx context.Context, actor domain.Actor, action policy.Action, key string, request any, do func(w *work) (domain.Job, error)) (JobMoney, error) {
	jobID, err := once(ctx, a, actor, action, key, request, func(w *work) (domain.ID, error) {
		job, err := do(w)
		if err != nil {
			return "", err
		}
		a.watches.forget(job.ID)
		w.tell(job, "money")
		return job.ID, nil
	})
	if err != nil {
		return JobMoney{}, err
	}
	return a.JobMoney(ctx, actor, jobID)
}

// OverrideWatch lets work go on past the stop, up to an amount, with a reason
// that the client reads.
func (a *App) OverrideWatch(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, upTo decimal.Decimal, reason string) (JobMoney, error) {
	return a.cash(ctx, actor, "overrideWatch", key, []any{jobID, upTo, reason}, func(w *work) (domain.Job, error) {
		job, err := w.Job(jobID)
		if err != nil {
			return job, err
		}
		if !job.Workable() {
			return job, fault.New(fault.Conflict, "job-not-in-work", "Job %d is %s; no work goes on on it.", job.Number, job.State)
		}
		l, err := a.loadLedger(w, job)
		if err != nil {
			return job, err
		}
		watch, err := l.watch()
		if err != nil {
			return job, err
		}
		switch {
		case !wholeMinor(upTo, l.currency):
			return job, fault.InvalidField("override-invalid", "/up_to", "%s has %d decimal places at most.", l.currency, l.currency.Places())
		case !upTo.GreaterThan(watch.StopAbove.Decimal()):
			return job, fault.InvalidField("override-invalid", "/up_to", "Work goes on up to %s anyhow; name an amount above it.", watch.StopAbove)
		case upTo.LessThan(watch.Exposure.Decimal()):
			return job, fault.InvalidField("override-invalid", "/up_to", "The job stands at %s already; name an amount that is not below it.", watch.Exposure)
		}
		o := domain.WatchOverride{ID: a.newID(), JobID: jobID, UpTo: upTo, Reason: reason, By: actor.Name, At: w.now}
		if err := w.AddWatchOverride(o); err != nil {
			return job, err
		}
		return job, w.trail("override "+o.ID, jobID, map[string]any{"exposure": watch.Exposure, "stop": watch.StopAbove}, map[string]any{"up_to": upTo, "reason": reason})
	})
}

func wholeMinor(d decimal.Decimal, c money.Currency) bool { return d.Equal(d.Truncate(c.Places())) }

// AddPayment keeps a payment that came in, whatever the state of the job: money
// that was received is a fact.
func (a *App) AddPayment(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, p domain.Payment) (JobMoney, error) {
	return a.cash(ctx, actor, "addPayment", key, []any{jobID, p}, func(w *work) (domain.Job, error) {
		job, err := w.Job(jobID)
		if err != nil {
			return job, err
		}
		if err := w.receivable(job, p); err != nil {
			return job, err
		}
		p.ID, p.JobID, p.At, p.RecordedBy = a.newID(), jobID, w.now, actor.Name
		if err := w.AddPayment(p); err != nil {
			return job, err
		}
		return job, w.trail("payment "+p.ID, jobID, nil, map[string]any{"amount": p.Amount, "paid_on": p.PaidOn, "how": p.How, "note": p.Note})
	})
}

// mostPayments bounds the payments of one job.
const mostPayments = 1000

func (w *work) receivable(job domain.Job, p domain.Payment) error {
	currency, err := money.ParseCurrency(job.Currency)
	if err != nil {
		return err
	}
	shop, err := w.Shop()
	if err != nil {
		return err
	}
	var c fault.Collector
	switch {
	case !p.Amount.IsPositive():
		c.Add("/amount", "A payment is more than nothing; void one that does not stand.")
	case !wholeMinor(p.Amount, currency):
		c.Add("/amount", "%s has %d decimal places at most.", currency, currency.Places())
	}
	switch today := domain.DayOf(w.now, shop.Zone()); {
	case p.PaidOn > today:
		c.Add("/paid_on", "The payment lies in the future.")
	case daysBetween(p.PaidOn, today) > mostDaysBack:
		c.Add("/paid_on", "The payment lies more than ten years back.")
	}
	if err := c.Err("payment-invalid"); err != nil {
		return err
	}
	before, err := w.Payments(job.ID)
	if err == nil && len(before) >= mostPayments {
		err = fault.New(fault.Conflict, "too-many-payments", "A job has at most %d payments.", mostPayments)
	}
	return err
}

const mostDaysBack = 3653

// VoidPayment says that a payment does not stand, and why; it stays readable.
func (a *App) VoidPayment(ctx context.Context, actor domain.Actor, id domain.ID, key, reason string) (JobMoney, error) {
	return a.cash(ctx, actor, "voidPayment", key, []string{id, reason}, func(w *work) (domain.Job, error) {
		p, err := w.Payment(id)
		if err != nil {
			return domain.Job{}, err
		}
		if p.Void() {
			return domain.Job{}, fault.New(fault.Conflict, "payment-void", "This payment was voided by %s already.", p.VoidedBy)
		}
		job, err := w.Job(p.JobID)
		if err != nil {
			return job, err
		}
		p.VoidedAt, p.VoidedBy, p.VoidReason = &w.now, actor.Name, reason
		if err := w.VoidPayment(p); err != nil {
			return job, err
		}
		return job, w.trail("payment "+id, job.ID, map[string]any{"amount": p.Amount}, map[string]string{"void": reason})
	})
}

// NoteSupply notes that what a line buys was ordered, fitted or sent back.
func (a *App) NoteSupply(ctx context.Context, actor domain.Actor, jobID, lineID domain.ID, key string, s domain.Supply) (JobMoney, error) {
	return a.cash(ctx, actor, "noteSupply", key, []any{jobID, lineID, s}, func(w *work) (domain.Job, error) {
		job, err := w.Job(jobID)
		if err != nil {
			return job, err
		}
		l, err := a.loadLedger(w, job)
		if err != nil {
			return job, err
		}
		s.LineID = lineID
		if err := l.suppliable(s); err != nil {
			return job, err
		}
		s.ID, s.JobID, s.At, s.By = a.newID(), jobID, w.now, actor.Name
		if err := w.AddSupply(s); err != nil {
			return job, err
		}
		return job, w.trail("line "+lineID, jobID, nil, map[string]any{"supply": s.State, "returnable": s.Returnable, "restocking_fee": s.RestockingFee, "note": s.Note, "expected_on": s.ExpectedOn})
	})
}

// suppliable refuses a note that cannot be: on a line that buys nothing or that
// the client has not agreed to, or one that contradicts itself.
func (l *ledger) suppliable(s domain.Supply) error {
	i := slices.IndexFunc(l.estimate.Lines, func(x domain.Line) bool { return x.ID == s.LineID })
	if i < 0 {
		return fault.New(fault.NotFound, "line-not-found", "This job has no such line.")
	}
	line := l.estimate.Lines[i]
	_, noted := l.noted[s.LineID]
	switch {
	case !bought(line):
		return fault.New(fault.Conflict, "nothing-to-supply", "%q buys nothing that could be ordered or fitted.", line.Description)
	case line.Scope != domain.Authorised && line.Scope != domain.Opened:
		return fault.New(fault.Conflict, "outside-scope", "%q lies outside what the client agreed to, so nothing is ordered for it.", line.Description)
	case s.State == domain.SupplyReturned && !noted:
		return fault.New(fault.Conflict, "nothing-ordered", "Nothing of %q was ordered that could be sent back.", line.Description)
	}
	var c fault.Collector
	switch {
	case s.RestockingFee.IsNegative() || !wholeMinor(s.RestockingFee, l.currency):
		c.Add("/restocking_fee", "A fee is not negative and has %d decimal places at most in %s.", l.currency.Places(), l.currency)
	case s.RestockingFee.IsPositive() && !s.Returnable:
		c.Add("/restocking_fee", "What cannot be returned has no restocking fee.")
	}
	if s.State == domain.SupplyReturned && !s.Returnable {
		c.Add("/returnable", "What was sent back could be returned.")
	}
	if s.State != domain.SupplyOrdered && !s.ExpectedOn.IsZero() {
		c.Add("/expected_on", "Only what is ordered is still expected.")
	}
	return c.Err("supply-invalid")
}

// StopNowDocument writes the bill if the work stopped now, ready to print. It is
// written afresh each time and kept nowhere.
func (a *App) StopNowDocument(ctx context.Context, actor domain.Actor, jobID domain.ID, form Form) (domain.Document, error) {
	var d paper.StopNowData
	err := a.view(ctx, actor, "getStopNowDocument", func(r Reader) (err error) {
		if d.Job, err = r.Job(jobID); err != nil {
			return err
		}
		m, err := a.jobMoney(r, d.Job)
		if err != nil {
			return err
		}
		if d.Shop, err = r.Shop(); err != nil {
			return err
		}
		d.Bill, d.AsOf, d.Authorised, d.Check = m.Stop.StopNowResult, m.Stop.AsOf, m.Watch.Authorised, m.Check
		d.Client, err = r.Person(d.Job.ClientID)
		return err
	})
	if err != nil {
		return domain.Document{}, err
	}
	return a.written(ctx, jobID, paper.StopNow(d), form)
}
