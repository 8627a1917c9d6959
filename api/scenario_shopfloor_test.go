package api_test

import (
	"slices"
	"strconv"
	"testing"
	"time"

	"bareframe/internal/testkit"
)

// planFor has the floor planned, as the server does it in the background.
func planFor(t testing.TB, w *testkit.World) {
	t.Helper()
	if _, err := w.App.MakePlans(t.Context(), true); err != nil {
		t.Fatal(err)
	}
	a := w.Owner.Do(t, "GET", "/api/floor", nil).Want(t, 200)
	w.Set("plan", a.Text("/plan/id"))
}

func withTrial(t *testing.T, w *testkit.World) { tried(t, w) }

func planned(t *testing.T, w *testkit.World) { planFor(t, w) }

// proposed has a plan that waits: the shop closes for two months, so every car
// finishes on a later day.
func proposed(t *testing.T, w *testkit.World) {
	planFor(t, w)
	shut := w.Owner.Do(t, "GET", "/api/shop/calendar", nil).Want(t, 200)
	w.Owner.Do(t, "PUT", "/api/shop/calendar", `{"week":{"monday":[{"from":"07:30","to":"16:15"}],"tuesday":[{"from":"07:30","to":"16:15"}],"wednesday":[{"from":"07:30","to":"16:15"}]},"holidays":"","closures":[{"from":"`+
		w.Clock.Now().Format(time.DateOnly)+`","to":"`+w.Clock.Now().AddDate(0, 2, 0).Format(time.DateOnly)+`","reason":"Flood"}],"openings":[]}`, testkit.IfMatch(shut.ETag())).Want(t, 200)
	w.Owner.Do(t, "POST", "/api/floor/run", nil).Want(t, 200)
	if _, err := w.App.MakePlans(t.Context(), true); err != nil {
		t.Fatal(err)
	}
	w.Set("plan", w.Owner.Do(t, "GET", "/api/floor", nil).Want(t, 200).Text("/proposed/id"))
}

// tried has a plan and a what-if beside it.
func tried(t testing.TB, w *testkit.World) {
	t.Helper()
	planFor(t, w)
	a := w.Owner.Do(t, "POST", "/api/floor/trials", `{"changes":[{"kind":"add_capacity","station":"`+w.Owner.Do(t, "GET", "/api/floor", nil).Want(t, 200).Text("/stations/0/key")+`","by":1}]}`).Want(t, 200)
	w.Set("trial", a.Text("/id"))
}

func TestTheFloorIsPlannedTriedAndAgreedTo(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	before := w.Owner.Do(t, "GET", "/api/floor", nil).Want(t, 200)
	if has(before, "/plan") || has(before, "/run") {
		t.Fatal("there is a plan before one was made")
	}
	w.Owner.Do(t, "POST", "/api/floor/trials", `{"changes":[{"kind":"add_person","skill":"welder"}]}`).Want(t, 409)
	planFor(t, w)
	first := w.Owner.Do(t, "GET", "/api/floor", nil).Want(t, 200)
	if first.Text("/plan/state") != "agreed" || first.Text("/run/state") != "done" {
		t.Errorf("the first plan is %s after a run that is %s; it holds, and the run is done", first.Text("/plan/state"), first.Text("/run/state"))
	}
	proposed(t, w)
	waits := w.Owner.Do(t, "GET", "/api/floor", nil).Want(t, 200)
	if waits.Text("/plan/id") != first.Text("/plan/id") {
		t.Error("a plan in which a promise is missed took the place of the one that holds, unasked")
	}
	path := w.Fill("/api/floor/plans/{plan}/decision")
	w.Owner.Do(t, "POST", path, `{"agree":true}`).Want(t, 200)
	w.Owner.Do(t, "POST", path, `{"agree":false}`).Want(t, 409)
	after := w.Owner.Do(t, "GET", "/api/floor", nil).Want(t, 200)
	if after.Text("/plan/id") != waits.Text("/proposed/id") || has(after, "/proposed") {
		t.Errorf("agreed to %s, the plan that holds is %s", waits.Text("/proposed/id"), after.Text("/plan/id"))
	}
	task := ""
	for i := 0; task == ""; i++ {
		at := "/plan/bars/" + strconv.Itoa(i)
		if !has(after, at) {
			t.Fatal("no bar that has not begun")
		}
		if after.Text(at+"/progress") == "not_started" && after.Text(at+"/kind") == "work" {
			task = after.Text(at + "/task_id")
		}
	}
	monday := w.Clock.Now().AddDate(0, 4, 0)
	for monday.Weekday() != time.Monday {
		monday = monday.AddDate(0, 0, 1)
	}
	next := monday.Format(time.DateOnly) + "T09:00:00Z"
	trial := w.Owner.Do(t, "POST", "/api/floor/trials", `{"changes":[{"kind":"pin_task","task":"`+task+`","at":"`+next+`"}]}`).Want(t, 200)
	if kept := w.Owner.Do(t, "GET", "/api/floor", nil).Want(t, 200); kept.Text("/plan/id") != after.Text("/plan/id") {
		t.Error("trying a move changed the plan")
	}
	kept := w.Owner.Do(t, "POST", "/api/floor/trials/"+trial.Text("/id")+"/adoption", nil).Want(t, 200)
	found := false
	for i := 0; has(kept, "/plan/bars/"+strconv.Itoa(i)); i++ {
		at := "/plan/bars/" + strconv.Itoa(i)
		if kept.Text(at+"/task_id") == task {
			found = true
			start, err := time.Parse(time.RFC3339, kept.Text(at+"/start"))
			if want, _ := time.Parse(time.RFC3339, next); err != nil || !start.Equal(want) {
				t.Errorf("the task that was moved starts %s, want %s", kept.Text(at+"/start"), next)
			}
		}
	}
	if !found {
		// It cannot be done at that hour: then it stands among what cannot be planned, with its reason.
		if !has(kept, "/plan/unplaced/0") {
			t.Error("the task that was moved is neither in the plan nor among what cannot be planned")
		}
	}
	w.Owner.Do(t, "POST", "/api/floor/trials/"+trial.Text("/id")+"/adoption", nil).Want(t, 404)
	w.Owner.Do(t, "DELETE", "/api/floor/pins/"+task, nil).Want(t, 200)
}

func TestWhatTheFloorRefuses(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	planFor(t, w)
	for name, c := range map[string]struct{ changes, field string }{
		"a station that is not there": {`{"kind":"add_capacity","station":"moon","by":1}`, "/changes/0/station"},
		"nobody":                      {`{"kind":"person_away","person":"00000000-0000-7000-8000-0000000000ff","from":"2027-01-04","to":"2027-01-05"}`, "/changes/0/person"},
		"days the wrong way round":    {`{"kind":"close_station","station":"lift","from":"2027-01-05","to":"2027-01-04"}`, "/changes/0/to"},
		"no skill":                    {`{"kind":"add_person"}`, "/changes/0/skill"},
		"too great a weight":          {w.Fill(`{"kind":"weigh_job","job":"{job}","by":50}`), "/changes/0/by"},
		"another task":                {`{"kind":"pin_task","task":"00000000-0000-7000-8000-0000000000ff","at":"2027-01-04T08:00:00Z"}`, "/changes/0/task"},
		"a start that has passed":     {w.Fill(`{"kind":"pin_task","task":"{A25}","at":"2020-01-04T08:00:00Z"}`), "/changes/0/at"},
		"no place":                    {`{"kind":"add_capacity","station":"lift"}`, "/changes/0/by"},
	} {
		a := w.Owner.Do(t, "POST", "/api/floor/trials", `{"changes":[`+c.changes+`]}`)
		if a.Status != 422 || !slices.Contains(a.Pointers(), c.field) {
			t.Errorf("%s: got %d at %v, want 422 at %s: %s", name, a.Status, a.Pointers(), c.field, a.Body)
		}
	}
	w.Tech.Do(t, "POST", "/api/floor/run", nil).Want(t, 403)
	w.Owner.Do(t, "POST", "/api/floor/trials", `{"changes":[]}`).Want(t, 422)
}

func has(a *testkit.Answer, pointer string) bool {
	_, ok := a.At(pointer)
	return ok
}
