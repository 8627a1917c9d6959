package app

import (
	"fmt"
	"strconv"
	"time"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

// orderBase is what the effects of a job's orders are computed from, loaded once.
type orderBase struct {
	app      *App
	shop     domain.Shop
	job      domain.Job
	e        domain.Estimate // in force
	whole    domain.Estimate // with what belongs to options that are not taken
	codes    map[string]bool // of all tasks, also of those that are not taken
	basis    domain.PriceBasis
	book     domain.PriceBook  // rates of the basis
	today    *domain.PriceBook // once asked for
	progress map[domain.ID]domain.TaskProgress
	begun    map[domain.ID]bool // tasks that somebody logged time to
	orders   []domain.ChangeOrder
	zones    map[domain.ID]string
	cal      *calendar.Calendar
	day      calendar.Minutes
	now      time.Time
	before   *Plan // of the agreed work as it stands, once asked for
	base     []pricing.Phase
	reader   Reader      // what all this was read from
	onFloor  *orderFloor // once asked for
	ownOnly  bool        // the floor is not asked
	// beside: the floor was followed beside this transaction, and is not in it; ahead is
	// what came of that, nil where nothing did.
	beside bool
	ahead  *floorAhead
}

// orderBaseOf loads what effects need, in a constant number of queries.
func (a *App) orderBaseOf(r Reader, jobID domain.ID) (*orderBase, error) {
	b := &orderBase{app: a, reader: r, now: a.now(), begun: map[domain.ID]bool{}, zones: map[domain.ID]string{}}
	if w, ok := r.(*work); ok {
		b.now = w.now
	}
	var err error
	if b.job, err = r.Job(jobID); err != nil {
		return nil, err
	}
	if b.shop, err = r.Shop(); err != nil {
		return nil, err
	}
	all, err := a.estimatesOf(r, []domain.Job{b.job})
	if err != nil {
		return nil, err
	}
	if err := awaited(r, []domain.Job{b.job}, all); err != nil {
		return nil, err
	}
	b.e, b.whole, b.codes = all[jobID].inForce, all[jobID].whole, codesOf(all[jobID].whole)
	quotes, err := r.Quotes([]domain.ID{jobID})
	if err != nil {
		return nil, err
	}
	b.basis = basisOf(b.shop, b.job, quotes[jobID], b.now)
	b.book = domain.PriceBook{Labour: b.basis.Labour}
	entries, err := r.Entries([]domain.ID{jobID})
	if err != nil {
		return nil, err
	}
	b.progress = domain.ProgressOf(entries[jobID])
	for _, e := range entries[jobID] {
		b.begun[e.TaskID] = true
	}
	orders, err := r.Orders([]domain.ID{jobID})
	if err != nil {
		return nil, err
	}
	b.orders = orders[jobID]
	if b.cal, err = a.calendarOf(b.shop); err != nil {
		return nil, err
	}
	b.day = standardDay(b.shop.Calendar)
	for _, p := range b.e.Phases {
		b.base = append(b.base, pricing.Phase{ID: p.ID, Name: p.Name})
	}
	return b, b.nameZones(r)
}

// nameZones reads how the zones of the frame are called.
func (b *orderBase) nameZones(r Reader) error {
	zones, err := r.Zones(b.job.ID)
	for _, z := range zones {
		b.zones[z.ID] = z.Name
	}
	return err
}

// placeholders give rows of a preview identifiers that sort behind all others
// and are the same at every computation.
func placeholders() func() domain.ID {
	n := 0
	return func() domain.ID { n++; return fmt.Sprintf("~%06d", n) }
}

// priced prices lines with what the accepted quote was priced with.
func (b *orderBase) priced(lines []pricing.Line) (pricing.Result, error) {
	in := pricing.Input{Currency: b.job.Currency, TaxBasis: b.basis.TaxBasis, Phases: b.base, Lines: make([]pricing.Line, len(lines))}
	for _, r := range b.basis.TaxRates {
		in.TaxRates = append(in.TaxRates, pricing.TaxRate{Class: r.Class, Percent: r.Percent.String()})
	}
	for i, l := range lines {
		l.ID, l.TaskID = strconv.Itoa(i), ""
		in.Lines[i] = l
	}
	r, err := pricing.Calculate(in)
	if e := fault.As(err); e != nil {
		return r, fault.New(fault.Invalid, "order-not-priced", "This cannot be priced: %s", e.Detail)
	}
	return r, err
}
