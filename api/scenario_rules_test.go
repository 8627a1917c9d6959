package api_test

import (
	"strings"
	"testing"

	"bareframe/internal/testkit"
)

// A rule that cannot stand is refused by row and field, and says why; both when it is
// tried and when it is saved. Rule 2 of the trial template is welding time twice.
func TestARuleIsRefusedOverHTTP(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	all := w.Owner.Do(t, "GET", "/api/templates", nil).Want(t, 200)
	id := ""
	for i := range all.Len("/items") {
		if at := "/items/" + string(rune('0'+i)); all.Text(at+"/name") == "Trial frame" {
			id = all.Text(at + "/id")
		}
	}
	plan := planOf(t, w, id)
	figure := func(member, value string) func(f map[string]any) {
		return func(f map[string]any) { f[member] = value }
	}
	for name, r := range map[string]struct {
		change          func(f map[string]any) // of the second factor, times 2
		pointer, reason string
	}{
		"a unit that does not come out": {figure("unit", "kg"), "/plan/rules/2/parts/0", "wanted"},
		"a rate of zero":                {figure("times", "0"), "/plan/rules/2/parts/0/factors/1/times", "zero"},
		"a negative rate":               {figure("times", "-2"), "/plan/rules/2/parts/0/factors/1/times", "negative"},
		"two things in one":             {figure("of", "weld_time"), "/plan/rules/2/parts/0/factors/1", "exactly one"},
	} {
		sent := edited(t, plan, func(p map[string]any) {
			rule := p["rules"].([]any)[2].(map[string]any)
			part := rule["parts"].([]any)[0].(map[string]any)
			r.change(part["factors"].([]any)[1].(map[string]any))
		})
		tried := w.Owner.Do(t, "POST", "/api/templates/preview", `{"template_id":"`+id+`","options":{"crossmember":"welded"},"plan":`+sent+`}`).Want(t, 200)
		if tried.Text("/problems/0/pointer") != r.pointer || !strings.Contains(tried.Text("/problems/0/detail"), r.reason) || tried.Len("/rules") != 4 {
			t.Errorf("%s: tried, got %s; want %s saying %q", name, tried.Body, r.pointer, r.reason)
		}
		saved := w.Owner.Do(t, "PUT", "/api/templates/"+id, `{"note":"","plan":`+sent+`}`, testkit.IfMatch(`"v1"`)).Want(t, 422)
		if saved.Text("/errors/0/pointer") != r.pointer || !strings.Contains(saved.Text("/errors/0/detail"), r.reason) {
			t.Errorf("%s: saved, got %s; want %s saying %q", name, saved.Body, r.pointer, r.reason)
		}
	}
}
