package testkit_test

import (
	"testing"

	"bareframe/internal/testkit"
)

func TestAWorldComesToEveryStage(t *testing.T) {
	want := map[testkit.Stage]string{testkit.AtEnquiry: "enquiry", testkit.AtSurveyed: "surveyed", testkit.AtQuoted: "quoted",
		testkit.AtAccepted: "accepted", testkit.AtWork: "in_work", testkit.AtClock: "in_work"}
	for stage, state := range want {
		t.Run(state, func(t *testing.T) {
			w := testkit.NewWorld(t, stage)
			got := w.Owner.Do(t, "GET", "/api/jobs/"+w.Job, nil).Want(t, 200).Text("/job/state")
			if got != state {
				t.Errorf("stage %d: the job is %s, want %s", stage, got, state)
			}
			if n := w.TrailLength(t, w.ShopA); n < 5 {
				t.Errorf("stage %d: the trail has %d entries, want what was done so far", stage, n)
			}
		})
	}
}

// recorder takes what a check would have failed with.
type recorder struct {
	testing.TB
	failed bool
}

func (r *recorder) Errorf(string, ...any) { r.failed = true }
func (r *recorder) Helper()               {}

// A check that cannot fail is worth nothing: an answer that breaks the contract
// must be noticed.
func TestAnAnswerOutsideTheContractIsNoticed(t *testing.T) {
	k := testkit.ReadContract(t)
	op, params := k.Match("GET", "/api/sessions/current")
	if op != nil {
		t.Fatalf("GET /api/sessions/current matched %s %v, want nothing", op.ID, params)
	}
	if op, _ = k.Match("DELETE", "/api/sessions/current"); op == nil || op.ID != "signOut" {
		t.Fatalf("DELETE /api/sessions/current matched %v, want signOut", op)
	}
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	r := &recorder{TB: t}
	w.Owner.Do(r, "GET", "/api/there-is-no-such-thing", nil)
	if !r.failed {
		t.Error("a request outside the contract went unnoticed")
	}
}
