package app_test

import (
	"fmt"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/levelling"
	"bareframe/internal/pricing"
)

// Whatever happens in a shop, each plan that follows breaks no rule by the engine's
// separate inspector, leaves what has begun where it is, is made once for the same
// facts, and takes the place of another only within the shop's tolerance or by the
// owner's word.
func TestTheFloorFollowsWhateverHappens(t *testing.T) {
	fewerDraws(t, 4)
	for _, tolerance := range []int{0, 2} {
		s := settings("EUR", pricing.PerDocument)
		s.Floor = &domain.FloorRules{ReplanToleranceDays: tolerance, PlanSeconds: 1}
		t.Run(fmt.Sprintf("sqlite, %d days", tolerance), func(t *testing.T) {
			rapid.Check(t, func(rt *rapid.T) { newFloorStory(open(t, s), rt, tolerance).tell(rt) })
		})
	}
	t.Run("postgres", func(t *testing.T) {
		s := settings("EUR", pricing.PerDocument)
		s.Floor = &domain.FloorRules{ReplanToleranceDays: 1, PlanSeconds: 1}
		rapid.Check(t, func(rt *rapid.T) { newFloorStory(openOnPostgres(t, s), rt, 1).tell(rt) })
	})
}

// floorStory is a shop of three cars, and its plan as it was seen last.
type floorStory struct {
	b         *bench
	jobs      []domain.ID
	zone      domain.ID // of the first car
	tolerance int
	seen      *app.FloorPlan
	waits     domain.ID // the proposal that was seen last
}

func newFloorStory(b *bench, rt *rapid.T, tolerance int) *floorStory {
	s := &floorStory{b: b, tolerance: tolerance, zone: b.id()}
	for range 3 {
		s.jobs = append(s.jobs, b.soldJob().Job.ID)
	}
	s.ok(rt, "laying the frame", b.store.Update(b.t.Context(), b.shop, func(tx app.Tx) error {
		return tx.AddZones([]domain.Zone{{ID: s.zone, JobID: s.jobs[0], Code: "L1", Name: "Left rail", Kind: domain.Rail, Side: domain.LeftSide,
			Section: domain.Section{Shape: "box", WidthMM: 100, HeightMM: 50, ThicknessMM: dec("3")}, AreaM2: dec("0.3"), LengthMM: 1000, VisiblePercent: 50}})
	}))
	return s
}

func (s *floorStory) tell(rt *rapid.T) {
	s.replan(rt)
	rt.Repeat(map[string]func(*rapid.T){
		"find":             s.find,
		"log":              s.log,
		"log again":        s.log,
		"order":            s.order,
		"move and keep":    s.pin,
		"weigh and keep":   s.weigh,
		"somebody is away": s.away,
		"not before":       s.notBefore,
		"time passes":      func(rt *rapid.T) { s.b.pass(time.Duration(rapid.IntRange(1, 40).Draw(rt, "hours")) * time.Hour) },
		"":                 s.replan,
	})
}

func (s *floorStory) ok(rt *rapid.T, what string, err error) {
	rt.Helper()
	if err != nil {
		rt.Fatalf("%s: %v", what, err)
	}
}

// may lets a use case be refused by a rule of the shop, and nothing else.
func (s *floorStory) may(rt *rapid.T, what string, err error) {
	rt.Helper()
	if err != nil && fault.As(err) == nil {
		rt.Fatalf("%s: %v", what, err)
	}
}

func (s *floorStory) job(rt *rapid.T) domain.ID { return rapid.SampledFrom(s.jobs).Draw(rt, "job") }

func (s *floorStory) find(rt *rapid.T) {
	_, err := s.b.app.ReportFinding(s.b.t.Context(), s.b.marik, s.jobs[0], s.b.key(), domain.Finding{ZoneID: s.zone, What: domain.FoundRust, Count: 1})
	s.ok(rt, "finding", err)
}

// log notes some hours on a task of some car, or the last of them.
func (s *floorStory) log(rt *rapid.T) {
	p := s.b.page(s.job(rt))
	x := rapid.SampledFrom(p.Estimate.Tasks).Draw(rt, "task")
	who := rapid.SampledFrom([]domain.Actor{s.b.marik, s.b.tessel}).Draw(rt, "who")
	took := time.Duration(rapid.IntRange(10, 200).Draw(rt, "minutes")) * time.Minute
	if x.Kind == domain.Hold {
		_, err := s.b.app.ReleaseHold(s.b.t.Context(), s.b.owner, p.Job.ID, x.ID, s.b.key(), "Looked at.")
		s.may(rt, "releasing", err)
		return
	}
	s.b.pass(took)
	_, err := s.b.app.LogHours(s.b.t.Context(), who, s.b.key(), app.Log{On: app.Target{TaskID: x.ID}, StartedAt: s.b.now().Add(-took), FinishedAt: s.b.now(),
		Done: rapid.Bool().Draw(rt, "done")})
	s.may(rt, "logging", err)
}

// order adds work to a car, which moves its promise.
func (s *floorStory) order(rt *rapid.T) {
	p := s.b.page(s.job(rt))
	d := patch(s.b.t, p)
	work := &d.Items[0].Options[0].Tasks[0]
	likely := rapid.IntRange(1, 30).Draw(rt, "hours")
	work.Hours = hours(fmt.Sprint(likely), fmt.Sprint(likely), fmt.Sprint(likely))
	page, err := s.b.app.AddOrder(s.b.t.Context(), s.b.owner, p.Job.ID, s.b.key(), d)
	s.may(rt, "drafting", err)
	if err != nil || page.Order.Effect.Contradiction != nil {
		return
	}
	page = s.b.send(page, 14)
	if rapid.Bool().Draw(rt, "later") {
		s.b.pass(3 * time.Hour)
	}
	said := page.Order.Effect
	got, err := s.b.decideOrder(page.Order.ID, s.b.approval(page, advised))
	s.may(rt, "approving", err)
	if err != nil {
		return
	}
	// What came from the floor stands as it was sent; a car's own schedule moves with the
	// clock, and the client agreed to what was read last.
	if after := s.b.page(p.Job.ID).Job.Promise; after != got.Order.Effect.Dates.PromiseAfter || said.Dates.Source == domain.FromFloor && got.Order.Effect.Dates != said.Dates {
		rt.Fatalf("sent with %+v, agreed to with %+v, promised by %s", said.Dates, got.Order.Effect.Dates, after)
	}
}

// pin moves a task that has not begun and keeps what comes of it.
func (s *floorStory) pin(rt *rapid.T) {
	var open []app.FloorBar
	for _, bar := range s.seen.Said.Bars {
		if bar.Progress == "not_started" && bar.Kind == domain.Work {
			open = append(open, bar)
		}
	}
	if len(open) == 0 {
		return
	}
	bar := rapid.SampledFrom(open).Draw(rt, "bar")
	at := s.b.now().Truncate(time.Minute).Add(time.Duration(rapid.IntRange(0, 12*24).Draw(rt, "hours ahead")) * time.Hour)
	s.keep(rt, levelling.Change{Kind: levelling.PinTask, Task: bar.TaskID, At: &at})
}

func (s *floorStory) weigh(rt *rapid.T) {
	s.keep(rt, levelling.Change{Kind: levelling.WeighJob, Job: s.job(rt), By: rapid.IntRange(1, 9).Draw(rt, "weight")})
}

func (s *floorStory) keep(rt *rapid.T, c levelling.Change) {
	ctx := s.b.t.Context()
	trial, err := s.b.app.TryFloor(ctx, s.b.owner, []levelling.Change{c})
	s.may(rt, "trying", err)
	if err != nil {
		return
	}
	if rapid.Bool().Draw(rt, "dropped") {
		s.ok(rt, "dropping", s.b.app.DropTrial(ctx, s.b.owner, trial.ID))
		return
	}
	f, err := s.b.app.AdoptTrial(ctx, s.b.owner, trial.ID)
	s.ok(rt, "keeping", err)
	s.holds(rt, f.Plan)
	s.seen = f.Plan // the owner's word
}

// away changes the calendar of one who works.
func (s *floorStory) away(rt *rapid.T) {
	ctx := s.b.t.Context()
	who := rapid.SampledFrom([]domain.Actor{s.b.marik, s.b.tessel}).Draw(rt, "who")
	p, err := s.b.app.Person(ctx, s.b.owner, who.PersonID)
	s.ok(rt, "reading", err)
	from := domain.DayOf(s.b.now(), time.UTC).AddDays(rapid.IntRange(0, 5).Draw(rt, "from"))
	p.Roster = nil
	if rapid.IntRange(0, 3).Draw(rt, "back") > 0 {
		p.Roster = &domain.Roster{Absences: []domain.Absence{{From: from, To: from.AddDays(rapid.IntRange(0, 9).Draw(rt, "days")), Reason: domain.AwayHoliday}}}
	}
	_, err = s.b.app.ChangePerson(ctx, s.b.owner, p.ID, app.Precondition{Given: true, Version: p.Version}, p)
	s.ok(rt, "changing a calendar", err)
}

func (s *floorStory) notBefore(rt *rapid.T) {
	p := s.b.page(s.job(rt))
	day := domain.DayOf(s.b.now(), time.UTC).AddDays(rapid.IntRange(0, 12).Draw(rt, "from"))
	_, err := s.b.app.ChangeJob(s.b.t.Context(), s.b.owner, p.Job.ID, made(p), app.JobHead{Title: p.Job.Title, Vehicle: p.Job.Vehicle, NotBefore: day, Promise: p.Job.Promise, Weight: p.Job.Weight})
	s.may(rt, "not before", err)
}

// replan plans what has become stale, checks what came of it, decides on what waits,
// and sees that nothing more is made while nothing happens.
func (s *floorStory) replan(rt *rapid.T) {
	ctx := s.b.t.Context()
	const looks = 3 * time.Minute // those below take less
	if now := s.b.now().UTC(); now.Add(looks).YearDay() != now.YearDay() {
		s.b.pass(looks) // a day that begins between two looks makes a plan old, so something would have happened
	}
	f := s.b.plans()
	switch {
	case s.seen == nil, f.Plan.ID == s.seen.ID:
	case f.Plan.DecidedBy != "The shop's rule":
		rt.Fatalf("plan %d took the place of %d by the word of %q", f.Plan.Revision, s.seen.Revision, f.Plan.DecidedBy)
	default:
		s.tolerated(rt, f.Plan)
	}
	if s.seen == nil || f.Plan.ID != s.seen.ID {
		s.holds(rt, f.Plan)
	}
	s.seen = f.Plan
	if f.Proposed != nil {
		if f.Proposed.ID != s.waits {
			s.holds(rt, f.Proposed)
			s.waits = f.Proposed.ID
		}
		if agree := rapid.Bool().Draw(rt, "agree"); agree {
			decided, err := s.b.app.DecidePlan(ctx, s.b.owner, f.Proposed.ID, true)
			s.ok(rt, "agreeing", err)
			if s.seen = decided.Plan; s.seen.ID != f.Proposed.ID || s.seen.DecidedBy != s.b.owner.Name {
				rt.Fatalf("agreed to %s: %s holds, by %q", f.Proposed.ID, s.seen.ID, s.seen.DecidedBy)
			}
			f = decided
		}
	}
	again := s.b.plans()
	if again.Plan.ID != f.Plan.ID || !reflect.DeepEqual(again.Plan.Said.Result, f.Plan.Said.Result) || (again.Proposed == nil) != (f.Proposed == nil) ||
		f.Proposed != nil && (again.Proposed.ID != f.Proposed.ID || !reflect.DeepEqual(again.Proposed.Said.Result, f.Proposed.Said.Result)) {
		rt.Fatalf("nothing happened, and plan %d became %d", f.Plan.Revision, again.Plan.Revision)
	}
}

// holds checks a plan that was just made.
func (s *floorStory) holds(rt *rapid.T, p *app.FloorPlan) {
	in, facts, err := s.b.app.SeenFloor(s.b.t.Context(), s.b.shop)
	s.ok(rt, "the floor", err)
	if p.Facts != facts {
		rt.Fatalf("plan %d was made from other facts", p.Revision)
	}
	if broken := levelling.Check(in, p.Said.Result); len(broken) > 0 {
		rt.Fatalf("plan %d breaks: %v", p.Revision, broken)
	}
	placed := map[string]levelling.Placement{}
	for _, x := range p.Said.Result.Tasks {
		placed[x.Task] = x
	}
	for _, x := range in.Tasks {
		at, ok := placed[x.ID]
		if x.ActualStart != nil && (!ok || !at.Start.Equal(*x.ActualStart)) || x.ActualFinish != nil && !at.Finish.Equal(*x.ActualFinish) {
			rt.Fatalf("plan %d: %s began %v and ended %v, and is placed %v to %v", p.Revision, x.Name, x.ActualStart, x.ActualFinish, at.Start, at.Finish)
		}
	}
}

// tolerated holds a plan that took the place of another by the shop's rule against
// that rule: no promise that was kept is missed, and between the old day of a finish
// and the new one lie no more whole working days than the shop tolerates.
func (s *floorStory) tolerated(rt *rapid.T, p *app.FloorPlan) {
	was := map[domain.ID]app.FloorJob{}
	for _, j := range s.seen.Said.Jobs {
		was[j.JobID] = j
	}
	for _, j := range p.Said.Jobs {
		old, ok := was[j.JobID]
		if !ok {
			continue
		}
		between := 0
		for d := old.Day.AddDays(1); d < j.Day; d = d.AddDays(1) {
			if w := d.Start(time.UTC).Weekday(); w != time.Saturday && w != time.Sunday {
				between++
			}
		}
		if between > s.tolerance || j.LateDays > 0 && old.LateDays == 0 {
			rt.Fatalf("plan %d took the place of %d unasked: job %d from %s (%d late) to %s (%d late)", p.Revision, s.seen.Revision, j.Number, old.Day, old.LateDays, j.Day, j.LateDays)
		}
	}
}
