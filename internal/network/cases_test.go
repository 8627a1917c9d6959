package network

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"bareframe/internal/calendar"

	"github.com/google/go-cmp/cmp"
)

// publishedCase is one file of testdata/network: where it comes from, what goes
// in, and what must come out. Fields of want that a file leaves out are not
// checked. Durations and floats are in multiples of UnitMinutes.
type publishedCase struct {
	Source    string `json:"source"`
	Tolerance int64  `json:"tolerance_minutes"`
	Input     Input  `json:"input"`
	Want      want   `json:"want"`
}

type want struct {
	UnitMinutes   int64                   `json:"unit_minutes"`
	Duration      *int64                  `json:"duration"`
	Finish        *time.Time              `json:"finish"`
	Working       *int64                  `json:"working_minutes"`
	Critical      []string                `json:"critical"`
	DrivingChain  []string                `json:"driving_chain"`
	TotalFloat    map[string]int64        `json:"total_float"`
	FreeFloat     map[string]int64        `json:"free_float"`
	Early         map[string][2]time.Time `json:"early"`
	Late          map[string][2]time.Time `json:"late"`
	Resume        map[string]time.Time    `json:"resume"`
	Reason        map[string]Reason       `json:"reason"`
	State         map[string]State        `json:"state"`
	OutOfSequence []string                `json:"out_of_sequence"`
	Shortfalls    []Shortfall             `json:"shortfalls"`
	LagOverruns   []LagOverrun            `json:"lag_overruns"`
}

func TestPublishedAndHandWorkedCases(t *testing.T) {
	files, err := filepath.Glob("../../testdata/network/*.json")
	if err != nil || len(files) < 6 {
		t.Fatalf("found %d case files, %v: want at least 6", len(files), err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) { runCase(t, file) })
	}
}

func runCase(t *testing.T, file string) {
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var c publishedCase
	read := json.NewDecoder(bytes.NewReader(text))
	read.DisallowUnknownFields()
	if err := read.Decode(&c); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	if c.Source == "" || c.Want.UnitMinutes == 0 {
		t.Fatalf("%s names no source or no unit", file)
	}
	got, err := Calculate(c.Input)
	if err != nil {
		t.Fatal(err)
	}
	k := &checking{t: t, tolerance: c.Tolerance, unit: c.Want.UnitMinutes, tasks: map[string]TaskResult{}}
	for _, r := range got.Tasks {
		k.tasks[r.ID] = r
	}
	k.whole(got, c.Want)
	k.eachTask(c.Want)
	if k.checked < 5 {
		t.Errorf("only %d values were compared", k.checked)
	}
}

// checking compares and counts what it compared.
type checking struct {
	t         *testing.T
	tolerance int64
	unit      int64
	checked   int
	tasks     map[string]TaskResult
}

func (k *checking) minutes(what string, got calendar.Minutes, want int64) {
	k.t.Helper()
	k.checked++
	if d := int64(got) - want*k.unit; d > k.tolerance || d < -k.tolerance {
		k.t.Errorf("%s = %d minutes, want %d × %d", what, got, want, k.unit)
	}
}

func (k *checking) instant(what string, got, want time.Time) {
	k.t.Helper()
	k.checked++
	if d := got.Sub(want).Abs(); d > time.Duration(k.tolerance)*time.Minute {
		k.t.Errorf("%s = %v, want %v", what, got, want)
	}
}

func (k *checking) same(what string, got, want any) {
	k.t.Helper()
	k.checked++
	if d := cmp.Diff(want, got); d != "" {
		k.t.Errorf("%s (-want +got):\n%s", what, d)
	}
}

func (k *checking) task(id string) TaskResult {
	k.t.Helper()
	r, ok := k.tasks[id]
	if !ok {
		k.t.Fatalf("the case wants task %q, which has no result", id)
	}
	return r
}

func (k *checking) whole(got Result, w want) {
	if w.Duration != nil {
		k.minutes("duration", got.ElapsedMinutes, *w.Duration)
	}
	if w.Working != nil {
		k.minutes("working duration", got.WorkingMinutes, *w.Working)
	}
	if w.Finish != nil {
		k.instant("finish", got.Finish, *w.Finish)
	}
	var critical []string
	for _, r := range got.Tasks {
		if r.Critical {
			critical = append(critical, r.ID)
		}
	}
	if w.Critical != nil {
		k.same("critical", critical, w.Critical)
	}
	if w.DrivingChain != nil {
		k.same("driving chain", got.DrivingChain, w.DrivingChain)
	}
	if w.OutOfSequence != nil {
		k.same("out of sequence", got.OutOfSequence, w.OutOfSequence)
	}
	if w.LagOverruns != nil {
		k.same("lag overruns", got.LagOverruns, w.LagOverruns)
	}
	if w.Shortfalls != nil {
		k.same("shortfalls", got.Shortfalls, w.Shortfalls)
		k.same("shortfall count", got.ShortfallCount, len(w.Shortfalls))
	}
}

func (k *checking) eachTask(w want) {
	for id, v := range w.TotalFloat {
		k.minutes("total float of "+id, k.task(id).TotalFloat, v)
	}
	for id, v := range w.FreeFloat {
		k.minutes("free float of "+id, k.task(id).FreeFloat, v)
	}
	for id, v := range w.Early {
		k.instant("early start of "+id, k.task(id).EarlyStart, v[0])
		k.instant("early finish of "+id, k.task(id).EarlyFinish, v[1])
	}
	for id, v := range w.Late {
		k.instant("late start of "+id, k.task(id).LateStart, v[0])
		k.instant("late finish of "+id, k.task(id).LateFinish, v[1])
	}
	for id, v := range w.Resume {
		if r := k.task(id).Resume; r == nil {
			k.t.Errorf("task %s does not say when it goes on", id)
		} else {
			k.instant("resume of "+id, *r, v)
		}
	}
	for id, v := range w.Reason {
		k.same("reason of "+id, k.task(id).Reason, v)
	}
	for id, v := range w.State {
		k.same("state of "+id, k.task(id).State, v)
	}
}
