package app

import (
	"slices"
	"testing"

	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/network"
)

func linked(from, to string, kind network.LinkType) domain.Link {
	return domain.Link{ID: from + to, FromID: from, ToID: to, Type: kind, LagKind: calendar.Working}
}

func hold(id string) domain.Task {
	return domain.Task{ID: id, Code: "B60", Name: "Gate", Kind: domain.Hold, HoldPoint: "The owner decides.", Scope: domain.Authorised}
}

func inScope(id string) domain.Task {
	t := task(id)
	t.Scope = domain.Authorised
	return t
}

// Nothing past a hold point that is not released: what may not start before
// the hold has finished. Reasoned from what the four link types mean.
func TestHoldPointsByLinkType(t *testing.T) {
	at := on(3, "09:00")
	for _, r := range []struct {
		name    string
		tasks   []domain.Task
		links   []domain.Link
		blocked []string
	}{
		{"finish to start: it waits", []domain.Task{hold("h"), inScope("a")}, []domain.Link{linked("h", "a", network.FS)}, []string{"a"}},
		{"start to start: it may go along", []domain.Task{hold("h"), inScope("a")}, []domain.Link{linked("h", "a", network.SS)}, nil},
		{"finish to finish: it may start", []domain.Task{hold("h"), inScope("a")}, []domain.Link{linked("h", "a", network.FF)}, nil},
		{"start to finish: it may start", []domain.Task{hold("h"), inScope("a")}, []domain.Link{linked("h", "a", network.SF)}, nil},
		{"far down the line", []domain.Task{hold("h"), inScope("a"), inScope("b"), inScope("c")},
			[]domain.Link{linked("h", "a", network.FS), linked("a", "b", network.SS), linked("b", "c", network.FS)}, []string{"a", "b", "c"}},
		{"what must finish after it holds up what follows", []domain.Task{hold("h"), inScope("a"), inScope("b")},
			[]domain.Link{linked("h", "a", network.FF), linked("a", "b", network.FS)}, []string{"b"}},
		{"finish to finish and then start to start leads nowhere", []domain.Task{hold("h"), inScope("a"), inScope("b")},
			[]domain.Link{linked("h", "a", network.FF), linked("a", "b", network.SS)}, nil},
		{"through cures and sublets", []domain.Task{hold("h"), cure("c", "4"), inScope("a")},
			[]domain.Link{linked("h", "c", network.FS), linked("c", "a", network.FS)}, []string{"a", "c"}},
		{"what comes before it is free", []domain.Task{inScope("a"), hold("h")}, []domain.Link{linked("a", "h", network.FS)}, nil},
		{"released", []domain.Task{released(hold("h"), at), inScope("a")}, []domain.Link{linked("h", "a", network.FS)}, nil},
		{"the second of two still stands", []domain.Task{released(hold("h"), at), hold("i"), inScope("a"), inScope("b")},
			[]domain.Link{linked("h", "a", network.FS), linked("i", "b", network.FS)}, []string{"b"}},
		{"work with a hold point at its end", []domain.Task{{ID: "w", Kind: domain.Work, HoldPoint: "Signed by two.", Scope: domain.Authorised}, inScope("a")},
			[]domain.Link{linked("w", "a", network.FS)}, []string{"a"}},
		{"no link", []domain.Task{hold("h"), inScope("a")}, nil, nil},
	} {
		t.Run(r.name, func(t *testing.T) {
			g := gateOf(domain.Job{State: domain.InWork}, domain.Estimate{Tasks: r.tasks, Links: r.links})
			for _, task := range r.tasks {
				held := slices.ContainsFunc(g[task.ID], func(b Block) bool { return b.Code == "hold-not-released" && b.Detail != "" })
				if want := slices.Contains(r.blocked, task.ID); held != want {
					t.Errorf("%s is held: %v, want %v", task.ID, held, want)
				}
			}
		})
	}
}

func TestWhatElseKeepsHoursOff(t *testing.T) {
	outside, opened := inScope("o"), inScope("p")
	outside.Scope, opened.Scope = domain.Outside, domain.Opened
	e := domain.Estimate{Tasks: []domain.Task{inScope("a"), outside, opened, cure("c", "1"), sublet("s", 1), hold("h")}}
	for _, r := range []struct {
		state domain.JobState
		task  string
		code  string
		kind  fault.Kind
	}{
		{domain.InWork, "a", "", ""},
		{domain.Accepted, "a", "", ""},
		{domain.InWork, "h", "", ""},
		{domain.InWork, "p", "", ""},
		{domain.InWork, "o", "outside-scope", fault.Conflict},
		{domain.InWork, "c", "nobody-works-here", fault.Conflict},
		{domain.InWork, "s", "nobody-works-here", fault.Conflict},
		{domain.InWork, "x", "task-not-found", fault.Invalid},
		{domain.Enquiry, "a", "job-not-in-work", fault.Conflict},
		{domain.Quoted, "a", "job-not-in-work", fault.Conflict},
		{domain.Finished, "a", "job-not-in-work", fault.Conflict},
		{domain.Closed, "o", "job-not-in-work", fault.Conflict},
		{domain.Cancelled, "a", "job-not-in-work", fault.Conflict},
	} {
		err := gateOf(domain.Job{State: r.state}, e).open(r.task)
		switch e := fault.As(err); {
		case r.code == "" && err != nil:
			t.Errorf("%s on a job that is %s: %v, want it open", r.task, r.state, err)
		case r.code != "" && (e == nil || e.Code != r.code || e.Kind != r.kind):
			t.Errorf("%s on a job that is %s: %v, want %s", r.task, r.state, err, r.code)
		}
	}
}
