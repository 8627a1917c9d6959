package store

import (
	"encoding/json"
	"fmt"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// A plan comes back as it was made, is the shop's once it is agreed to, is decided
// on once and is never rewritten; another shop sees none of it.
func TestPlansOfTheFloor(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		furnish(t, s, "b")
		p := domain.ShopPlan{ID: "p1", Revision: 1, MadeAt: at(1), MadeBy: "Ida", Cause: "asked for", Facts: "f", Seed: 1 << 63, Schedules: 50,
			Status: "feasible", Late: 7, Bound: 3, Body: json.RawMessage(`{"tasks":[]}`), State: domain.PlanProposed}
		pin := domain.FloorPin{TaskID: f.estimate.Tasks[0].ID, JobID: f.job.ID, Start: at(60), People: []domain.ID{f.fitter.ID}, ByName: "Ida", At: at(2)}
		run := domain.FloorRun{State: domain.RunWaiting, Number: 1, Cause: "asked for", ByName: "Ida", AskedAt: at(3), OfSchedules: 50}
		trial := domain.FloorTrial{ID: "w1", PlanID: "p1", Facts: "f", Changes: json.RawMessage(`[]`), Body: json.RawMessage(`{}`), MadeAt: at(4), MadeBy: "Ida"}
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.AddShopPlan(p), tx.SavePin(pin), tx.SavePin(pin), tx.SaveRun(run), tx.SaveRun(run), tx.AddTrial(trial))
		})
		view(t, s, "a", func(r app.Reader) {
			got, ok, err := r.ProposedPlan()
			same(t, "proposed", got, p, err)
			_, agreed, err := r.AgreedPlanID()
			same(t, "found", []bool{ok, agreed}, []bool{true, false}, err)
			pins, err := r.Pins()
			same(t, "pins", pins, []domain.FloorPin{pin}, err)
			gotRun, _, err := r.Run()
			same(t, "run", gotRun, run, err)
			gotTrial, err := r.Trial("w1")
			same(t, "trial", gotTrial, trial, err)
		})
		p.State, p.DecidedAt, p.DecidedBy = domain.PlanAgreed, ptr(at(9)), "Ida"
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.DecidePlan(p), tx.ForgetTrials(at(5), 10), tx.RemovePin(pin.TaskID))
		})
		view(t, s, "a", func(r app.Reader) {
			id, _, err := r.AgreedPlanID()
			same(t, "agreed", id, p.ID, err)
			got, err := r.ShopPlan(id)
			same(t, "the plan", got, p, err)
			pins, err := r.Pins()
			same(t, "pins taken back", len(pins), 0, err)
			_, err = r.Trial("w1")
			refused(t, "forgotten", err, fault.NotFound, "what-if-not-found")
		})
		tried := func(id string, minute int, name string) domain.FloorTrial {
			x := trial
			x.ID, x.MadeAt, x.Name = domain.ID(id), at(minute), name
			return x
		}
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.AddTrial(tried("saved", 5, "One more")), tx.AddTrial(tried("old", 6, "")), tx.AddTrial(tried("new", 7, "")), tx.AddTrial(tried("newest", 8, "")), tx.ForgetTrials(at(5), 2))
		})
		view(t, s, "a", func(r app.Reader) {
			for _, id := range []domain.ID{"saved", "new", "newest"} {
				got, err := r.Trial(id)
				same(t, "one of the newest or saved", got.ID, id, err)
			}
			_, err := r.Trial("old")
			refused(t, "one too many", err, fault.NotFound, "what-if-not-found")
		})
		view(t, s, "b", func(r app.Reader) {
			_, ok, err := r.AgreedPlanID()
			same(t, "another shop's", ok, false, err)
		})
		// Of five plans the one that holds, the one that waits and the two newest keep what they said.
		later := func(revision int, state domain.PlanState) domain.ShopPlan {
			q := p
			q.ID, q.Revision, q.State = domain.ID(fmt.Sprintf("p%d", revision)), revision, state
			if revision == 3 {
				q.Facts = "of the third"
			}
			return q
		}
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.AddShopPlan(later(2, domain.PlanDropped)), tx.AddShopPlan(later(3, domain.PlanProposed)), tx.AddShopPlan(later(4, domain.PlanDropped)),
				tx.AddShopPlan(later(5, domain.PlanDropped)), tx.ForgetPlans(2))
		})
		view(t, s, "a", func(r app.Reader) {
			newest, err := r.NewestPlans()
			var said []string
			for _, q := range newest {
				said = append(said, fmt.Sprint(q.ID, " ", q.Facts, " ", q.State, " ", q.MadeAt.Equal(p.MadeAt), " ", len(q.Body)))
			}
			same(t, "the one that holds, the one that waits and the last", said,
				[]string{"p1 f agreed true 0", "p3 of the third proposed true 0", "p5 f dropped true 0"}, err)
			for id, want := range map[domain.ID]int{"p1": len(p.Body), "p2": 0, "p3": len(p.Body), "p4": len(p.Body), "p5": len(p.Body)} {
				got, err := r.ShopPlan(id)
				same(t, "what is left of "+string(id), len(got.Body), want, err)
			}
		})
		p.State = domain.PlanDropped
		refused(t, "decided twice", s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.DecidePlan(p) }), fault.Conflict, "append-only")
		for _, statement := range []string{"UPDATE shop_plans SET body = '{}'", "UPDATE shop_plans SET body = '' WHERE state = 'proposed'", "DELETE FROM shop_plans"} {
			refused(t, statement, raw(t, s, statement), fault.Conflict, "append-only")
		}
	})
}
