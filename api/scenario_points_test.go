package api_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"bareframe/internal/testkit"
)

// sheetBody is the contract's own example of a sheet, changed.
func sheetBody(t *testing.T, w *testkit.World, change func(sheet map[string]any)) string {
	t.Helper()
	example, _ := w.Contract.Operation("addSheet").Example()
	raw, err := json.Marshal(example)
	if err != nil {
		t.Fatal(err)
	}
	var body struct {
		Sheet map[string]any `json:"sheet"`
	}
	if err := json.Unmarshal(raw, &body); err != nil {
		t.Fatal(err)
	}
	change(body.Sheet)
	out, err := json.Marshal(body.Sheet)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// itemOf is an item of a sheet's JSON.
func itemOf(sheet map[string]any, i int) map[string]any {
	return sheet["items"].([]any)[i].(map[string]any)
}

func TestAnOwnerKeepsSheets(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtSurveyed)
	o := w.Owner.Client
	plain := sheetBody(t, w, func(map[string]any) {})
	dear := sheetBody(t, w, func(s map[string]any) {
		itemOf(s, 0)["departures"].([]any)[0].(map[string]any)["originality"] = "10.5"
	})
	twice := sheetBody(t, w, func(s map[string]any) { itemOf(s, 1)["key"] = "frame" })
	rowless := sheetBody(t, w, func(s map[string]any) { s["looks"] = s["looks"].([]any)[1:] })
	long := sheetBody(t, w, func(s map[string]any) {
		items := s["items"].([]any)
		for i := range 200 {
			row := map[string]any{}
			for k, v := range items[0].(map[string]any) {
				row[k] = v
			}
			row["key"] = fmt.Sprintf("item-%d", i)
			items = append(items, row)
		}
		s["items"] = items
	})
	w.Run(t, []testkit.Step{
		{Name: "a shop begins with a sheet, and the job is judged by it", Who: o, Do: "GET /api/sheets", Status: 200,
			Want: map[string]any{"/items/0/id": "{sheet}", "/items/0/version": 1, "/items/0/jobs": 2, "/items/0/retired": false, "/items/0/maximum/originality": "25.00", "/items/1": testkit.Absent}},
		{Name: "it can be read", Who: o, Do: "GET /api/sheets/{sheet}", Status: 200, Want: map[string]any{"/sheet/items/0/max_originality": "10", "/sheet/items/0/max_condition": "8"}},
		{Name: "and copied", Who: o, Do: "POST /api/sheets", Body: `{"copy_of":"{sheet}","name":"Our own"}`, Status: 201, Want: map[string]any{"/sheet/name": "Our own", "/version": 1, "/jobs": 0}, Keep: map[string]string{"copy": "/id"}},
		{Name: "under a name that is taken it cannot", Who: o, Do: "POST /api/sheets", Body: `{"copy_of":"{sheet}","name":"Our own"}`, Status: 422, Code: "sheet-name-taken", Field: "/name"},
		{Name: "a copy of another shop's sheet is refused", Who: o, Do: "POST /api/sheets", Body: `{"copy_of":"{rival_sheet}","name":"Theirs"}`, Status: 422, Code: "sheet-not-found", Field: "/copy_of"},
		{Name: "neither sheet nor copy", Who: o, Do: "POST /api/sheets", Body: `{}`, Status: 422, Code: "sheet-invalid", Field: "/sheet"},
		{Name: "another shop's sheet is not found", Who: o, Do: "GET /api/sheets/{rival_sheet}", Status: 404, Code: "sheet-not-found"},
		{Name: "more off than the maximum is named", Who: o, Do: "POST /api/sheets", Body: `{"sheet":` + dear + `}`, Status: 422, Code: "points-sheet", Field: "/sheet/items/0/departures/0/originality"},
		{Name: "in an edit it is named where it stands", Who: o, Do: "PUT /api/sheets/{copy}", IfMatch: `"v1"`, Body: dear, Status: 422, Code: "points-sheet", Field: "/items/0/departures/0/originality"},
		{Name: "two items of one key", Who: o, Do: "PUT /api/sheets/{copy}", IfMatch: `"v1"`, Body: twice, Status: 422, Code: "points-sheet", Field: "/items/1/key"},
		{Name: "a condition without its row", Who: o, Do: "PUT /api/sheets/{copy}", IfMatch: `"v1"`, Body: rowless, Status: 422, Code: "points-sheet", Field: "/looks"},
		{Name: "two hundred items", Who: o, Do: "PUT /api/sheets/{copy}", IfMatch: `"v1"`, Body: long, Status: 422, Code: "request-invalid", Field: "/items"},
		{Name: "a deduction below nothing", Who: o, Do: "PUT /api/sheets/{copy}", IfMatch: `"v1"`, Body: strings.Replace(plain, `"max_condition":"8"`, `"max_condition":"-8"`, 1), Status: 422, Code: "request-invalid", Field: "/items/0/max_condition"},
		{Name: "an edit without a version", Who: o, Do: "PUT /api/sheets/{copy}", Body: plain, Status: 428, Code: "if-match-missing"},
		{Name: "an edit", Who: o, Do: "PUT /api/sheets/{copy}", IfMatch: `"v1"`, Body: plain, Status: 200, Want: map[string]any{"/version": 2, "/sheet/items/1/key": "body-mounts"}},
		{Name: "an edit of what was changed meanwhile shows what is there", Who: o, Do: "PUT /api/sheets/{copy}", IfMatch: `"v1"`, Body: plain, Status: 412, Code: "stale-edit", Want: map[string]any{"/evidence/version": 2}},
		{Name: "the first version stays readable", Who: o, Do: "GET /api/sheets/{copy}?version=1", Status: 200, Want: map[string]any{"/version": 1, "/sheet/name": "Our own"}},
		{Name: "a version that never was", Who: o, Do: "GET /api/sheets/{copy}?version=9", Status: 404, Code: "sheet-not-found"},
		{Name: "another shop cannot retire it", Who: w.Rival.Client, Do: "PUT /api/sheets/{copy}/retired", Body: `{"retired":true}`, Status: 404, Code: "sheet-not-found"},
		{Name: "its owner can", Who: o, Do: "PUT /api/sheets/{copy}/retired", Body: `{"retired":true}`, Status: 200, Want: map[string]any{"/retired": true, "/version": 2}},
		{Name: "then no job takes it", Who: o, Do: "PUT /api/jobs/{job}/sheet", IfMatch: "{etag}", Body: `{"sheet_id":"{copy}"}`, Status: 422, Code: "sheet-retired", Field: "/sheet_id", Before: func() { w.Set("etag", w.ETag(t)) }},
		{Name: "and it is taken back into use", Who: o, Do: "PUT /api/sheets/{copy}/retired", Body: `{"retired":false}`, Status: 200, Want: map[string]any{"/retired": false}},
		{Name: "another shop's sheet is unknown to a job", Who: o, Do: "PUT /api/jobs/{job}/sheet", IfMatch: "{etag}", Body: `{"sheet_id":"{rival_sheet}"}`, Status: 422, Code: "sheet-not-found", Field: "/sheet_id"},
		{Name: "the job takes it", Who: o, Do: "PUT /api/jobs/{job}/sheet", IfMatch: "{etag}", Body: `{"sheet_id":"{copy}"}`, Status: 200},
		{Name: "and is judged by it", Who: o, Do: "GET /api/jobs/{job}/points", Status: 200, Want: map[string]any{"/sheet/name": "Two items", "/sheet/version": 2, "/maximum/total": "22.00", "/items/1/item": "body-mounts"}},
		{Name: "or by none", Who: o, Do: "PUT /api/jobs/{job}/sheet", IfMatch: "{etag}", Body: `{}`, Status: 200, Before: func() { w.Set("etag", w.ETag(t)) }},
		{Name: "then there is nothing to reckon", Who: o, Do: "GET /api/jobs/{job}/points", Status: 200, Want: map[string]any{"/sheet": testkit.Absent, "/items/0": testkit.Absent}},
		{Name: "and the client reads so", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}/points", Status: 200, Want: map[string]any{"/judged": false, "/sheet": testkit.Absent}},
	})
}

func TestPointsOfAJobWithOptions(t *testing.T) {
	w := withOptions(t)
	w.Uncover(t)
	o := w.Owner.Client
	w.Run(t, []testkit.Step{
		{Name: "the owner sees what each option buys", Who: o, Do: "GET /api/jobs/{job}/points?budget=500", Status: 200, Want: map[string]any{
			"/options/1/name": "Bought rail", "/options/1/items/0/item": "frame", "/options/1/taken": false, "/options/2/net": "55.39", "/budget": "500", "/best/status": "optimal", "/decided": false}},
		{Name: "a budget below nothing", Who: o, Do: "GET /api/jobs/{job}/points?budget=-1", Status: 422, Code: "request-invalid"},
		{Name: "a budget finer than a cent", Who: o, Do: "GET /api/jobs/{job}/points?budget=1.005", Status: 422, Code: "budget-not-readable", Field: "/query/budget"},
		{Name: "another shop's owner finds no such job", Who: w.Rival.Client, Do: "GET /api/jobs/{job}/points", Status: 404, Code: "job-not-found"},
		{Name: "a technician sees no money", Who: w.Tech.Client, Do: "GET /api/jobs/{job}/points", Status: 403, Code: "not-for-this-role"},
		{Name: "the client sees their own car, without options or costs", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}/points", Status: 200,
			Want:  map[string]any{"/judged": true, "/items/0/reasons/0/words": testkit.Present, "/after/total": testkit.Present},
			Never: []string{"net", "cost_per_point", "options", "best", "Bought rail"}},
		{Name: "and no other car", Who: w.OtherClient.Client, Do: "GET /api/client/jobs/{job}/points", Status: 404, Code: "not-found"},
	})
}

// What moves the takeoff keeps what it does to the points: of a job that is not
// quoted, a zone graded worse takes more off.
func TestAMoveOfTheTakeoffKeepsThePoints(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtSurveyed)
	w.Set("long", w.Template(t, w.Owner, "perimeter-frame"))
	made := w.Owner.Do(t, "POST", "/api/jobs", w.Fill(`{"title":"Whole frame","template_id":"{long}","client_id":"{client}","vehicle":{"make":"Corvane","model":"Tern","year":1967,"serial":"","options":`+vehicleOptions(t, w)+`}}`)).Want(t, 201)
	w.Set("long_job", made.Text("/job/id"))
	points := func() string {
		return w.Owner.Do(t, "GET", w.Fill("/api/jobs/{long_job}/points"), nil).Want(t, 200).Text("/as_found/total")
	}
	zone := w.FrameOf(t, w.Owner, w.Var("long_job")).Zones[0].ID
	before := points()
	w.Owner.Do(t, "POST", w.Fill("/api/jobs/{long_job}/observations"), `{"zone_id":"`+zone+`","moment":"arrival","condition":"perforated","note":"","photo_ids":[]}`).Want(t, 201)
	after := points()
	moves := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{long_job}/takeoff/moves"), nil).Want(t, 200)
	if a, b := moves.Text("/items/0/points_before"), moves.Text("/items/0/points_after"); a != before || b != after || a == b {
		t.Errorf("the move says %s to %s points, the sheet says %s to %s\n%s", a, b, before, after, moves.Body)
	}
}

// vehicleOptions takes the first choice of each option of the long template.
func vehicleOptions(t *testing.T, w *testkit.World) string {
	t.Helper()
	all, err := w.App.Templates(t.Context(), w.Owner.Actor)
	if err != nil {
		t.Fatal(err)
	}
	chosen := map[string]string{}
	for _, x := range all {
		if x.ID != w.Var("long") {
			continue
		}
		for _, o := range x.Plan.VehicleOptions {
			chosen[o.Key] = o.Choices[0].Key
		}
	}
	out, err := json.Marshal(chosen)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}
