package api_test

import (
	"encoding/json"
	"strings"
	"testing"

	"bareframe/internal/testkit"
)

// taskDraft is task A10 of the example as an owner sends it, with more members.
func taskDraft(more string) string {
	return `{"phase_id":"{phase}","code":"A10","name":"Walk round, battery off","note":"","kind":"work","hours":{"low":"0.50","likely":"1.00","high":"1.50"},"elapsed_hours":"0.00","lead_days":0,"skill":"fitter","crew":1,"station":"","zone":"","cautions":[],"hold_point":"","tax_class":"repair_labour"` + more + `}`
}

// What a task asks of the floor, over HTTP: refused where it cannot be, kept while
// nothing is said of it, warned of where the shop has not so many.
func TestATaskOnTheFloor(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	keep := func(a *testkit.Answer) { w.Set("etag", a.ETag()) }
	page := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200)
	keep(page)
	w.Set("a10", page.Text("/tasks/0/id"))
	w.Set("phase", page.Text("/tasks/0/phase_id"))
	put := "PUT /api/jobs/{job}/tasks/{a10}"
	floor := func(what string) string { return taskDraft(`,"floor":` + what) }
	w.Run(t, []testkit.Step{
		{Name: "a break of eleven days is none", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: floor(`{"longest_break_hours":"264.00"}`), Status: 422, Code: "task-invalid", Field: "/floor/longest_break_hours"},
		{Name: "a helper without a rate is none", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: floor(`{"helpers":[{"skill":"rigger","count":1}]}`), Status: 422, Code: "task-invalid", Field: "/floor/helpers/0/skill"},
		{Name: "the task's own skill stands in its crew", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: floor(`{"helpers":[{"skill":"fitter","count":1}]}`), Status: 422, Code: "task-invalid", Field: "/floor/helpers/0/skill"},
		{Name: "nobody is no helper", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: floor(`{"helpers":[{"skill":"welder","count":0}]}`), Status: 422, Code: "request-invalid", Field: "/floor/helpers/0/count"},
		{Name: "twelve welders help: warned of by name, not refused", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: floor(`{"longest_break_hours":"0.00","interruptible":true,"helpers":[{"skill":"welder","count":12}]}`), Status: 200, After: keep,
			Want: map[string]any{"/tasks/0/floor/longest_break_hours": "0.00", "/tasks/0/floor/interruptible": true, "/tasks/0/floor/helpers/0/count": 12, "/warnings/0": func(got any) string {
				if text, _ := got.(string); !strings.HasPrefix(text, "A10 Walk round, battery off needs 12 people") {
					return "the task and its 12 people, not " + text
				}
				return ""
			}}},
		{Name: "saved without saying, it stays", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: taskDraft(""), Status: 200, After: keep, Want: map[string]any{"/tasks/0/floor/helpers/0/skill": "welder"}},
		{Name: "an empty one takes it away", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: floor(`{}`), Status: 200, After: keep, Want: map[string]any{"/tasks/0/floor": testkit.Absent, "/warnings/0": "C30 Top coat needs 1 person with the skill Painter at once, and the shop has 0.", "/warnings/1": testkit.Absent}},
		{Name: "a job weighs 1 to 9", Who: w.Owner.Client, Do: "PUT /api/jobs/{job}", IfMatch: "{etag}", Body: `{"title":"Body off","vehicle":{"make":"Corvane","model":"Tern","year":1967,"serial":"","options":{}},"weight":10}`, Status: 422, Code: "request-invalid", Field: "/weight"},
	})
}

// Somebody's hours over HTTP: the owner writes them, the technician reads the own
// ones on the bench.
func TestHoursOfOnesOwnOverHTTP(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	person := w.Owner.Do(t, "GET", w.Fill("/api/people/{tech}"), nil).Want(t, 200)
	draft := func(roster string) string {
		var p map[string]any
		if err := json.Unmarshal(person.Body, &p); err != nil {
			t.Fatal(err)
		}
		for _, derived := range []string{"id", "version", "has_password", "created_at", "roster", "invited_at"} {
			delete(p, derived)
		}
		if roster != "" {
			p["roster"] = json.RawMessage(roster)
		}
		text, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	keep := func(a *testkit.Answer) { w.Set("etag", a.ETag()) }
	keep(person)
	put := "PUT /api/people/{tech}"
	w.Run(t, []testkit.Step{
		{Name: "from after to is no absence", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: draft(`{"absences":[{"from":"2026-12-05","to":"2026-12-01","reason":"ill"}]}`), Status: 422, Code: "roster-invalid", Field: "/roster/absences/0/to"},
		{Name: "upkeep is a station's", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: draft(`{"absences":[{"from":"2026-12-01","to":"2026-12-01","reason":"upkeep"}]}`), Status: 422, Code: "roster-invalid", Field: "/roster/absences/0/reason"},
		{Name: "an absence and hours of their own", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: draft(`{"week":{"monday":[{"from":"08:00","to":"12:00"}]},"absences":[{"from":"2026-12-01","to":"2026-12-04","reason":"training","note":"Welding course"}]}`), Status: 200, After: keep,
			Want: map[string]any{"/roster/absences/0/note": "Welding course"}},
		{Name: "saved without saying, they stay", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: draft(""), Status: 200, After: keep, Want: map[string]any{"/roster/week/monday/0/to": "12:00"}},
		{Name: "the technician reads them", Who: w.Tech.Client, Do: "GET /api/bench/today", Status: 200, Want: map[string]any{"/roster/absences/0/from": "2026-12-01", "/roster/week/monday/0/from": "08:00"}},
		{Name: "and writes nothing of them", Who: w.Tech.Client, Do: put, IfMatch: "{etag}", Body: draft(`{}`), Status: 403, Code: "not-for-this-role"},
		{Name: "empty ones take them away", Who: w.Owner.Client, Do: put, IfMatch: "{etag}", Body: draft(`{}`), Status: 200, Want: map[string]any{"/roster/week": testkit.Absent}},
		{Name: "only what is ordered is still expected", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/lines/{line}/supply", Body: `{"state":"fitted","returnable":true,"restocking_fee":"0.00","note":"","expected_on":"2027-01-11"}`, Status: 422, Code: "supply-invalid", Field: "/expected_on"},
		{Name: "it is expected", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/lines/{line}/supply", Body: `{"state":"ordered","returnable":true,"restocking_fee":"0.00","note":"","expected_on":"2027-01-11"}`, Status: 200, Want: map[string]any{"/supplies/0/expected_on": "2027-01-11"}},
	})
}
