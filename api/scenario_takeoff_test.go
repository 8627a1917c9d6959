package api_test

import (
	"strings"
	"testing"

	"bareframe/internal/testkit"
)

// A technician grades a rail: hours and price of the unsold job move, and the answer
// holds no money. The rule on paper: a rail of any length 5 h, and the welding time of
// the zone twice on top, as the takeoff itself says it.
func TestATechniciansGradeMovesTheEstimate(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	rail := ""
	for _, z := range w.FrameOf(t, w.Owner, w.Job).Zones {
		if z.Code == "left-side-rail" {
			rail = z.ID
		}
	}
	before := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200)
	a := w.Tech.Do(t, "POST", w.Fill("/api/jobs/{job}/observations"), `{"zone_id":"`+rail+`","moment":"arrival","condition":"perforated","length_mm":160,"width_mm":60,"note":"","photo_ids":[]}`).Want(t, 201)
	for _, word := range []string{"net", "total", "cost", "price", "EUR"} {
		if strings.Contains(string(a.Body), word) {
			t.Errorf("the technician's answer holds %q: %s", word, a.Body)
		}
	}
	after := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200)
	if before.Text("/price/total") == after.Text("/price/total") || before.ETag() == after.ETag() {
		t.Errorf("the price stayed %s at version %s", after.Text("/price/total"), after.ETag())
	}
	moves := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}/takeoff/moves"), nil).Want(t, 200)
	if got := moves.Text("/items/0/cause"); got != "Left side rail: hidden to perforated" {
		t.Errorf("the cause is %q", got)
	}
	if moves.Text("/items/0/total_after") != after.Text("/price/total") || moves.Text("/items/0/by") != "Jory Haldane" {
		t.Errorf("the move says %s", moves.Body)
	}
	takeoff := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}/takeoff"), nil).Want(t, 200)
	if takeoff.Text("/tasks/1/code") != "B10" || takeoff.Text("/tasks/1/hours/likely") != takeoff.Text("/tasks/1/asked/likely") || takeoff.Text("/tasks/1/difference") != "0.00" {
		t.Errorf("the task that follows: %s %s, asked %s", takeoff.Text("/tasks/1/code"), takeoff.Text("/tasks/1/hours/likely"), takeoff.Text("/tasks/1/asked/likely"))
	}
}

// What cannot be is refused where it stands.
func TestTakeoffRefusals(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	zone := `{"code":"skid","name":"Skid","kind":"rail","side":"left","section":{"shape":"box","width_mm":60,"height_mm":60,"thickness_mm":"31"},"length_mm":420,"area_m2":"0.1","visible_percent":80,"plan":{"from":{"x":900,"y":0},"to":{"x":1320,"y":0},"width":60}}`
	for name, c := range map[string]struct{ method, path, body, pointer string }{
		"walls thicker than half the width":   {"POST", "/api/jobs/{job}/zones", zone, "/section/thickness_mm"},
		"no such method":                      {"PUT", "/api/jobs/{job}/methods", `{"finish":"show","methods":{"strip":"laser"}}`, "/methods/strip"},
		"no such finish":                      {"PUT", "/api/jobs/{job}/methods", `{"finish":"shiny","methods":{}}`, "/finish"},
		"a task that no rule makes hours for": {"PUT", "/api/jobs/{job}/follows", `{"task_ids":["{A25}"],"line_ids":[],"follows":true}`, "/task_ids/0"},
	} {
		a := w.Owner.Do(t, c.method, w.Fill(c.path), w.Fill(c.body), testkit.IfMatch(w.ETag(t))).Want(t, 422)
		if !strings.Contains(string(a.Body), `"`+c.pointer+`"`) {
			t.Errorf("%s: %s, want a pointer to %s", name, a.Body, c.pointer)
		}
	}
	w.Owner.Do(t, "PUT", w.Fill("/api/jobs/{job}/methods"), `{"finish":"show","methods":{}}`).Want(t, 428)
}
