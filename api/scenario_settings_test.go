package api_test

import (
	"encoding/json"
	"strings"
	"testing"

	"bareframe/internal/testkit"
)

// settingsWith is the shop's settings as they stand with something replaced.
func settingsWith(t *testing.T, w *testkit.World, change map[string]any) (body, etag string) {
	t.Helper()
	a := w.Owner.Do(t, "GET", "/api/shop", nil).Want(t, 200)
	value, _ := a.At("/settings")
	settings := value.(map[string]any)
	for key, v := range change {
		settings[key] = v
	}
	text, err := json.Marshal(settings)
	if err != nil {
		t.Fatal(err)
	}
	return string(text), a.ETag()
}

func saveSettings(t *testing.T, w *testkit.World, change map[string]any) *testkit.Answer {
	t.Helper()
	body, etag := settingsWith(t, w, change)
	return w.Owner.Do(t, "PUT", "/api/shop", body, testkit.IfMatch(etag), testkit.Outside())
}

type listed = []map[string]any

func TestSettingsThatAreRefusedSayWhere(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	currency := func(code, rate, on string) map[string]any {
		return map[string]any{"currencies": listed{{"code": code, "rate": rate, "on": on}}}
	}
	for _, r := range []struct {
		name, code, field string
		change            map[string]any
	}{
		{"rate 0", "shop-settings-invalid", "/currencies/0/rate", currency("USD", "0", "2026-11-20")},
		{"a negative rate", "request-invalid", "/currencies/0/rate", currency("USD", "-1", "2026-11-20")},
		{"a rate in words", "request-invalid", "/currencies/0/rate", currency("USD", "1e3", "2026-11-20")},
		{"no such currency", "shop-settings-invalid", "/currencies/0/code", currency("ZZZ", "1", "2026-11-20")},
		{"no day", "request-invalid", "/currencies/0/on", currency("USD", "1", "yesterday")},
		{"a day to come", "shop-settings-invalid", "/currencies/0/on", currency("USD", "1", "2099-01-01")},
		{"a code twice", "shop-settings-invalid", "/currencies/1/code", map[string]any{"currencies": listed{{"code": "USD", "rate": "1", "on": "2026-11-20"}, {"code": "USD", "rate": "2", "on": "2026-11-20"}}}},
		{"another currency though jobs stand", "currency-fixed", "/currency", map[string]any{"currency": "CHF"}},
		{"an unknown variable", "shop-settings-invalid", "/texts/0/text", map[string]any{"texts": listed{{"key": "quote_opening", "text": "~clint~"}}}},
		{"an unknown text", "request-invalid", "/texts/0/key", map[string]any{"texts": listed{{"key": "motto", "text": "x"}}}},
		{"a long text", "request-invalid", "/texts/0/text", map[string]any{"texts": listed{{"key": "quote_opening", "text": strings.Repeat("x", 4001)}}}},
		{"a draw of no phase", "shop-settings-invalid", "/draws/0/phase", map[string]any{"deposit_percent": "20", "draws": listed{{"name": "All", "percent": "80", "due": "phase_end"}}}},
		{"a gate that is none", "request-invalid", "/draws/0/due", map[string]any{"deposit_percent": "20", "draws": listed{{"name": "All", "percent": "80", "due": "full moon"}}}},
		{"too long to pay", "request-invalid", "/draws/0/days_to_pay", map[string]any{"deposit_percent": "20", "draws": listed{{"name": "All", "percent": "80", "due": "hand_over", "days_to_pay": 121}}}},
	} {
		t.Run(r.name, func(t *testing.T) {
			before := w.Owner.Do(t, "GET", "/api/shop", nil).ETag()
			a := saveSettings(t, w, r.change)
			if a.Status < 400 || a.Status > 422 || a.Code() != r.code {
				t.Fatalf("got %d %s, want %s: %s", a.Status, a.Code(), r.code, a.Body)
			}
			a.WantField(t, r.field)
			if after := w.Owner.Do(t, "GET", "/api/shop", nil).ETag(); after != before {
				t.Errorf("the settings moved from %s to %s", before, after)
			}
		})
	}
	huge := saveSettings(t, w, map[string]any{"texts": listed{{"key": "quote_opening", "text": strings.Repeat("x", 2<<20)}}})
	if huge.Status != 413 && huge.Status != 422 && huge.Status != 400 {
		t.Errorf("two megabytes of text: got %d", huge.Status)
	}
}

func TestAJobInAnotherCurrencyAndTheShopsOwnWords(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtEnquiry)
	saveSettings(t, w, map[string]any{
		"currencies":      listed{{"code": "JPY", "rate": "163.25", "on": "2026-11-20"}},
		"deposit_percent": "20",
		"draws":           listed{{"name": "First", "percent": "30", "due": "phase_end", "phase": "removal", "days_to_pay": 14}, {"name": "Last", "percent": "50", "due": "strip_gate"}},
		"texts":           listed{{"key": "quote_opening", "text": "<img src=x onerror=alert(1)> Dear ~client~, ~total~ until ~expiry~."}},
	}).Want(t, 200)
	abroad := func(currency string) string {
		return `{"title":"Abroad","template_id":"{template}","client_id":"{client}","currency":"` + currency + `","vehicle":` + aVehicleOf(t, w) + `}`
	}
	w.Run(t, []testkit.Step{
		{Name: "a currency without a rate", Who: w.Owner.Client, Do: "POST /api/jobs", Body: abroad("CHF"), Status: 422, Code: "currency-not-listed", Field: "/currency"},
		{Name: "no currency at all", Who: w.Owner.Client, Do: "POST /api/jobs", Body: abroad("yen"), Status: 422, Code: "request-invalid", Field: "/currency"},
		{Name: "yen", Who: w.Owner.Client, Do: "POST /api/jobs", Body: abroad("JPY"), Status: 201, Keep: map[string]string{"job": "/job/id"},
			Want: map[string]any{"/job/currency": "JPY", "/job/exchange_rate": "163.25", "/job/rate_on": "2026-11-20", "/price/currency": "JPY"}},
		{Name: "the shop's own has no rate", Who: w.Owner.Client, Do: "POST /api/jobs", Body: abroad("EUR"), Status: 201, Want: map[string]any{"/job/exchange_rate": testkit.Absent, "/job/rate_on": testkit.Absent}},
		{Name: "the job stays in its currency", Who: w.Owner.Client, Do: "PUT /api/jobs/{job}", IfMatch: `"v1"`, Body: `{"title":"x","currency":"USD","vehicle":` + aVehicleOf(t, w) + `}`, Status: 422, Code: "request-invalid"},
		{Name: "prices in the job's currency", Who: w.Owner.Client, Do: "GET /api/shop/price-book?job={job}", Status: 200},
		{Name: "another shop's job", Who: w.Rival.Client, Do: "GET /api/shop/price-book?job={job}", Status: 404, Code: "job-not-found"},
		{Name: "it is quoted", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/quotes", IfMatch: `"v1"`, Body: `{"valid_days":30,"note":""}`, Status: 201, Keep: map[string]string{"quote": "/summary/id", "total": "/summary/total"}},
		{Name: "the client reads it", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}", Status: 200,
			Want: map[string]any{"/currency": "JPY", "/total": "{total}", "/draws/0/when": "On acceptance", "/draws/1/due": "phase_end", "/draws/1/days_to_pay": 14, "/draws/1/reached": false},
			After: func(a *testkit.Answer) {
				if got := a.Text("/opening"); !strings.HasPrefix(got, "<img src=x onerror=alert(1)> Dear Mirel Dance, ") || strings.Contains(got, "~") {
					t.Errorf("the opening reads %q", got)
				}
				if strings.Contains(a.Text("/total"), ".") {
					t.Errorf("%s yen has a fraction", a.Text("/total"))
				}
			}},
		{Name: "its document is no markup", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}/document", Status: 200, Never: []string{"<img"},
			After: func(a *testkit.Answer) {
				if !strings.Contains(string(a.Body), "&lt;img src=x onerror=alert(1)&gt; Dear Mirel Dance, ") {
					t.Error("the document does not show the opening as text")
				}
			}},
		{Name: "a preview", Who: w.Owner.Client, Do: "POST /api/shop/texts/preview", Body: `{"key":"job_card_caution","draft":"<b>~phase~</b>"}`, Status: 200, Want: map[string]any{"/text": "<b>Media stripping</b>"}},
		{Name: "a preview of what cannot be saved", Who: w.Owner.Client, Do: "POST /api/shop/texts/preview", Body: `{"key":"job_card_caution","draft":"~total~"}`, Status: 422, Code: "text-invalid", Field: "/draft"},
		{Name: "not for technicians", Who: w.Tech.Client, Do: "POST /api/shop/texts/preview", Body: `{"key":"terms","draft":"x"}`, Status: 403, Code: "not-for-this-role"},
	})
}

// aVehicleOf is the example job's vehicle as a body.
func aVehicleOf(t *testing.T, w *testkit.World) string {
	t.Helper()
	value, _ := w.Owner.Do(t, "GET", w.Fill("/api/jobs/"+w.Job), nil).Want(t, 200).At("/job/vehicle")
	text, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
