package testkit

import (
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// Stage is how far the example job has come.
type Stage int

// The stages, each building on the one before.
const (
	AtEnquiry  Stage = iota // made from the template
	AtSurveyed              // walked round
	AtQuoted                // revision 1 with the client
	AtAccepted              // accepted by its client
	AtWork                  // an entry of an hour and a half on A20 by Tech, and a task added since that lies outside
	AtClock                 // Tech's clock runs on A20
)

// bring moves the example job along, at instants before Now.
func (w *World) bring(t testing.TB, stage Stage) {
	t.Helper()
	steps := []func(t testing.TB){w.survey, w.issue, w.accept, w.work, w.clock}
	for _, step := range steps[:stage] {
		w.Clock.Advance(time.Hour)
		step(t)
	}
	w.remember(t)
}

func (w *World) made(t testing.TB) app.Precondition {
	t.Helper()
	return app.Precondition{Given: true, Version: w.Page(t).Job.Version}
}

func (w *World) survey(t testing.TB) {
	t.Helper()
	if _, err := w.App.MoveJob(t.Context(), w.Owner.Actor, w.Job, w.made(t), domain.Surveyed, "Walked round the car."); err != nil {
		t.Fatalf("surveying: %v", err)
	}
}

func (w *World) issue(t testing.TB) {
	t.Helper()
	w.Issue(t, 30)
}

// Issue issues the example job's estimate as it stands and remembers the quote.
func (w *World) Issue(t testing.TB, validDays int) domain.Quote {
	t.Helper()
	q, err := w.App.IssueQuote(t.Context(), w.Owner.Actor, w.Job, w.made(t), FreshKey(), validDays, "Thank you for bringing the car.")
	if err != nil {
		t.Fatalf("issuing: %v", err)
	}
	w.Quote = q
	w.remember(t)
	return q
}

func (w *World) accept(t testing.TB) {
	t.Helper()
	_, err := w.App.DecideQuote(t.Context(), w.ClientOf.Actor, w.Quote.ID, FreshKey(), app.PortalDecision{Accepted: true,
		Name: "Mirel Dance", Signature: "Mirel Dance", DocumentHash: w.Quote.DocumentHash})
	if err != nil {
		t.Fatalf("accepting: %v", err)
	}
}

func (w *World) work(t testing.TB) {
	t.Helper()
	now := w.Clock.Now()
	entry, err := w.App.LogHours(t.Context(), w.Tech.Actor, FreshKey(), app.Log{On: app.Target{TaskID: w.Task(t, "A20").ID},
		StartedAt: now.Add(-90 * time.Minute), FinishedAt: now, Note: "Tank drained."})
	if err != nil {
		t.Fatalf("logging: %v", err)
	}
	w.Set("entry", entry.Entry.ID)
	page := w.Page(t)
	extra := domain.Task{PhaseID: page.Estimate.Phases[1].ID, Code: "X90", Name: "Outrigger found thin", Kind: domain.Work, Hours: threePoint("1", "2", "3"),
		Skill: "welder", Crew: 1, TaxClass: "fabrication_labour", Cautions: []string{}}
	if _, err := w.App.AddTask(t.Context(), w.Owner.Actor, w.Job, w.made(t), extra, nil, nil); err != nil {
		t.Fatalf("adding the task outside: %v", err)
	}
}

func (w *World) clock(t testing.TB) {
	t.Helper()
	w.Clock.Set(Now.Add(-time.Hour))
	if _, err := w.App.StartClock(t.Context(), w.Tech.Actor, FreshKey(), app.Target{TaskID: w.Task(t, "A20").ID}, nil, ""); err != nil {
		t.Fatalf("starting the clock: %v", err)
	}
}

// name puts the world's fixed IDs into the variables of stories.
func (w *World) name(t testing.TB) {
	t.Helper()
	for name, id := range map[string]domain.ID{
		"shop": w.ShopA, "job": w.Job, "other_job": w.OtherJob, "rival_job": w.RivalJob,
		"owner": w.Owner.ID, "tech": w.Tech.ID, "tech2": w.Tech2.ID, "client": w.ClientOf.ID, "other_client": w.OtherClient.ID,
		"rival": w.Rival.ID, "rival_tech": w.RivalTech.ID, "rival_client": w.RivalClient.ID,
		"template": w.Template(t, w.Owner, TrialKey), "rival_template": w.Template(t, w.Rival, TrialKey),
	} {
		w.Set(name, id)
	}
	w.Set("sheet", w.PageOf(t, w.Owner, w.Job).Job.SheetID)
	w.Set("rival_sheet", w.PageOf(t, w.Rival, w.RivalJob).Job.SheetID)
	w.Set("zone", w.FrameOf(t, w.Owner, w.Job).Zones[0].ID)
	w.Set("zone2", w.FrameOf(t, w.Owner, w.Job).Zones[1].ID)
	w.Set("other_zone", w.FrameOf(t, w.Owner, w.OtherJob).Zones[0].ID)
	w.Set("rival_zone", w.FrameOf(t, w.Rival, w.RivalJob).Zones[0].ID)
	rival := w.PageOf(t, w.Rival, w.RivalJob).Estimate
	w.Set("rival_task", rival.Tasks[0].ID)
	w.Set("rival_phase", rival.Phases[0].ID)
	w.Set("rival_line", rival.Lines[0].ID)
	w.Set("rival_link", rival.Links[0].ID)
}

// remember puts the example job's present IDs into the variables of stories:
// every task by its code, phases by their key, the link from A20 to A25, the
// first line, the quote.
func (w *World) remember(t testing.TB) {
	t.Helper()
	page := w.Page(t)
	for _, x := range page.Estimate.Tasks {
		w.Set(x.Code, x.ID)
	}
	for _, x := range page.Estimate.Phases {
		w.Set(x.Key, x.ID)
	}
	for _, x := range page.Estimate.Links {
		if x.FromID == w.Var("A20") && x.ToID == w.Var("A25") {
			w.Set("link", x.ID)
		}
	}
	w.Set("line", page.Estimate.Lines[0].ID)
	if w.Quote.ID != "" {
		w.Set("quote", w.Quote.ID)
		w.Set("document", w.Quote.DocumentHash)
		w.Set("total", w.Quote.Total.StringFixed(2))
	}
}

// Set gives a story's variable a value.
func (w *World) Set(name, value string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.vars[name] = value
}

// Var returns a story's variable.
func (w *World) Var(name string) string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.vars[name]
}

// Fill replaces {name} by the variable of that name; other braces stay.
func (w *World) Fill(text string) string {
	w.mu.Lock()
	defer w.mu.Unlock()
	for name, value := range w.vars {
		text = strings.ReplaceAll(text, "{"+name+"}", value)
	}
	return text
}
