package billing

import (
	"fmt"

	"github.com/shopspring/decimal"

	"bareframe/internal/money"
)

// DefaultWarnPercent is the share of the authorised amount from which on the
// owner is warned; common practice, and the shop's to change.
const DefaultWarnPercent = "80"

// WatchInput are the figures of a job, either all with tax or all without.
type WatchInput struct {
	Currency   string `json:"currency"`
	Authorised string `json:"authorised"`
	Worked     string `json:"worked"`   // labour done at the rates sold
	Fitted     string `json:"fitted"`   // fitted, used up, come due
	Ordered    string `json:"ordered"`  // special orders that cannot be returned, and restocking fees
	Invoiced   string `json:"invoiced"` // deposit and draws
	// WarnPercent is above 0 and at most 100; empty is DefaultWarnPercent.
	WarnPercent string `json:"warn_percent,omitempty"`
	// TolerancePercent is what the local law allows above the authorised amount
	// without new consent; empty is nothing. Check the local law.
	TolerancePercent string `json:"tolerance_percent,omitempty"`
}

// WatchState says how far the authorised amount is used up.
type WatchState string

// The states.
const (
	WatchOK   WatchState = "ok"
	WatchWarn WatchState = "warn"
	WatchStop WatchState = "stop"
)

// WatchResult is how far the authorised amount is used up.
type WatchResult struct {
	Authorised money.Amount `json:"authorised"`
	Worked     money.Amount `json:"worked"`
	Fitted     money.Amount `json:"fitted"`
	Ordered    money.Amount `json:"ordered"`
	Invoiced   money.Amount `json:"invoiced"`
	Done       money.Amount `json:"done"`     // worked + fitted + ordered
	Exposure   money.Amount `json:"exposure"` // the larger of done and invoiced
	State      WatchState   `json:"state"`
	WarnAt     money.Amount `json:"warn_at"`      // the least exposure that warns
	StopAbove  money.Amount `json:"stop_above"`   // the most exposure that does not stop
	LeftToWarn money.Amount `json:"left_to_warn"` // warn_at - exposure; 0 or less: reached
	LeftToStop money.Amount `json:"left_to_stop"` // stop_above - exposure; negative: passed
	Why        string       `json:"why"`
}

// Watch holds what was done and invoiced against what is authorised. A job on
// which nothing was done or invoiced is ok, whatever is authorised. Errors are
// fault.Invalid "billing-input". O(1).
func Watch(in WatchInput) (WatchResult, error) {
	r := read(in.Currency)
	w := WatchResult{Authorised: r.amount("/authorised", in.Authorised), Worked: r.amount("/worked", in.Worked),
		Fitted: r.amount("/fitted", in.Fitted), Ordered: r.amount("/ordered", in.Ordered), Invoiced: r.amount("/invoiced", in.Invoiced)}
	warn := r.percent("/warn_percent", in.WarnPercent, DefaultWarnPercent)
	if warn.IsZero() {
		r.Add("/warn_percent", "a percent above 0 is needed")
	}
	tolerance := r.percent("/tolerance_percent", in.TolerancePercent, "0")
	if err := r.Err(code); err != nil {
		return WatchResult{}, err
	}
	w.Done = plus(plus(w.Worked, w.Fitted), w.Ordered)
	w.Exposure = w.Done
	if minus(w.Invoiced, w.Done).Sign() > 0 {
		w.Exposure = w.Invoiced
	}
	w.bounds(warn, tolerance)
	w.judge()
	return w, nil
}

// percent reads a percent from 0 to 100; empty is the usual one.
func (r *reader) percent(at, s, usual string) decimal.Decimal {
	if s == "" {
		s = usual
	}
	d := r.number(at, s, percentPlaces)
	if d.GreaterThan(hundred) {
		r.Add(at, "a percent from 0 to 100 is needed")
	}
	return d
}

// bounds cuts the exact bounds to whole minor units in the direction in which an
// exposure, which is one, is judged just as by the exact ones.
func (w *WatchResult) bounds(warn, tolerance decimal.Decimal) {
	in := w.Authorised.Currency()
	share := func(percent decimal.Decimal) decimal.Decimal { return w.Authorised.Decimal().Mul(percent).Shift(-2) }
	w.WarnAt = money.Round(share(warn).RoundCeil(in.Places()), in)
	w.StopAbove = money.Round(share(hundred.Add(tolerance)).RoundFloor(in.Places()), in)
	w.LeftToWarn, w.LeftToStop = minus(w.WarnAt, w.Exposure), minus(w.StopAbove, w.Exposure)
}

func (w *WatchResult) judge() {
	switch {
	case w.LeftToStop.Sign() < 0:
		w.State = WatchStop
		w.Why = fmt.Sprintf("Stop: %s done or invoiced is %s above the %s that may be reached on %s authorised. No more work before the client decides.",
			w.Exposure, w.LeftToStop.Neg(), w.StopAbove, w.Authorised)
	case w.LeftToWarn.Sign() <= 0 && !w.Exposure.IsZero():
		w.State = WatchWarn
		w.Why = fmt.Sprintf("%s of %s authorised is done or invoiced; %s is left until work has to stop.", w.Exposure, w.Authorised, w.LeftToStop)
	default:
		w.State = WatchOK
		w.Why = fmt.Sprintf("%s of %s authorised is done or invoiced; %s is left until the warning at %s, %s until work has to stop.",
			w.Exposure, w.Authorised, w.LeftToWarn, w.WarnAt, w.LeftToStop)
	}
}
