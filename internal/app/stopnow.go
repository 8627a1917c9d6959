package app

import (
	"encoding/json"
	"fmt"
	"time"

	"bareframe/internal/billing"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// StopNow is the bill if the work stopped now, with what has to be known about
// it.
type StopNow struct {
	AsOf time.Time
	billing.StopNowResult
}

// stopNow works out what the client would owe if the work stopped now. since is
// when the job was finished or cancelled, nil while it goes on.
func (l *ledger) stopNow(now time.Time, since *time.Time) (StopNow, error) {
	in := billing.StopNowInput{Currency: l.job.Currency, TaxBasis: billing.TaxBasis(l.basis.TaxBasis)}
	for _, r := range l.basis.TaxRates {
		in.TaxRates = append(in.TaxRates, billing.TaxRate{Class: string(r.Class), Percent: r.Percent.String()})
	}
	l.labourDone(&in)
	if err := l.things(&in); err != nil {
		return StopNow{}, err
	}
	words := l.terms(&in, now, since)
	for _, p := range l.payments {
		if !p.Void() {
			in.Payments = append(in.Payments, billing.Payment{ID: p.ID, Amount: p.Amount.String()})
		}
	}
	if l.job.Sold() {
		in.Authorised = l.authorised().String()
	}
	r, err := billing.StopNow(in)
	r.Words = append(r.Words, words...)
	return StopNow{AsOf: now, StopNowResult: r}, err
}

func (l *ledger) labourDone(in *billing.StopNowInput) {
	book := domain.PriceBook{Labour: l.basis.Labour}
	for _, t := range l.estimate.Tasks {
		rate, ok := book.Rate(t.Skill)
		if minutes := l.progress[t.ID].WorkedMinutes; ok && minutes > 0 {
			in.Labour = append(in.Labour, billing.Labour{ID: t.ID, Description: t.Describe(), Minutes: minutes,
				Rate: rate.SellRate.String(), TaxClass: string(t.TaxClass)})
		}
	}
}

// things are what was fitted, what was ordered and is not fitted, and credits
// that were agreed, each at its price as sold.
func (l *ledger) things(in *billing.StopNowInput) error {
	nets, err := l.lineNets()
	if err != nil {
		return err
	}
	for _, line := range l.estimate.Lines {
		item := billing.Item{ID: line.ID, Description: line.Description, Quantity: line.Quantity.String(), Unit: line.Unit,
			Net: nets[lineOf+line.ID].Net.String(), TaxClass: string(line.TaxClass)}
		s, noted := l.noted[line.ID]
		switch {
		case line.Kind == pricing.Credit && line.Scope == domain.Authorised && l.creditDue(line):
			item.Net = nets[lineOf+line.ID].Net.Neg().String()
			in.Credits = append(in.Credits, item)
		case !bought(line):
		case l.isFitted(line):
			in.Fitted = append(in.Fitted, item)
		case noted:
			in.Orders = append(in.Orders, orderOf(item, s))
		}
	}
	return nil
}

// creditDue reports whether a credit counts by now: at once, or with the work of
// its task.
func (l *ledger) creditDue(line domain.Line) bool {
	t, ok := l.estimate.Task(line.TaskID)
	return !ok || l.finished(*t)
}

func orderOf(item billing.Item, s domain.Supply) billing.Order {
	o := billing.Order{Item: item, Returnable: s.Returnable || s.State == domain.SupplyReturned}
	if s.State == domain.SupplyReturned {
		o.Description += " (sent back)"
	}
	if o.Returnable && s.RestockingFee.IsPositive() {
		o.RestockingFee, o.FeeTaxClass = s.RestockingFee.String(), string(pricing.FeeClass)
	}
	return o
}

// lineNets prices every line of the estimate that is a thing or a credit.
func (l *ledger) lineNets() (map[string]pricing.LineResult, error) {
	var lines []pricing.Line
	for _, line := range l.estimate.Lines {
		if bought(line) || line.Kind == pricing.Credit {
			lines = append(lines, materialLine(line))
		}
	}
	out := make(map[string]pricing.LineResult, len(lines))
	if len(lines) == 0 {
		return out, nil
	}
	r, err := l.priced(lines)
	for _, line := range r.Lines {
		out[line.ID] = line
	}
	return out, err
}

// removalPhase and remountPhase are the keys of the phases that taking apart and
// putting together belong to.
const (
	removalPhase = "removal"
	remountPhase = "remount"
)

// terms adds the charges for stopping that the accepted quote stated, and says
// in words why one of them is not made.
func (l *ledger) terms(in *billing.StopNowInput, now time.Time, since *time.Time) (words []string) {
	if l.accepted == nil {
		return nil
	}
	t := l.accepted.Basis.Stopping
	days := 0
	if since != nil {
		days = max(0, daysBetween(domain.DayOf(*since, l.shop.Zone()), domain.DayOf(now, l.shop.Zone())))
	}
	if t.StoragePerDay.IsPositive() {
		in.Storage = &billing.Storage{OnEstimate: true, Days: days, FreeDays: t.StorageFreeDays, PerDay: t.StoragePerDay.String(), TaxClass: string(pricing.Storage)}
	}
	removal, remount, any := l.apart()
	if t.Teardown.IsPositive() {
		switch {
		case !any:
			words = append(words, "Nothing was taken apart, so no teardown is charged.")
		case removal:
			words = append(words, "Teardown is billed by its hours, so the agreed charge for it is not made as well.")
		default:
			in.Teardown = &billing.Charge{OnEstimate: true, Amount: t.Teardown.String(), TaxClass: string(pricing.RepairLabour)}
		}
	}
	if t.Reassembly.IsPositive() {
		switch {
		case !any:
			words = append(words, "Nothing was taken apart, so no reassembly is charged.")
		case remount:
			words = append(words, "The car is together again, so no reassembly is charged.")
		default:
			in.Reassembly = &billing.Charge{OnEstimate: true, Amount: t.Reassembly.String(), TaxClass: string(pricing.RepairLabour)}
		}
	}
	if !t.Any() {
		words = append(words, "The accepted quote named no charge for teardown, reassembly or storage, so none is made.")
	}
	return words
}

// apart says whether removal is among the hours, whether the car is together
// again, and whether anything was worked at all.
func (l *ledger) apart() (removal, remounted, any bool) {
	keys := map[domain.ID]string{}
	for _, p := range l.estimate.Phases {
		keys[p.ID] = p.Key
	}
	last, done := 0, 0
	for _, t := range l.estimate.Tasks {
		worked := l.progress[t.ID].WorkedMinutes > 0
		any = any || worked
		switch keys[t.PhaseID] {
		case removalPhase:
			removal = removal || worked
		case remountPhase:
			last++
			if l.finished(t) {
				done++
			}
		}
	}
	return removal, last > 0 && done == last, any
}

// daysBetween counts calendar days.
func daysBetween(from, to domain.Day) int {
	a, errA := time.Parse(time.DateOnly, string(from))
	b, errB := time.Parse(time.DateOnly, string(to))
	if errA != nil || errB != nil {
		return 0
	}
	return int(b.Sub(a) / (24 * time.Hour))
}

// stoodStill returns when the job was last finished or cancelled, nil while it
// goes on. The trail knows: a job's row keeps only the present state.
func stoodStill(r Reader, job domain.Job) (*time.Time, error) {
	if job.State != domain.Finished && job.State != domain.Cancelled {
		return nil, nil
	}
	for page := (Page{Limit: 200}); ; {
		entries, next, err := r.Trail(job.ID, page)
		if err != nil {
			return nil, err
		}
		for _, e := range entries {
			var after struct {
				State domain.JobState `json:"state"`
			}
			if e.Action == "moveJob" && json.Unmarshal(e.After, &after) == nil && after.State == job.State {
				return &e.At, nil
			}
		}
		if next == "" {
			return nil, fmt.Errorf("the trail does not say when job %d became %s", job.Number, job.State)
		}
		page.After = next
	}
}
