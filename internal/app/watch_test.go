package app_test

import (
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// minuteJob is a sold job of ten hours at 60.00 without tax, so that a minute
// costs 1.00 and 600.00 are authorised. The warning stands at 80 percent and the
// tolerance at 10, so that it warns from 480.00 on and stops above 660.00.
func minuteJob(t testing.TB) (*bench, app.JobPage) {
	t.Helper()
	s := app.StartingSettings("Selvane Frame & Body", "EUR", "UTC", "en", "metric")
	s.TolerancePercent = dec("10")
	b := open(t, s)
	b.rates(dec("60"))
	p := b.job(b.templateCalled("empty"))
	p, err := b.app.AddTask(t.Context(), b.owner, p.Job.ID, made(p), domain.Task{PhaseID: p.Estimate.Phases[0].ID, Code: "T10", Name: "Weld", Kind: domain.Work,
		Hours: hours("10", "10", "10"), Skill: "welder", Crew: 1, TaxClass: pricing.RepairLabour, Cautions: []string{}}, nil, nil)
	b.ok("task", err)
	b.accept(b.issue(p))
	return b, b.page(p.Job.ID)
}

// work logs minutes on a job's first task, after those before.
func (b *bench) work(p app.JobPage, from *time.Time, minutes int) error {
	to := from.Add(time.Duration(minutes) * time.Minute)
	_, err := b.app.LogHours(b.t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: p.Estimate.Tasks[0].ID}, StartedAt: *from, FinishedAt: to})
	if err == nil {
		*from = to
	}
	return err
}

func (b *bench) money(p app.JobPage) app.JobMoney {
	b.t.Helper()
	m, err := b.app.JobMoney(b.t.Context(), b.owner, p.Job.ID)
	b.ok("money", err)
	return m
}

// The watch warns at 80 percent exactly and stops above 100 percent and the
// tolerance, to the cent; the figures follow from the job by hand.
func TestTheWatchAtItsBounds(t *testing.T) {
	b, p := minuteJob(t)
	at := monday.AddDate(0, 0, -5)
	for _, c := range []struct {
		minutes  int // added
		exposure string
		state    app.WatchState
		left     string
	}{
		{0, "0.00", app.WatchOK, "660.00"},
		{479, "479.00", app.WatchOK, "181.00"},
		{1, "480.00", app.WatchWarn, "180.00"},
		{120, "600.00", app.WatchWarn, "60.00"},
		{60, "660.00", app.WatchWarn, "0.00"},
		{1, "661.00", app.WatchStop, "-1.00"},
	} {
		if c.minutes > 0 {
			b.ok("working", b.work(p, &at, c.minutes))
		}
		m := b.money(p)
		if m.Watch.Exposure.String() != c.exposure || m.Watch.State != c.state || m.Watch.Left.String() != c.left {
			t.Errorf("after %d more: got %s %s left %s, want %s %s left %s", c.minutes, m.Watch.Exposure, m.Watch.State, m.Watch.Left, c.exposure, c.state, c.left)
		}
		if m.Watch.WarnAt.String() != "480.00" || m.Watch.StopAbove.String() != "660.00" || m.Watch.Authorised.String() != "600.00" {
			t.Errorf("bounds: %+v", m.Watch)
		}
	}
	err := b.work(p, &at, 1)
	refused(t, "past the stop", err, "over-authorised")
	for _, figure := range []string{"600", "660", "661"} {
		if strings.Contains(err.Error(), figure) {
			t.Errorf("who works reads the client's money: %v", err)
		}
	}
	_, err = b.app.StartClock(t.Context(), b.marik, b.key(), app.Target{TaskID: p.Estimate.Tasks[0].ID}, nil, "")
	refused(t, "a clock past the stop", err, "over-authorised")
	_, err = b.app.StartClock(t.Context(), b.marik, b.key(), app.Target{JobID: p.Job.ID, Waiting: domain.WaitDecision}, nil, "")
	b.ok("waiting is not work", err)
	_, err = b.app.SwitchClock(t.Context(), b.marik, b.key(), app.Stop{}, app.Target{TaskID: p.Estimate.Tasks[0].ID}, "")
	refused(t, "a switch past the stop", err, "over-authorised")
}

// An override holds as far as it says, the latest counts, and its reason stands
// where the client reads it.
func TestTheOwnerLetsWorkGoOn(t *testing.T) {
	b, p := minuteJob(t)
	at := monday.AddDate(0, 0, -5)
	b.ok("working", b.work(p, &at, 661))
	for upTo, what := range map[string]string{"660.00": "no more than the stop", "660.50": "below what is used", "700.001": "a tenth of a cent"} {
		_, err := b.app.OverrideWatch(t.Context(), b.owner, p.Job.ID, b.key(), dec(upTo), "Primer must go on.")
		refused(t, what, err, "override-invalid")
	}
	m, err := b.app.OverrideWatch(t.Context(), b.owner, p.Job.ID, b.key(), dec("670"), "Primer must go on.")
	b.ok("override", err)
	if m.Watch.State != app.WatchOverridden || m.Watch.Left.String() != "9.00" {
		t.Errorf("got %s, left %s", m.Watch.State, m.Watch.Left)
	}
	b.ok("up to it", b.work(p, &at, 9))
	b.ok("still at it", b.work(p, &at, 1))
	refused(t, "past it", b.work(p, &at, 1), "over-authorised")
	client, err := b.app.ClientMoney(t.Context(), b.client, p.Job.ID)
	b.ok("client", err)
	if len(client.Overrides) != 1 || client.Overrides[0].Reason != "Primer must go on." {
		t.Errorf("the client reads %+v", client.Overrides)
	}
	_, err = b.app.ClientMoney(t.Context(), b.other, p.Job.ID)
	refused(t, "another client", err, "not-found")
}

// What is remembered between entries is given up when something else moves the
// exposure: a correction, a supply, a payment moves nothing, a higher tolerance.
func TestTheStopSeesEverythingThatMoves(t *testing.T) {
	b, p := minuteJob(t)
	at := monday.AddDate(0, 0, -5)
	first := at
	b.ok("working", b.work(p, &at, 600))
	entries, _, err := b.app.JobHours(t.Context(), b.owner, p.Job.ID, app.Page{})
	b.ok("hours", err)
	longer := first.Add(700 * time.Minute)
	_, err = b.app.CorrectHours(t.Context(), b.marik, entries[0].Entry.ID, b.key(), app.Correction{FinishedAt: &longer, Reason: "Longer."})
	b.ok("correcting", err)
	at = longer
	refused(t, "after the correction", b.work(p, &at, 1), "over-authorised")
	set := b.page(p.Job.ID).Shop
	set.Settings.TolerancePercent = dec("20")
	_, err = b.app.ChangeShop(t.Context(), b.owner, app.Precondition{Given: true, Version: set.Version}, set.Settings)
	b.ok("tolerance", err)
	b.ok("within the higher tolerance", b.work(p, &at, 20))
	b.ok("at it", b.work(p, &at, 1))
	refused(t, "above it", b.work(p, &at, 1), "over-authorised")
}

// Lines count when they are fitted, by a note or with their task, and when they
// cannot be sent back. Tube: 3.3333 m and 5 % waste at 17.891 and 15 %:
// 3.499965 x 20.57465 = 72.0105..., 72.01; with 7.25 % tax 77.23 (5.22).
// Weld: 60 min at 77.7775 is 77.78 and 83.42 (5.64).
func TestSuppliesAndFinishedTasksCount(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	p := b.soldJob()
	line := p.Estimate.Lines[0].ID
	note := func(s domain.Supply) (app.JobMoney, error) {
		return b.app.NoteSupply(t.Context(), b.owner, p.Job.ID, line, b.key(), s)
	}
	_, err := note(domain.Supply{State: domain.SupplyReturned, Returnable: true, RestockingFee: dec("0")})
	refused(t, "sent back unordered", err, "nothing-ordered")
	_, err = note(domain.Supply{State: domain.SupplyOrdered, RestockingFee: dec("5")})
	refused(t, "a fee for what stays", err, "supply-invalid")
	for _, c := range []struct {
		s               domain.Supply
		fitted, ordered string
	}{
		{domain.Supply{State: domain.SupplyOrdered, Returnable: true, RestockingFee: dec("0")}, "0.00", "0.00"},
		{domain.Supply{State: domain.SupplyOrdered, Returnable: true, RestockingFee: dec("10")}, "0.00", "10.73"},
		{domain.Supply{State: domain.SupplyOrdered, RestockingFee: dec("0")}, "0.00", "77.23"},
		{domain.Supply{State: domain.SupplyFitted, RestockingFee: dec("0")}, "77.23", "0.00"},
		{domain.Supply{State: domain.SupplyReturned, Returnable: true, RestockingFee: dec("0")}, "0.00", "0.00"},
	} {
		m, err := note(c.s)
		b.ok("note", err)
		if m.Watch.Fitted.String() != c.fitted || m.Watch.Ordered.String() != c.ordered {
			t.Errorf("%s, returnable %v: fitted %s ordered %s, want %s and %s", c.s.State, c.s.Returnable, m.Watch.Fitted, m.Watch.Ordered, c.fitted, c.ordered)
		}
	}
	second := b.soldJob()
	_, err = b.app.ReleaseHold(t.Context(), b.owner, second.Job.ID, taskCalled(t, second, "A20").ID, b.key(), "Looked at.")
	b.ok("release", err)
	from := monday.AddDate(0, 0, -3)
	_, err = b.app.LogHours(t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: taskCalled(t, second, "B10").ID}, StartedAt: from, FinishedAt: from.Add(time.Hour), Done: true})
	b.ok("done", err)
	m := b.money(second)
	if m.Watch.Worked.String() != "83.42" || m.Watch.Fitted.String() != "77.23" || m.Watch.Exposure.String() != "160.65" {
		t.Errorf("worked %s fitted %s together %s, want 83.42, 77.23 and 160.65", m.Watch.Worked, m.Watch.Fitted, m.Watch.Exposure)
	}
}

// Payments add up, a void one counts no more and stays readable; agreed parts are
// the authorised amount.
func TestPayments(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	p := b.soldJob()
	pay := func(amount string, on domain.Day) (app.JobMoney, error) {
		return b.app.AddPayment(t.Context(), b.owner, p.Job.ID, b.key(), domain.Payment{Amount: dec(amount), PaidOn: on, How: domain.ByTransfer})
	}
	for _, c := range [][2]string{{"0", "2031-03-03"}, {"1.005", "2031-03-03"}, {"1", "2031-03-04"}, {"1", "2011-01-01"}} {
		_, err := pay(c[0], domain.Day(c[1]))
		refused(t, "a payment of "+c[0]+" on "+c[1], err, "payment-invalid")
	}
	first, err := pay("100.10", "2031-03-03")
	b.ok("paying", err)
	_, err = pay("50.05", "2031-03-01")
	b.ok("paying", err)
	m, err := b.app.VoidPayment(t.Context(), b.owner, first.Payments[0].ID, b.key(), "Booked on the wrong job.")
	b.ok("voiding", err)
	if m.Paid.String() != "50.05" || len(m.Payments) != 2 || !m.Payments[0].Void() || m.Stop.Paid.String() != "50.05" {
		t.Errorf("paid %s, stop-now %s, %+v", m.Paid, m.Stop.Paid, m.Payments)
	}
	_, err = b.app.VoidPayment(t.Context(), b.owner, first.Payments[0].ID, b.key(), "Once more.")
	refused(t, "voiding twice", err, "payment-void")
	sent := b.send(b.draft(p.Job.ID, patch(t, p)), 14)
	_, err = b.decideOrder(sent.Order.ID, b.approval(sent, []domain.Choice{{ItemKey: "i1", OptionKey: "patch"}}))
	b.ok("approving", err)
	m = b.money(p)
	sum := dec("0")
	for _, a := range m.Agreed {
		sum = sum.Add(a.Amount)
	}
	if len(m.Agreed) != 2 || m.Agreed[1].Order == nil || !sum.Equal(m.Watch.Authorised.Decimal()) {
		t.Errorf("agreed %+v does not add up to %s", m.Agreed, m.Watch.Authorised)
	}
}
