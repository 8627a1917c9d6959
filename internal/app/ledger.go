package app

import (
	"cmp"
	"slices"
	"strconv"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/domain"
	"bareframe/internal/money"
	"bareframe/internal/pricing"
)

// ledger is what a job's money follows from, loaded in one snapshot.
type ledger struct {
	shop      domain.Shop
	job       domain.Job
	accepted  *domain.Quote
	orders    []domain.ChangeOrder // approved, oldest first
	estimate  domain.Estimate
	progress  map[domain.ID]domain.TaskProgress
	noted     map[domain.ID]domain.Supply // latest by line
	payments  []domain.Payment
	overrides []domain.WatchOverride
	currency  money.Currency
	basis     domain.PriceBasis
}

func (a *App) loadLedger(r Reader, job domain.Job) (*ledger, error) {
	l := &ledger{job: job}
	var err error
	if l.shop, err = r.Shop(); err != nil {
		return nil, err
	}
	if l.currency, err = money.ParseCurrency(job.Currency); err != nil {
		return nil, err
	}
	estimates, err := a.estimatesOf(r, []domain.Job{job})
	if err != nil {
		return nil, err
	}
	l.estimate = estimates[job.ID].inForce
	quotes, err := r.Quotes([]domain.ID{job.ID})
	if err != nil {
		return nil, err
	}
	for _, q := range quotes[job.ID] {
		if job.Sold() && q.ID == job.AcceptedQuoteID {
			agreed := q.AsAgreed()
			l.accepted = &agreed
		}
	}
	l.basis = basisOf(l.shop, job, quotes[job.ID], a.now())
	entries, err := r.Entries([]domain.ID{job.ID})
	if err != nil {
		return nil, err
	}
	l.progress = domain.ProgressOf(entries[job.ID])
	if err := l.loadCash(r); err != nil {
		return nil, err
	}
	l.orders, err = approvedOrders(r, job.ID)
	return l, err
}

func (l *ledger) loadCash(r Reader) error {
	supplies, err := r.Supplies(l.job.ID)
	if err != nil {
		return err
	}
	l.noted = domain.LatestSupplies(supplies)
	if l.payments, err = r.Payments(l.job.ID); err != nil {
		return err
	}
	l.overrides, err = r.WatchOverrides(l.job.ID)
	return err
}

// approvedOrders lists a job's approved change orders by when they were decided.
func approvedOrders(r Reader, jobID domain.ID) ([]domain.ChangeOrder, error) {
	all, err := r.Orders([]domain.ID{jobID})
	if err != nil {
		return nil, err
	}
	var out []domain.ChangeOrder
	for _, o := range all[jobID] {
		if o.State == domain.OrderApproved && o.Decision != nil {
			out = append(out, o)
		}
	}
	slices.SortStableFunc(out, func(a, b domain.ChangeOrder) int {
		return cmp.Or(a.Decision.RecordedAt.Compare(b.Decision.RecordedAt), cmp.Compare(a.Number, b.Number))
	})
	return out, nil
}

// finished reports whether a task's work is done: somebody said so, or the hold
// was released or the sublet work came back.
func (l *ledger) finished(t domain.Task) bool {
	if t.Kind == domain.Work {
		return l.progress[t.ID].Finished != nil
	}
	return t.ReleasedAt != nil
}

// bought reports whether a line buys something that can be ordered and fitted.
// An allowance, a reserve and a credit are sums, not things.
func bought(l domain.Line) bool {
	return l.Kind == pricing.Material || l.Kind == pricing.Sublet || l.Kind == pricing.Fee
}

// minuteQuantity prices worked minutes exactly: the rate is for 60 of them.
func minuteQuantity(line pricing.Line, minutes int) pricing.Line {
	line.Quantity, line.PriceBaseQuantity, line.Unit = strconv.Itoa(minutes), "60", ""
	return line
}

// workedLines is the labour of what was worked, task by task, at the rates that
// were sold. Clocks that run count when they stop; waiting is nobody's bill.
func (l *ledger) workedLines() []pricing.Line {
	book := domain.PriceBook{Labour: l.basis.Labour}
	var out []pricing.Line
	for _, t := range l.estimate.Tasks {
		minutes := l.progress[t.ID].WorkedMinutes
		rate, ok := book.Rate(t.Skill)
		if minutes <= 0 || !ok {
			continue
		}
		out = append(out, minuteQuantity(pricing.Line{ID: labourOf + t.ID, PhaseID: t.PhaseID, TaskID: t.ID, Kind: pricing.Labour,
			Description: t.Name, UnitPrice: rate.SellRate.String(), TaxClass: t.TaxClass}, minutes))
	}
	return out
}

// isFitted reports whether what a line buys is on the car: it was noted so, or
// nothing was noted and the work of its task is done.
func (l *ledger) isFitted(line domain.Line) bool {
	if s, noted := l.noted[line.ID]; noted {
		return s.State == domain.SupplyFitted
	}
	t, ok := l.estimate.Task(line.TaskID)
	return ok && l.finished(*t)
}

// committedLines is what the client is in for of what is not on the car: special
// orders that cannot be sent back, and what sending others back costs.
func (l *ledger) committedLines() []pricing.Line {
	var out []pricing.Line
	for _, line := range l.estimate.Lines {
		s, noted := l.noted[line.ID]
		switch {
		case !bought(line) || !noted || s.State == domain.SupplyFitted:
		case s.State == domain.SupplyOrdered && !s.Returnable:
			out = append(out, materialLine(line))
		case s.RestockingFee.IsPositive():
			out = append(out, pricing.Line{ID: lineOf + line.ID, PhaseID: line.PhaseID, Kind: pricing.Fee, Quantity: "1",
				Description: line.Description, UnitPrice: s.RestockingFee.String(), TaxClass: pricing.FeeClass})
		}
	}
	return out
}

// boughtLines prices the bought lines that a rule picks.
func (l *ledger) boughtLines(pick func(domain.Line) bool) []pricing.Line {
	var out []pricing.Line
	for _, line := range l.estimate.Lines {
		if bought(line) && pick(line) {
			out = append(out, materialLine(line))
		}
	}
	return out
}

// priced prices lines by themselves with the basis of the accepted quote.
func (l *ledger) priced(lines []pricing.Line) (pricing.Result, error) {
	in := pricing.Input{Currency: l.job.Currency, TaxBasis: l.basis.TaxBasis, Lines: lines}
	for _, r := range l.basis.TaxRates {
		in.TaxRates = append(in.TaxRates, pricing.TaxRate{Class: r.Class, Percent: r.Percent.String()})
	}
	for _, p := range l.estimate.Phases {
		in.Phases = append(in.Phases, pricing.Phase{ID: p.ID, Name: p.Name})
	}
	return pricing.Calculate(in)
}

// gross is what lines come to with their tax, nothing without a line.
func (l *ledger) gross(lines []pricing.Line) (money.Amount, error) {
	if len(lines) == 0 {
		return money.Zero(l.currency), nil
	}
	r, err := l.priced(lines)
	return r.Totals.GrandTotal, err
}

// authorised is what the client has agreed to pay so far.
func (l *ledger) authorised() money.Amount { return money.Round(l.job.AuthorisedAmount, l.currency) }

// paid is the sum of the payments that stand.
func (l *ledger) paid() money.Amount { return money.Round(domain.PaidIn(l.payments), l.currency) }

// AgreedPart is one sum that the client agreed to: the accepted quote, then each
// approved change order.
type AgreedPart struct {
	What   string
	Order  *domain.OrderRef
	Amount decimal.Decimal
	At     time.Time
}

func (l *ledger) agreed() []AgreedPart {
	out := []AgreedPart{}
	if q := l.accepted; q != nil {
		part := AgreedPart{What: "Quote " + q.Number, Amount: q.Total, At: q.IssuedAt}
		if q.Decision != nil {
			part.At = q.Decision.DecidedAt
		}
		out = append(out, part)
	}
	for _, o := range l.orders {
		out = append(out, AgreedPart{What: o.Title, Order: &domain.OrderRef{ID: o.ID, Number: o.Number},
			Amount: o.Decision.Amount, At: o.Decision.DecidedAt})
	}
	return out
}
