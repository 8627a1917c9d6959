package api_test

import (
	"crypto/sha256"
	"encoding/hex"
	"strings"
	"testing"
	"time"

	"bareframe/internal/testkit"
)

// orderBody is a draft of one item that may be left: a patch of four hours or a
// section of eight with a part, both after the gate and before the rail.
const orderBody = `{"kind":"finding","title":"Left rail is thin","reason":"Rusted through ahead of the rear wheel.","note":"","items":[
 {"key":"i1","title":"Left rail","why":"It carries a mount.","if_not":"The rail may fold there.","may_leave":true,"finding_ids":[{findings}],"options":[
  {"key":"patch","name":"Patch","note":"","advised":true,"tasks":[{"key":"t1","phase_id":"{repair}","name":"Weld a patch","note":"","kind":"work","hours":{"low":"4.00","likely":"4.00","high":"4.00"},"elapsed_hours":"0.00","lead_days":0,"skill":"welder","crew":1,"station":"","cautions":[],"hold_point":"","tax_class":"fabrication_labour","after":["{A30}"],"before":["{B10}"]}],"hours_changes":[],"removes_tasks":[],"lines":[],"removes_lines":[],"points_originality":"0","points_condition":"1.5"},
  {"key":"section","name":"Section","note":"","advised":false,"tasks":[],"hours_changes":[],"removes_tasks":[],"lines":[{"phase_id":"{repair}","task_key":"","kind":"fee","description":"Rail section","quantity":"1","unit":"pc","unit_cost":"240.00","markup_percent":"0","waste_percent":"0","discount_percent":"0","tax_class":"part"}],"removes_lines":[],"points_originality":"-0.5","points_condition":"3"}]},
 {"key":"i2","title":"Lines","why":"","if_not":"The old lines stay.","may_leave":true,"finding_ids":[],"options":[
  {"key":"new","name":"New lines","note":"","advised":true,"tasks":[],"hours_changes":[],"removes_tasks":[],"lines":[{"phase_id":"{repair}","task_key":"","kind":"fee","description":"Brake lines","quantity":"1","unit":"set","unit_cost":"100.00","markup_percent":"0","waste_percent":"0","discount_percent":"0","tax_class":"part"}],"removes_lines":[],"points_originality":"0","points_condition":"0"}]}]}`

const both = `[{"item_key":"i1","option_key":"patch"},{"item_key":"i2","option_key":"new"}]`

func decision(outcome, choices, amount, hash string) string {
	return `{"outcome":"` + outcome + `","name":"Mirel Dance","signature":"Mirel Dance","document_hash":"` + hash + `","choices":` + choices +
		`,"amount":"` + amount + `","promise_after":"{after}","reason":"As we said."}`
}

func orderSteps(w *testkit.World, findings string) []testkit.Step {
	w.Set("findings", findings)
	return []testkit.Step{
		{Name: "the owner drafts", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/orders", Body: orderBody, Status: 201,
			Keep: map[string]string{"order": "/summary/id", "amount": "/effect/amount"},
			Want: map[string]any{"/summary/state": "draft", "/summary/number": 1.0, "/effect/contradiction": testkit.Absent, "/effect/confidence": "not_computed",
				"/effect/lines/1/net": "100.00", "/effect/points_condition": "1.5", "/document_hash": ""}},
	}
}

func sendStep(w *testkit.World) testkit.Step {
	return testkit.Step{Name: "the owner sends", Who: w.Owner.Client, Do: "POST /api/orders/{order}/send", Body: `{"valid_days":3}`, IfMatch: "{etag}", Status: 200,
		Keep: map[string]string{"document": "/document_hash", "after": "/effect/dates/promise_after", "amount": "/effect/amount", "before": "/effect/authorised_before", "total_after": "/effect/authorised_after"},
		Want: map[string]any{"/summary/state": "sent", "/summary/revision": 1.0}}
}

// From the finding to the decided order: what each sees, what moves, and who is
// kept out.
func TestAnOrderFromDraftToDecision(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtAccepted)
	w.Uncover(t)
	cost := []string{`"cost"`, `"margin"`, "unit_cost", "markup"}
	c := w.ClientOf.Client
	steps := append(orderSteps(w, `"`+w.Var("finding")+`"`),
		testkit.Step{Name: "the client does not see a draft", Who: c, Do: "GET /api/client/orders/{order}", Status: 404, Code: "not-found"},
		testkit.Step{Name: "nor decides on it", Who: c, Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", both, "0.00", strings.Repeat("0", 64)), Status: 404, Code: "not-found",
			Before: func() { w.Set("after", "2027-01-01") }},
		testkit.Step{Name: "nor lists it", Who: c, Do: "GET /api/client/jobs/{job}/orders", Status: 200, Want: map[string]any{"/items": []any{}}},
		testkit.Step{Name: "the finding is gathered", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/findings", Status: 200, Want: map[string]any{"/items/0/state": "gathered"}},
		testkit.Step{Name: "it cannot go into a second order", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/orders", Body: orderBody, Status: 422, Code: "order-invalid", Field: "/items/0/finding_ids/0"},
		testkit.Step{Name: "the gate is not released by hand meanwhile", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/tasks/{A30}/release", Body: `{"reason":"Looks fine."}`, Status: 409, Code: "findings-open"},
		testkit.Step{Name: "an edit of another version is refused", Who: w.Owner.Client, Do: "PUT /api/orders/{order}", Body: orderBody, IfMatch: `"v9"`, Status: 412, Code: "stale-edit"},
		testkit.Step{Name: "the owner edits", Who: w.Owner.Client, Do: "PUT /api/orders/{order}", Body: orderBody, IfMatch: `"v1"`, Status: 200, Want: map[string]any{"/version": 2.0}},
		sendStep(w),
		testkit.Step{Name: "what was sent is not edited", Who: w.Owner.Client, Do: "PUT /api/orders/{order}", Body: orderBody, IfMatch: "{etag}", Status: 409, Code: "order-not-draft"},
		testkit.Step{Name: "nor sent again", Who: w.Owner.Client, Do: "POST /api/orders/{order}/send", Body: `{"valid_days":3}`, IfMatch: "{etag}", Status: 409, Code: "order-not-draft"},
		testkit.Step{Name: "the client reads it, without cost", Who: c, Do: "GET /api/client/orders/{order}", Status: 200, Never: cost,
			Want: map[string]any{"/summary/state": "sent", "/effect/authorised_after": "{total_after}", "/items/0/findings/0/photos/0/id": testkit.Present, "/items/0/options/1/points_condition": "3"}},
		testkit.Step{Name: "another client does not", Who: w.OtherClient.Client, Do: "GET /api/client/orders/{order}", Status: 404, Code: "not-found"},
		testkit.Step{Name: "nor by deciding", Who: w.OtherClient.Client, Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", both, "{amount}", "{document}"), Status: 404, Code: "not-found"},
		testkit.Step{Name: "the client asks", Who: c, Do: "POST /api/client/orders/{order}/messages", Body: `{"text":"Would the patch be seen?"}`, Status: 201, Want: map[string]any{"/summary/questions_open": true}},
		testkit.Step{Name: "the owner answers", Who: w.Owner.Client, Do: "POST /api/orders/{order}/messages", Body: `{"text":"Not with the body on."}`, Status: 201,
			Want: map[string]any{"/summary/questions_open": false, "/messages/0/role": "client", "/messages/1/text": "Not with the body on."}},
		testkit.Step{Name: "the client tries the other option", Who: c, Do: "POST /api/client/orders/{order}/effect", Body: `{"choices":[{"item_key":"i1","option_key":"section"},{"item_key":"i2"}]}`, Status: 200, Never: cost,
			Want: map[string]any{"/net": "240.00", "/tax": "48.00", "/amount": "288.00", "/dates/days": 0.0}},
		testkit.Step{Name: "an item that is not in it", Who: c, Do: "POST /api/client/orders/{order}/effect", Body: `{"choices":[{"item_key":"i9"}]}`, Status: 422, Code: "choices-invalid", Field: "/choices/0/item_key"},
		testkit.Step{Name: "an option of another item", Who: c, Do: "POST /api/client/orders/{order}/effect", Body: `{"choices":[{"item_key":"i2","option_key":"patch"}]}`, Status: 422, Code: "choices-invalid", Field: "/choices/0/option_key"},
		testkit.Step{Name: "a document that was never sent", Who: c, Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", both, "{amount}", strings.Repeat("0", 64)), Status: 409, Code: "another-document"},
		testkit.Step{Name: "an amount that was not read", Who: c, Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", both, "1.00", "{document}"), Status: 409, Code: "effect-moved", Never: cost,
			Want: map[string]any{"/evidence/amount": "{amount}"}},
		testkit.Step{Name: "an approval that does not speak of every item", Who: c, Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", `[{"item_key":"i1","option_key":"patch"}]`, "{amount}", "{document}"), Status: 422, Code: "choices-invalid", Field: "/choices"},
		testkit.Step{Name: "an approval without a signature", Who: c, Do: "POST /api/client/orders/{order}/decision", Body: strings.Replace(decision("approved", both, "{amount}", "{document}"), `"signature":"Mirel Dance"`, `"signature":""`, 1), Status: 422, Code: "decision-invalid", Field: "/signature"},
		testkit.Step{Name: "the client approves", Who: c, Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", both, "{amount}", "{document}"), Key: "approve-once-1", Status: 200, Never: cost,
			Keep: map[string]string{"decided": "/decision/document_hash"},
			Want: map[string]any{"/summary/state": "approved", "/decision/outcome": "approved", "/decision/revised_total": "{total_after}", "/decision/amount": "{amount}"}},
		testkit.Step{Name: "the same key again is the same decision", Who: c, Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", both, "{amount}", "{document}"), Key: "approve-once-1", Status: 200,
			Want: map[string]any{"/decision/document_hash": "{decided}"}},
		testkit.Step{Name: "another approval is refused", Who: c, Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", both, "{amount}", "{document}"), Status: 409, Code: "order-decided"},
		testkit.Step{Name: "so is a recorded one", Who: w.Owner.Client, Do: "POST /api/orders/{order}/decision", Body: recorded("{amount}"), Status: 409, Code: "order-decided"},
		testkit.Step{Name: "so is a withdrawal", Who: w.Owner.Client, Do: "POST /api/orders/{order}/withdraw", Body: `{"reason":"Too late."}`, Status: 409, Code: "order-decided"},
		testkit.Step{Name: "and a question", Who: c, Do: "POST /api/client/orders/{order}/messages", Body: `{"text":"Too late?"}`, Status: 409, Code: "order-not-open"},
		testkit.Step{Name: "the job has the work, the money and the date", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200,
			Want: map[string]any{"/job/authorised_amount": "{total_after}", "/job/promise": "{after}"}},
		testkit.Step{Name: "the finding is approved", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/findings", Status: 200, Want: map[string]any{"/items/0/state": "approved", "/items/0/order/number": 1.0}},
		testkit.Step{Name: "the document as decided is kept by its hash", Who: c, Do: "GET /api/client/orders/{order}/document", Status: 200, Never: cost,
			After: func(a *testkit.Answer) {
				sum := sha256.Sum256(a.Body)
				if got := hex.EncodeToString(sum[:]); got != w.Var("decided") {
					t.Errorf("the document has the hash %s, the decision keeps %s", got, w.Var("decided"))
				}
				for _, text := range []string{"☒ yes", "Decision", "Mirel Dance", "Check your local law", "not yet computed", w.Var("document")} {
					if !strings.Contains(string(a.Body), text) {
						t.Errorf("the document does not say %q", text)
					}
				}
			}},
	)
	w.Run(t, steps)
}

func recorded(amount string) string {
	return `{"outcome":"approved","how":"telephone","name":"Mirel Dance","contact":"+00 555 0117","said":"Yes, do both.","decided_at":"2026-11-25T12:00:00Z","choices":` + both +
		`,"amount":"` + amount + `","revised_total":"{total_after}","added_parts":"Brake lines","added_labour":"4.00 h welder"}`
}

// What is over takes no decision, and says what became of it.
func TestDecisionsOnWhatIsOver(t *testing.T) {
	c := func(w *testkit.World) *testkit.Client { return w.ClientOf.Client }
	t.Run("withdrawn", func(t *testing.T) {
		w := testkit.NewWorld(t, testkit.AtAccepted)
		w.Run(t, append(orderSteps(w, ""), sendStep(w),
			testkit.Step{Name: "the owner withdraws", Who: w.Owner.Client, Do: "POST /api/orders/{order}/withdraw", Body: `{"reason":"Measured again."}`, Status: 200, Want: map[string]any{"/summary/state": "withdrawn", "/withdrawn_reason": "Measured again."}},
			testkit.Step{Name: "the client approves", Who: c(w), Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", both, "{amount}", "{document}"), Status: 409, Code: "order-withdrawn"},
			testkit.Step{Name: "and still reads it", Who: c(w), Do: "GET /api/client/orders/{order}", Status: 200, Want: map[string]any{"/summary/state": "withdrawn"}},
		))
	})
	t.Run("expired", func(t *testing.T) {
		w := testkit.NewWorld(t, testkit.AtAccepted)
		w.Run(t, append(orderSteps(w, ""), sendStep(w),
			testkit.Step{Name: "days pass", Who: c(w), Do: "GET /api/client/orders/{order}", Status: 200, Before: func() { w.Clock.Advance(4 * 24 * time.Hour) }, Want: map[string]any{"/summary/state": "expired"}},
			testkit.Step{Name: "the client approves", Who: c(w), Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", both, "{amount}", "{document}"), Status: 409, Code: "order-expired"},
		))
	})
	t.Run("declined", func(t *testing.T) {
		w := testkit.NewWorld(t, testkit.AtAccepted)
		w.Uncover(t)
		w.Run(t, append(orderSteps(w, `"`+w.Var("finding")+`"`), sendStep(w),
			testkit.Step{Name: "declining wants a reason", Who: c(w), Do: "POST /api/client/orders/{order}/decision", Body: strings.Replace(decision("declined", "[]", "0.00", "{document}"), "As we said.", "", 1), Status: 422, Code: "decision-invalid", Field: "/reason"},
			testkit.Step{Name: "the client declines", Who: c(w), Do: "POST /api/client/orders/{order}/decision", Body: decision("declined", "[]", "0.00", "{document}"), Status: 200, Want: map[string]any{"/summary/state": "declined", "/decision/amount": "0.00"}},
			testkit.Step{Name: "what it means stays with the finding", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/findings", Status: 200, Want: map[string]any{"/items/0/state": "declined", "/items/0/state_reason": "The rail may fold there."}},
			testkit.Step{Name: "nothing of it is on the job", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200, Never: []string{"Weld a patch"}, Want: map[string]any{"/job/authorised_amount": "{before}"}},
			testkit.Step{Name: "what was declined may be proposed again", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/orders", Body: orderBody, Status: 201, Want: map[string]any{"/summary/number": 2.0}},
		))
	})
}

// A recorded decision says who, how and what, as the shop's rule set asks.
func TestRecordedDecisionsNameEverything(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtAccepted)
	without := func(field, value string) string {
		body := recorded("{amount}")
		i := strings.Index(body, `"`+field+`":"`)
		rest := body[i+len(field)+4:]
		return body[:i] + `"` + field + `":"` + value + rest[strings.Index(rest, `"`):]
	}
	refuse := func(name, body, field string) testkit.Step {
		return testkit.Step{Name: name, Who: w.Owner.Client, Do: "POST /api/orders/{order}/decision", Body: body, Status: 422, Code: "decision-invalid", Field: field}
	}
	w.Run(t, append(orderSteps(w, ""), sendStep(w),
		refuse("somebody whom the client has not named", without("name", "A neighbour"), "/name"),
		refuse("no number", without("contact", ""), "/contact"),
		refuse("another amount", recorded("1.00"), "/amount"),
		refuse("another total", without("revised_total", "1.00"), "/revised_total"),
		refuse("in the future", without("decided_at", "2026-11-25T13:00:00Z"), "/decided_at"),
		refuse("before it was sent", without("decided_at", "2026-11-20T13:00:00Z"), "/decided_at"),
		testkit.Step{Name: "all of it", Who: w.Owner.Client, Do: "POST /api/orders/{order}/decision", Body: recorded("{amount}"), Status: 200, Want: map[string]any{"/summary/state": "approved", "/decision/how": "telephone", "/decision/contact": "+00 555 0117"}},
	))
}

// What cannot be scheduled is kept as a draft, shown, and not sent; what names
// things that are not there is not kept.
func TestDraftsThatCannotStand(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtAccepted)
	w.Set("findings", "")
	circle := strings.Replace(orderBody, `"after":["{A30}"]`, `"after":["{C30}"]`, 1)
	bad := func(name, from, to, field string) testkit.Step {
		return testkit.Step{Name: name, Who: w.Owner.Client, Do: "POST /api/jobs/{job}/orders", Body: strings.Replace(orderBody, from, to, 1), Status: 422, Code: "order-invalid", Field: field}
	}
	removes := `"removes_tasks":[],"lines":[],`
	w.Run(t, []testkit.Step{
		{Name: "a circle is kept", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/orders", Body: circle, Status: 201, Keep: map[string]string{"order": "/summary/id"},
			Want: map[string]any{"/effect/contradiction/tasks/0": testkit.Present, "/effect/dates/promise_after": testkit.Absent}},
		{Name: "and not sent", Who: w.Owner.Client, Do: "POST /api/orders/{order}/send", Body: `{"valid_days":3}`, IfMatch: "{etag}", Status: 409, Code: "order-contradiction"},
		{Name: "its other option can be scheduled", Who: w.Owner.Client, Do: "POST /api/orders/{order}/effect", Body: `{"choices":[{"item_key":"i1","option_key":"section"}]}`, Status: 200, Want: map[string]any{"/contradiction": testkit.Absent}},
		bad("a task of another job", "{A30}", "{rival_task}", "/items/0/options/0/tasks/0/after/0"),
		bad("a phase of another job", `"phase_id":"{repair}"`, `"phase_id":"{rival_phase}"`, "/items/0/options/0/tasks/0/phase_id"),
		bad("removing a task of another job", removes, `"removes_tasks":["{rival_task}"],"lines":[],`, "/items/0/options/0/removes_tasks/0"),
		bad("removing a line of another job", `"lines":[],"removes_lines":[]`, `"lines":[],"removes_lines":["{rival_line}"]`, "/items/0/options/0/removes_lines/0"),
		bad("hours of another job's task", `"hours_changes":[]`, `"hours_changes":[{"task_id":"{rival_task}","hours":{"low":"1.00","likely":"1.00","high":"1.00"}}]`, "/items/0/options/0/hours_changes/0/task_id"),
		bad("a finding of nobody", `"finding_ids":[{findings}]`, `"finding_ids":["{rival_task}"]`, "/items/0/finding_ids/0"),
		bad("hours the wrong way round", `"low":"4.00"`, `"low":"9.00"`, "/items/0/options/0/tasks/0/hours/low"),
		bad("two options advised", `"name":"Section","note":"","advised":false`, `"name":"Section","note":"","advised":true`, "/items/0/options/1/advised"),
		bad("two items of one key", `"key":"i2"`, `"key":"i1"`, "/items/1/key"),
		bad("a skill that has no rate", `"skill":"welder"`, `"skill":"juggler"`, "/items/0/options/0/tasks/0/skill"),
	})
}

// The gate's report gathers what was found; its approval releases the gate.
func TestTheInspectionReleasesTheGate(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtAccepted)
	w.Uncover(t)
	choices := `[{"item_key":"f1","option_key":"cut-out-and-fabricate"}]`
	w.Run(t, []testkit.Step{
		{Name: "the owner gathers", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/inspection", Status: 201, Keep: map[string]string{"order": "/summary/id"},
			Want: map[string]any{"/summary/kind": "inspection", "/draft/items/0/finding_ids/0": "{finding}", "/draft/items/0/options/0/key": "cut-out-and-fabricate",
				"/draft/items/0/options/0/tasks/0/phase_id": "{repair}", "/draft/items/0/options/0/tasks/0/after/0": "{A30}", "/draft/items/0/options/0/tasks/0/before/0": "{B10}"}},
		{Name: "there is nothing left to gather", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/inspection", Status: 409, Code: "nothing-found"},
		{Name: "repair hours are refused", Who: w.Tech.Client, Do: "POST /api/bench/clock/start", Body: `{"task_id":"{B10}"}`, Status: 409, Code: "hold-not-released"},
		sendStepAgain(t, w),
		{Name: "the client approves", Who: w.ClientOf.Client, Do: "POST /api/client/orders/{order}/decision", Body: decision("approved", choices, "{amount}", "{document}"), Status: 200, Want: map[string]any{"/summary/state": "approved"}},
		{Name: "the gate is released and the repair is there", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200,
			After: func(a *testkit.Answer) {
				if !strings.Contains(string(a.Body), "Order 1 was decided by Mirel Dance.") || !strings.Contains(string(a.Body), `"order_number":1`) {
					t.Errorf("the gate does not say why it is released, or the task not where it comes from: %s", a.Body)
				}
			}},
		{Name: "repair hours are let in", Who: w.Tech.Client, Do: "POST /api/bench/clock/start", Body: `{"task_id":"{B10}"}`, Status: 201},
	})
}

func sendStepAgain(t *testing.T, w *testkit.World) testkit.Step {
	s := sendStep(w)
	s.Want = nil
	s.Before = func() { w.Set("etag", w.Owner.Do(t, "GET", "/api/orders/"+w.Var("order"), nil).ETag()) }
	return s
}
