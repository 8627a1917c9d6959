package api_test

import (
	"strings"
	"testing"

	"bareframe/internal/testkit"
)

// withOptions is a world in which the example job is quoted with two ways to do
// the left rail, one of which adds work, and an extra.
func withOptions(t *testing.T) *testkit.World {
	t.Helper()
	return withOptionsIn(t, func(*testkit.World) {})
}

// withOptionsIn is withOptions in a world that was prepared.
func withOptionsIn(t *testing.T, prepare func(w *testkit.World)) *testkit.World {
	t.Helper()
	w := testkit.NewWorld(t, testkit.AtSurveyed)
	prepare(w)
	add := func(name, path, body string, at string) {
		t.Helper()
		a := w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}"+path), w.Fill(body), testkit.IfMatch(w.ETag(t))).Want(t, 201)
		w.Set(name, a.Text(at))
	}
	add("weld", "/options", `{"group":"Left rail","name":"Weld in","note":"","taken":true,"points":[]}`, "/options/0/id")
	add("bought", "/options", `{"group":"Left rail","name":"Bought rail","note":"It is galvanised.","taken":false,"points":[{"item_key":"frame","originality":"-2","condition":"1.5"}]}`, "/options/1/id")
	add("zinc", "/options", `{"group":"","name":"Zinc primer","note":"","taken":false,"points":[]}`, "/options/2/id")
	add("rail", "/tasks", `{"phase_id":"{repair}","code":"B50","name":"Fit the bought rail","note":"","kind":"work","hours":{"low":"6","likely":"6","high":"6"},"elapsed_hours":"0","lead_days":0,"skill":"welder","crew":1,"station":"","zone":"","cautions":[],"hold_point":"","tax_class":"fabrication_labour","option_id":"{bought}","after":["{A30}"],"before":["{C10}"]}`, "/not_taken/tasks/0/id")
	add("tin", "/lines", `{"phase_id":"{coating}","kind":"material","description":"Zinc primer","quantity":"2","unit":"l","unit_cost":"23.57","markup_percent":"17.5","waste_percent":"0","discount_percent":"0","tax_class":"material","option_id":"{zinc}"}`, "/not_taken/lines/0/id")
	w.Issue(t, 30)
	return w
}

func TestAClientCombinesOptions(t *testing.T) {
	w := withOptions(t)
	const preview = "POST /api/client/quotes/{quote}/preview"
	accept := func(ids, amount, finish string) string {
		return `{"outcome":"accepted","name":"Mirel Dance","signature":"Mirel Dance","document_hash":"{document}","reason":"","option_ids":[` + ids + `],"amount":"` + amount + `","finish":"` + finish + `"}`
	}
	chosen := `"{bought}","{zinc}"`
	w.Run(t, []testkit.Step{
		{Name: "the owner compares", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/options", Status: 200,
			Want: map[string]any{"/advised/0": "{weld}", "/selected/options/1/taken": false, "/selected/days": 0}},
		{Name: "and sees another combination", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/options?selection={bought},{zinc}", Status: 200,
			Want: map[string]any{"/selected/options/1/taken": true, "/selected/options/1/advised": false, "/selected/points_originality": "-2"}},
		{Name: "an unknown option is refused", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/options?selection={weld},{A20}", Status: 422, Code: "options-invalid", Field: "/option_ids/1"},
		{Name: "the client reads the quote", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}", Status: 200,
			Want: map[string]any{"/options/0/taken": true, "/options/0/advised": true, "/options/1/group": "Left rail", "/options/1/lines/0/description": "Fit the bought rail", "/options/1/points_condition": "1.5"}},
		{Name: "as advised it comes to the total of the quote", Who: w.ClientOf.Client, Do: preview, Body: `{"option_ids":["{weld}"]}`, Status: 200, Want: map[string]any{"/total": "{total}", "/days": 0}},
		{Name: "another combination comes to another", Who: w.ClientOf.Client, Do: preview, Body: `{"option_ids":[` + chosen + `]}`, Status: 200,
			Want: map[string]any{"/options/1/taken": true, "/options/2/taken": true}, Keep: map[string]string{"chosen_total": "/total", "chosen_finish": "/finish"}},
		{Name: "an unknown option is refused", Who: w.ClientOf.Client, Do: preview, Body: `{"option_ids":["{weld}","{A20}"]}`, Status: 422, Code: "options-invalid", Field: "/option_ids/1"},
		{Name: "and one named twice", Who: w.ClientOf.Client, Do: preview, Body: `{"option_ids":["{weld}","{zinc}","{zinc}"]}`, Status: 422, Code: "options-invalid", Field: "/option_ids/2"},
		{Name: "and two of one group", Who: w.ClientOf.Client, Do: preview, Body: `{"option_ids":["{weld}","{bought}"]}`, Status: 422, Code: "options-invalid", Field: "/option_ids/1"},
		{Name: "and none of a group", Who: w.ClientOf.Client, Do: preview, Body: `{"option_ids":[]}`, Status: 422, Code: "options-invalid", Field: "/option_ids"},
		{Name: "another client finds no such quote", Who: w.OtherClient.Client, Do: preview, Body: `{"option_ids":["{weld}"]}`, Status: 404, Code: "not-found"},
		{Name: "another shop's owner neither", Who: w.Rival.Client, Do: "POST /api/quotes/{quote}/preview", Body: `{"option_ids":["{weld}"]}`, Status: 404, Code: "quote-not-found"},
		{Name: "nor the job's options", Who: w.Rival.Client, Do: "GET /api/jobs/{job}/options", Status: 404, Code: "job-not-found"},
		{Name: "an acceptance of a selection that is not stated is refused", Who: w.ClientOf.Client, Do: toDecide, Body: acceptIt, Status: 422, Code: "options-invalid", Field: "/option_ids"},
		{Name: "an acceptance that does not say the amount is refused", Who: w.ClientOf.Client, Do: toDecide, Status: 422, Code: "decision-invalid", Field: "/amount",
			Body: `{"outcome":"accepted","name":"Mirel Dance","signature":"Mirel Dance","document_hash":"{document}","reason":"","option_ids":["{weld}"]}`},
		{Name: "an acceptance of other figures is refused with the right ones", Who: w.ClientOf.Client, Do: toDecide, Body: accept(chosen, "{total}", "{chosen_finish}"), Status: 409, Code: "selection-moved",
			Want: map[string]any{"/evidence/total": "{chosen_total}", "/evidence/finish": "{chosen_finish}", "/evidence/cost": testkit.Absent}},
		{Name: "the client accepts what was read", Who: w.ClientOf.Client, Do: toDecide, Body: accept(chosen, "{chosen_total}", "{chosen_finish}"), Status: 200,
			Want: map[string]any{"/state": "accepted", "/total": "{chosen_total}", "/issued_total": "{total}", "/finish": "{chosen_finish}", "/decision/amount": "{chosen_total}",
				"/decision/option_ids/0": "{bought}", "/options/0/taken": false, "/options/0/advised": true, "/options/1/taken": true}},
		{Name: "a second decision is refused", Who: w.ClientOf.Client, Do: toDecide, Body: accept(`"{weld}"`, "{total}", "{chosen_finish}"), Status: 409, Code: "quote-decided"},
		{Name: "what was chosen is authorised, what was left is seen as such", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200,
			Want: map[string]any{"/job/authorised_amount": "{chosen_total}", "/job/promise": "{chosen_finish}", "/not_taken/tasks": []any{}, "/options/0/taken": false, "/options/1/taken": true}},
		{Name: "the summary says what was agreed", Who: w.Owner.Client, Do: "GET /api/quotes/{quote}", Status: 200,
			Want: map[string]any{"/summary/total": "{chosen_total}", "/issued_total": "{total}"}},
		{Name: "the options stand", Who: w.Owner.Client, Do: "DELETE /api/jobs/{job}/options/{weld}", IfMatch: "{etag}", Status: 409, Code: "options-decided"},
	})
	for _, path := range []string{"/api/client/quotes/{quote}/document", "/api/client/quotes/{quote}/document?agreed=true"} {
		w.ClientOf.Do(t, "GET", w.Fill(path), nil).Want(t, 200)
	}
}

// What a client is shown of options holds no cost, no markup and no margin.
func TestNoCostOfAnOptionReachesTheClient(t *testing.T) {
	w := withOptions(t)
	for what, a := range map[string]*testkit.Answer{
		"quote":    w.ClientOf.Do(t, "GET", w.Fill("/api/client/quotes/{quote}"), nil).Want(t, 200),
		"preview":  w.ClientOf.Do(t, "POST", w.Fill("/api/client/quotes/{quote}/preview"), w.Fill(`{"option_ids":["{bought}","{zinc}"]}`)).Want(t, 200),
		"document": w.ClientOf.Do(t, "GET", w.Fill("/api/client/quotes/{quote}/document"), nil).Want(t, 200),
	} {
		for _, secret := range []string{testkit.TrialMaterialCost, testkit.TrialSubletCost, "17.5", `"cost"`, `"margin"`, "markup"} {
			if strings.Contains(string(a.Body), secret) {
				t.Errorf("the client's %s holds %q", what, secret)
			}
		}
	}
}
