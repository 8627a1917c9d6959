package app

import (
	"sync"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/billing"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/money"
)

// WatchState says how a job stands against what the client authorised.
type WatchState string

// The states of the watch.
const (
	WatchOK         = WatchState(billing.WatchOK)
	WatchWarn       = WatchState(billing.WatchWarn) // at the warning or over it
	WatchStop       = WatchState(billing.WatchStop) // over the stop: no hours go on the job
	WatchOverridden = WatchState("overridden")      // past the stop, and the owner lets work go on
)

// Watch holds what was worked, fitted and ordered against what the client
// authorised. All amounts carry tax. Nothing is invoiced before draws are built,
// so Invoiced is nothing until then.
type Watch struct {
	billing.WatchResult
	State WatchState
	Left  money.Amount // to the stop, or to what the owner let work go on to; negative past it
}

// watch works out how the job stands.
func (l *ledger) watch() (Watch, error) {
	worked, err := l.gross(l.workedLines())
	if err != nil {
		return Watch{}, err
	}
	fitted, err := l.gross(l.boughtLines(l.isFitted))
	if err != nil {
		return Watch{}, err
	}
	ordered, err := l.gross(l.committedLines())
	if err != nil {
		return Watch{}, err
	}
	held, err := billing.Watch(billing.WatchInput{Currency: l.job.Currency, Authorised: l.authorised().String(),
		Worked: worked.String(), Fitted: fitted.String(), Ordered: ordered.String(), Invoiced: money.Zero(l.currency).String(),
		WarnPercent: l.shop.GoesBy().WarnPercent.String(), TolerancePercent: l.shop.Settings.TolerancePercent.String()})
	if err != nil {
		return Watch{}, err
	}
	return l.overridden(Watch{WatchResult: held, State: WatchState(held.State), Left: held.LeftToStop})
}

// overridden lets work go on past the stop as far as the owner said last.
func (l *ledger) overridden(w Watch) (Watch, error) {
	if w.State != WatchStop || len(l.overrides) == 0 {
		return w, nil
	}
	upTo := money.Round(l.overrides[len(l.overrides)-1].UpTo, l.currency)
	left, err := upTo.Sub(w.Exposure)
	if err == nil && left.Sign() >= 0 {
		w.State, w.Left = WatchOverridden, left
	}
	return w, err
}

// minutesLeft is how long somebody could work at the dearest rate and tax
// without coming to the limit: until then nothing need be worked out again.
func (l *ledger) minutesLeft(w Watch) int64 {
	dearest, tax := decimal.Zero, decimal.Zero
	for _, r := range l.basis.Labour {
		dearest = decimal.Max(dearest, r.SellRate)
	}
	for _, r := range l.basis.TaxRates {
		tax = decimal.Max(tax, r.Percent)
	}
	perHour := dearest.Mul(decimal.NewFromInt(100).Add(tax)).Shift(-2)
	if !perHour.IsPositive() {
		return mostMinutes
	}
	minutes := w.Left.Decimal().Mul(sixty).DivRound(perHour, 0).IntPart() - 1 // what rounding may have given away
	return max(0, min(mostMinutes, minutes))
}

const (
	mostMinutes = 1_000_000
	watchFresh  = 15 * time.Second
	mostWatched = 4096
)

// watches remembers by job how many minutes may go on it before the watch has
// to be worked out again, so that an entry of hours costs no sum over the job.
// What this instance writes is counted at once; what another writes is seen
// after watchFresh at the latest. A stop is never remembered.
type watches struct {
	mu   sync.Mutex
	jobs map[domain.ID]watched
}

type watched struct {
	version int
	at      time.Time
	left    int64
}

func newWatches() *watches { return &watches{jobs: map[domain.ID]watched{}} }

// fits reports whether a job is known to be far enough from its stop.
func (k *watches) fits(job domain.Job, now time.Time) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	w, ok := k.jobs[job.ID]
	age := now.Sub(w.at)
	return ok && w.version == job.Version && w.left > 0 && age >= 0 && age < watchFresh
}

func (k *watches) keep(job domain.Job, now time.Time, left int64) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if len(k.jobs) >= mostWatched {
		clear(k.jobs)
	}
	k.jobs[job.ID] = watched{job.Version, now, left}
}

// spend counts what an entry adds. What cannot be told in minutes, a task that
// is done with what was fitted on it, has the watch worked out again.
func (k *watches) spend(e domain.Entry) {
	k.mu.Lock()
	defer k.mu.Unlock()
	w, ok := k.jobs[e.JobID]
	if !ok {
		return
	}
	w.left -= int64(e.Minutes())
	if e.Done || w.left <= 0 {
		delete(k.jobs, e.JobID)
		return
	}
	k.jobs[e.JobID] = w
}

func (k *watches) forget(jobID domain.ID) {
	k.mu.Lock()
	defer k.mu.Unlock()
	delete(k.jobs, jobID)
}

func (k *watches) forgetAll() {
	k.mu.Lock()
	defer k.mu.Unlock()
	clear(k.jobs)
}

// withinAuthorised refuses hours on a job that has come to the stop. It says no
// figure: who works must not see the client's money.
func (w *work) withinAuthorised(job domain.Job) error {
	if !job.Sold() || w.app.watches.fits(job, w.now) {
		return nil
	}
	l, err := w.app.loadLedger(w, job)
	if err != nil {
		return err
	}
	watch, err := l.watch()
	if err != nil {
		return err
	}
	if watch.State == WatchStop {
		return fault.New(fault.Conflict, "over-authorised",
			"Job %d has come to what its client authorised, so no further hours go on it until more is agreed or the owner lets work go on.", job.Number)
	}
	w.app.watches.keep(job, w.now, l.minutesLeft(watch))
	return nil
}
