package app_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// The order of testdata/orders, of which amounts and dates were worked on paper.
func TestAnOrderWorkedByHand(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "orders", "section_instead_of_patch.json"))
	if err != nil {
		t.Fatal(err)
	}
	var c struct {
		Source string `json:"source"`
		Quote  struct{ Total, Finish string }
		Want   struct {
			Net, Tax, Amount, Hours string
			AuthorisedAfter         string     `json:"authorised_after"`
			FinishAfter             domain.Day `json:"finish_after"`
			Days                    int
			PromiseAfter            domain.Day `json:"promise_after"`
			Baseline                map[string][2]time.Time
		}
	}
	if err := json.Unmarshal(text, &c); err != nil || c.Source == "" || len(c.Want.Baseline) == 0 {
		t.Fatalf("%v in %+v", err, c)
	}
	b := open(t, settings("EUR", pricing.PerDocument))
	p := b.soldJob()
	if got := p.Job.AuthorisedAmount.StringFixed(2); got != c.Quote.Total || string(p.Job.Promise) != c.Quote.Finish {
		t.Fatalf("sold at %s by %s, want %s by %s", got, p.Job.Promise, c.Quote.Total, c.Quote.Finish)
	}
	d := patch(t, p)
	section := &d.Items[0].Options[1]
	section.HoursChanges = []domain.HoursChange{{TaskID: taskCalled(t, p, "B10").ID, Hours: hours("2", "3", "4")}}
	section.RemovesTasks = []domain.ID{taskCalled(t, p, "C30").ID}
	order := b.send(b.draft(p.Job.ID, d), 14)
	got, err := b.decideOrder(order.Order.ID, b.approval(order, []domain.Choice{{ItemKey: "i1", OptionKey: "section"}}))
	b.ok("deciding", err)
	e := got.Order.Effect
	for _, x := range []struct{ what, got, want string }{
		{"net", e.Net.StringFixed(2), c.Want.Net}, {"tax", e.Tax.StringFixed(2), c.Want.Tax}, {"amount", e.Amount.StringFixed(2), c.Want.Amount},
		{"hours", e.Hours.StringFixed(2), c.Want.Hours}, {"finish", string(e.Dates.FinishAfter), string(c.Want.FinishAfter)},
		{"promise", string(e.Dates.PromiseAfter), string(c.Want.PromiseAfter)},
	} {
		if x.got != x.want {
			t.Errorf("%s: got %s, want %s", x.what, x.got, x.want)
		}
	}
	if e.Dates.Days != c.Want.Days {
		t.Errorf("days: got %d, want %d", e.Dates.Days, c.Want.Days)
	}
	after := b.page(p.Job.ID)
	if got := after.Job.AuthorisedAmount.StringFixed(2); got != c.Want.AuthorisedAfter {
		t.Errorf("authorised: got %s, want %s", got, c.Want.AuthorisedAfter)
	}
	for _, x := range after.Estimate.Tasks {
		want, worked := c.Want.Baseline[x.Name]
		if !worked {
			continue
		}
		delete(c.Want.Baseline, x.Name)
		if row := after.Baseline[x.ID]; !row.Start.Equal(want[0]) || !row.Finish.Equal(want[1]) {
			t.Errorf("%s: baseline %s to %s, want %s to %s", x.Name, row.Start, row.Finish, want[0], want[1])
		}
	}
	if len(c.Want.Baseline) > 0 {
		t.Errorf("these tasks are not on the job: %v", c.Want.Baseline)
	}
}
