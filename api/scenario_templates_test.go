package api_test

import (
	"encoding/json"
	"strings"
	"testing"

	"bareframe/internal/testkit"
)

// planOf returns the plan of a template as the owner reads it, to edit and send.
func planOf(t *testing.T, w *testkit.World, id string) string {
	t.Helper()
	var page struct {
		Plan json.RawMessage `json:"plan"`
	}
	a := w.Owner.Do(t, "GET", "/api/templates/"+id, nil).Want(t, 200)
	if err := json.Unmarshal(a.Body, &page); err != nil {
		t.Fatal(err)
	}
	return string(page.Plan)
}

// edited is a plan after a change.
func edited(t *testing.T, plan string, change func(p map[string]any)) string {
	t.Helper()
	var p map[string]any
	if err := json.Unmarshal([]byte(plan), &p); err != nil {
		t.Fatal(err)
	}
	change(p)
	out, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// What is read can be sent back as it is, of every template that a shop starts
// with: no field is lost and none is refused.
func TestEveryStartingTemplateIsSavedAsItIsRead(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	all := w.Owner.Do(t, "GET", "/api/templates", nil).Want(t, 200)
	if all.Len("/items") < 3 {
		t.Fatalf("%d templates, want the example and the seeds'", all.Len("/items"))
	}
	for i := range all.Len("/items") {
		id := all.Text("/items/" + string(rune('0'+i)) + "/id")
		before := planOf(t, w, id)
		saved := w.Owner.Do(t, "PUT", "/api/templates/"+id, `{"note":"As it was.","plan":`+before+`}`, testkit.IfMatch(`"v1"`)).Want(t, 200)
		if after := planOf(t, w, saved.Text("/summary/id")); after != before {
			t.Errorf("%s came back otherwise:\n%s\n%s", all.Text("/items/"+string(rune('0'+i))+"/name"), before, after)
		}
	}
}

// An owner copies a template, changes hours and sees the sample move as the server
// says, saves, and makes a job; another owner's stale save is refused with what is
// stored. By hand: top coat at (2+4x3+4)/6 = 3 h becomes (2+4x4+6)/6 = 4 h, one hour
// more of the painter.
func TestAnOwnerEditsATemplate(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	copied := w.Owner.Do(t, "POST", "/api/templates", w.Fill(`{"name":"Trial, longer","copy_of":"{template}"}`)).Want(t, 201)
	w.Set("copy", copied.Text("/summary/id"))
	plan := planOf(t, w, w.Var("copy"))
	longer := edited(t, plan, func(p map[string]any) {
		p["tasks"].([]any)[8].(map[string]any)["hours"] = map[string]any{"low": "2.00", "likely": "4.00", "high": "6.00"}
	})
	circle := edited(t, longer, func(p map[string]any) {
		back := map[string]any{"from": "C20", "to": "A30", "type": "FS", "lag_hours": "0.00", "lag_kind": "working"}
		p["links"] = append([]any{back}, p["links"].([]any)...)
	})
	lacking := edited(t, longer, func(p map[string]any) { p["lines"].([]any)[0].(map[string]any)["material"] = "unobtainium" })
	unknown := edited(t, longer, func(p map[string]any) { p["flame"] = 1 })
	trial := func(plan string) string {
		return `{"template_id":"{copy}","options":{"crossmember":"welded"},"plan":` + plan + `}`
	}
	save := func(plan string) string { return `{"note":"Longer on the top coat.","plan":` + plan + `}` }
	before := w.TrailLength(t, w.ShopA)
	o := w.Owner.Client
	w.Run(t, []testkit.Step{
		{Name: "the sample of the copy", Who: o, Do: "POST /api/templates/preview", Body: trial(plan), Status: 200, Want: map[string]any{"/sample/task_count": 10, "/problems/0": testkit.Absent},
			Keep: map[string]string{"hours": "/sample/hours", "net": "/sample/net"}},
		{Name: "another car is other work", Who: o, Do: "POST /api/templates/preview", Body: with(trial(plan), `"crossmember":"welded"`, `"crossmember":"bolted"`), Status: 200, Want: map[string]any{"/sample/task_count": 9}},
		{Name: "a car that is not said is a problem", Who: o, Do: "POST /api/templates/preview", Body: with(trial(plan), `{"crossmember":"welded"}`, `{}`), Status: 200,
			Want: map[string]any{"/problems/0/pointer": "/vehicle/options/crossmember", "/sample": testkit.Absent}},
		{Name: "an hour more", Who: o, Do: "POST /api/templates/preview", Body: trial(longer), Status: 200, Keep: map[string]string{"longer_total": "/sample/total", "longer_finish": "/sample/finish"},
			After: func(a *testkit.Answer) {
				if !dec(t, a.Text("/sample/hours")).Sub(dec(t, w.Var("hours"))).Equal(dec(t, "1")) {
					t.Errorf("hours went from %s to %s, want one more", w.Var("hours"), a.Text("/sample/hours"))
				}
			}},
		{Name: "a circle is named by codes", Who: o, Do: "POST /api/templates/preview", Body: trial(circle), Status: 200, Want: map[string]any{"/sample": testkit.Absent, "/problems/1/pointer": "/plan/links/0",
			"/problems/0/detail": "these tasks wait for each other and none can start: A30 → C20 → A30"}},
		{Name: "a material that the book lacks is named by its row", Who: o, Do: "POST /api/templates/preview", Body: trial(lacking), Status: 200, Want: map[string]any{"/problems/0/pointer": "/plan/lines/0/material"}},
		{Name: "saving a circle is refused", Who: o, Do: "PUT /api/templates/{copy}", IfMatch: `"v1"`, Body: save(circle), Status: 422, Code: "network-cycle", Field: "/plan/links/0"},
		{Name: "and a missing material", Who: o, Do: "PUT /api/templates/{copy}", IfMatch: `"v1"`, Body: save(lacking), Status: 422, Code: "template-invalid", Field: "/plan/lines/0/material"},
		{Name: "and an unknown field", Who: o, Do: "PUT /api/templates/{copy}", IfMatch: `"v1"`, Body: save(unknown), Status: 422, Code: "request-invalid", Field: "/plan"},
		{Name: "another shop cannot copy it", Who: w.Rival.Client, Do: "POST /api/templates", Body: `{"name":"Theirs","copy_of":"{copy}"}`, Status: 422, Code: "template-not-found", Field: "/copy_of"},
		{Name: "nor preview on it", Who: w.Rival.Client, Do: "POST /api/templates/preview", Body: trial(plan), Status: 422, Code: "template-not-found", Field: "/template_id"},
		{Name: "saving", Who: o, Do: "PUT /api/templates/{copy}", IfMatch: `"v1"`, Body: save(longer), Status: 200,
			Want: map[string]any{"/summary/revision": 2, "/summary/note": "Longer on the top coat.", "/newest_revision": 2}, Keep: map[string]string{"second": "/summary/id"}},
		{Name: "the second save of a stale plan shows what is stored", Who: o, Do: "PUT /api/templates/{copy}", IfMatch: `"v1"`, Body: save(plan), Status: 412, Code: "stale-edit",
			Want: map[string]any{"/evidence/summary/revision": 2, "/evidence/plan/tasks/8/hours/likely": "4.00"}},
		{Name: "the history says who and why", Who: o, Do: "GET /api/templates/{copy}/revisions", Status: 200,
			Want: map[string]any{"/items/0/id": "{second}", "/items/0/saved_by": testkit.Present, "/items/1/revision": 1, "/items/2": testkit.Absent}},
		{Name: "no job from the old one", Who: o, Do: "POST /api/jobs", Body: with(aJob, "{template}", "{copy}"), Status: 422, Code: "template-revised", Field: "/template_id"},
		{Name: "a job from the new one comes to the sample", Who: o, Do: "POST /api/jobs", Body: with(aJob, "{template}", "{second}"), Status: 201, Want: map[string]any{"/price/total": "{longer_total}"}},
		{Name: "the one that was copied stands as it was", Who: o, Do: "GET /api/templates/{template}", Status: 200, Want: map[string]any{"/newest_revision": 1, "/plan/tasks/8/hours/likely": "3.00"}},
		{Name: "the old plan comes back as a revision", Who: o, Do: "POST /api/templates/{copy}/restore", IfMatch: `"v2"`, Body: `{"note":"Too long."}`, Status: 200,
			Want: map[string]any{"/summary/revision": 3, "/plan/tasks/8/hours/likely": "3.00", "/summary/note": "As in revision 1. Too long."}},
		{Name: "retiring", Who: o, Do: "POST /api/templates/{copy}/retire", IfMatch: `"v3"`, Body: `{"note":""}`, Status: 200, Want: map[string]any{"/summary/retired": true}},
		{Name: "it is not offered any more", Who: o, Do: "GET /api/templates", Status: 200, Never: []string{"Trial, longer"}},
		{Name: "but among the retired", Who: o, Do: "GET /api/templates?retired=true", Status: 200, Want: map[string]any{"/items/0/name": "Trial, longer", "/items/0/revision": 4}},
	})
	// Saved, job made, restored, retired: what was refused and previewed left no trace.
	if after := w.TrailLength(t, w.ShopA); after != before+4 {
		t.Errorf("the trail grew by %d entries, want 4", after-before)
	}
}

// A plan of the largest size is read and answered; one beyond the bounds is refused
// before anything is computed.
func TestTheBoundsOfAPlan(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	task := `{"key":"T%","phase":"p","name":"Step","note":"","kind":"work","hours":{"low":"1","likely":"1","high":"1"},"elapsed_hours":"0","lead_days":0,"skill":"fitter","crew":1,"station":"","zone":"","cautions":[],"hold_point":"","strip_gate":false,"tax_class":"repair_labour","when":{},"option":""}`
	plan := func(n int) string {
		var tasks []string
		for i := range n {
			tasks = append(tasks, strings.Replace(task, "%", strings.Repeat("x", i%10)+string(rune('a'+i/10%26))+string(rune('a'+i/260)), 1))
		}
		return `{"options":{},"plan":{"name":"Many","description":"","frame":"","vehicle_options":[],"phases":[{"key":"p","name":"P"}],"tasks":[` + strings.Join(tasks, ",") + `],"links":[],"lines":[],"options":[],"cautions":[]}}`
	}
	w.Owner.Do(t, "POST", "/api/templates/preview", plan(1000)).Want(t, 200)
	w.Owner.Do(t, "POST", "/api/templates/preview", plan(1001)).WantProblem(t, 422, "request-invalid").WantField(t, "/plan/tasks")
}

// retireTrial retires the example template, so that there is something to bring back.
func retireTrial(t *testing.T, w *testkit.World) {
	t.Helper()
	w.Owner.Do(t, "POST", w.Fill("/api/templates/{template}/retire"), `{"note":""}`, testkit.IfMatch(`"v1"`)).Want(t, 200)
}
