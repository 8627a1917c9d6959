package api

import (
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

func TestEntryShowsWhatItHas(t *testing.T) {
	start := time.Date(2027, 1, 11, 8, 0, 0, 0, time.FixedZone("CET", 3600))
	finish, left := start.Add(95*time.Minute), dec("1.5")
	e := domain.Entry{ID: "e", TaskID: "t", PersonID: "p", Kind: domain.Worked, StartedAt: start, LoggedAt: start}

	running := hoursEntry(app.LoggedEntry{Entry: e, TaskCode: "A10", Person: "Tamas Orel"})
	if running.FinishedAt != nil || running.Minutes != 0 || running.WaitingCode != nil || running.HoursToGo != nil || running.Corrects != nil || running.Reason != nil {
		t.Errorf("a running entry shows %+v", running)
	}
	if running.StartedAt.Location() != time.UTC || running.StartedAt.Hour() != 7 {
		t.Errorf("the start is %v, want 07:00 UTC", running.StartedAt)
	}

	e.FinishedAt, e.HoursToGo, e.CorrectsID, e.CorrectedBy, e.Reason = &finish, &left, "old", "new", "Typed wrong."
	over := hoursEntry(app.LoggedEntry{Entry: e})
	if over.FinishedAt == nil || over.Minutes != 95 || *over.HoursToGo != "1.50" || *over.Corrects != "old" || !over.Corrected || *over.Reason != "Typed wrong." {
		t.Errorf("a corrected entry shows %+v", over)
	}

	wait := hoursEntry(app.LoggedEntry{Entry: domain.Entry{Kind: domain.Waiting, WaitingCode: domain.WaitParts}})
	if wait.TaskID != nil || wait.TaskCode != nil || wait.WaitingCode == nil || *wait.WaitingCode != WaitingCodeParts {
		t.Errorf("waiting for a job as a whole shows %+v", wait)
	}
}

func TestSwitchHappensAtOneInstant(t *testing.T) {
	early, late := time.Date(2027, 1, 11, 8, 0, 0, 0, time.UTC), time.Date(2027, 1, 11, 9, 0, 0, 0, time.UTC)
	same := early.In(time.FixedZone("CET", 3600))
	for name, c := range map[string]struct {
		stop, start, want *time.Time
		bad               bool
	}{
		"nothing said":     {nil, nil, nil, false},
		"on the stop":      {&early, nil, &early, false},
		"on the start":     {nil, &late, &late, false},
		"the same on both": {&early, &same, &early, false},
		"two instants":     {&early, &late, nil, true},
	} {
		t.Run(name, func(t *testing.T) {
			stop, _, err := switchFrom(ClockSwitch{Stop: ClockStop{At: c.stop}, Start: ClockStart{At: c.start}})
			if c.bad {
				wantFault(t, err, "switch-at-two-instants", "/start/at")
				return
			}
			if err != nil || (stop.At == nil) != (c.want == nil) || stop.At != nil && !stop.At.Equal(*c.want) {
				t.Errorf("at %v, %v, want %v", stop.At, err, c.want)
			}
		})
	}
}

func TestCautionsGetTheirTexts(t *testing.T) {
	job := domain.Job{Cautions: map[string]string{"hot_work": "Keep a fire watch.", "unused": "Nobody names me."}}
	card := taskCard(app.Card{Job: job, Task: domain.Task{Cautions: []string{"hot_work", "unknown"}}})
	sameJSON(t, card.Cautions, []Caution{{Key: "hot_work", Text: "Keep a fire watch."}, {Key: "unknown", Text: "unknown"}})

	page := app.JobPage{Job: job, All: domain.Estimate{Tasks: []domain.Task{{Cautions: []string{"unknown", "hot_work"}}, {Cautions: []string{"hot_work"}}}}}
	sameJSON(t, cautionsOf(page), []Caution{{Key: "hot_work", Text: "Keep a fire watch."}, {Key: "unknown", Text: "unknown"}})
}

func TestCardsSayWhichChangeOrderBroughtTheTask(t *testing.T) {
	if n := taskCard(app.Card{}).OrderNumber; n != nil {
		t.Errorf("a task of the quote names order %d", *n)
	}
	sameJSON(t, taskCard(app.Card{OrderNumber: 3}).OrderNumber, 3)
}
