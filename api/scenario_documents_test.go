package api_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"bareframe/internal/testkit"
	"bareframe/internal/testkit/pdftext"
)

// pdfOf reads a document as PDF and says what it shows, without spaces.
func pdfOf(t *testing.T, w *testkit.World, who *testkit.Client, path string) (*testkit.Answer, string) {
	t.Helper()
	a := who.Do(t, "GET", w.Fill(path)+"?as=pdf", nil).Want(t, 200)
	if got := a.Header.Get("Content-Type"); got != "application/pdf" {
		t.Errorf("%s: the type is %q, want application/pdf", a.Asked, got)
	}
	if got := a.Header.Get("Content-Disposition"); !strings.HasPrefix(got, `inline; filename="`) || !strings.HasSuffix(got, `.pdf"`) {
		t.Errorf("%s: the file's name is %q", a.Asked, got)
	}
	return a, pdftext.Text(t, a.Body)
}

func TestEveryDocumentIsToBeHadAsPDFAndAsHTML(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	w.Uncover(t)
	orderFor(t, w, true)
	for _, c := range []struct {
		who  *testkit.Client
		path string
		says []string
	}{
		{w.Owner.Client, "/api/quotes/{quote}/document", []string{"Quote", w.Quote.DocumentHash, "Topayinall"}},
		{w.ClientOf.Client, "/api/client/quotes/{quote}/document", []string{"Quote", w.Quote.DocumentHash}},
		{w.Owner.Client, "/api/orders/{order}/document", []string{"Changeorder", w.Var("document")}},
		{w.ClientOf.Client, "/api/client/orders/{order}/document", []string{"Changeorder", w.Var("document")}},
		{w.Owner.Client, "/api/jobs/{job}/stop-now", []string{"Iftheworkstoppednow", "Balance"}},
		{w.Owner.Client, "/api/jobs/{job}/inspection-report", []string{"Inspectionreport", "Screwdrivergoesthrough.", "Finding1,photo1", "perforated", "140×60mm", "ReportedbyJoryHaldane"}},
		{w.ClientOf.Client, "/api/client/jobs/{job}/inspection-report", []string{"Inspectionreport", "Screwdrivergoesthrough."}},
		{w.Tech.Client, "/api/jobs/{job}/phases/{removal}/job-card", []string{"Jobcard", "Capsforopenlines", "Holdpoints"}},
		{w.Owner.Client, "/api/jobs/{job}/phases/{removal}/job-card", []string{"Jobcard"}},
	} {
		a, text := pdfOf(t, w, c.who, c.path)
		for _, want := range append(c.says, "Sheet1of") {
			if !strings.Contains(text, want) {
				t.Errorf("%s does not say %s", a.Asked, want)
			}
		}
		for _, cost := range []string{testkit.CostRate, testkit.CostRate2, testkit.TrialMaterialCost} {
			if strings.Contains(text, cost) {
				t.Errorf("%s says %s", a.Asked, cost)
			}
		}
		if c.who == w.Tech.Client && strings.Contains(text, w.Quote.Currency) {
			t.Errorf("%s speaks of money", a.Asked)
		}
		if c.who == w.ClientOf.Client && strings.Contains(text, "JoryHaldane") {
			t.Errorf("%s names who reported", a.Asked)
		}
		page := c.who.Do(t, "GET", w.Fill(c.path), nil).Want(t, 200)
		if got := page.Header.Get("Content-Type"); !strings.HasPrefix(got, "text/html") || !bytes.Contains(page.Body, []byte("<style>")) {
			t.Errorf("%s: %s", page.Asked, got)
		}
		csp := page.Header.Get("Content-Security-Policy")
		if !strings.Contains(csp, "'sha256-") || strings.Contains(csp, "'self';") || strings.Contains(csp, "unsafe") {
			t.Errorf("%s: its style sheet is not what the policy allows: %s", page.Asked, csp)
		}
		c.who.Do(t, "GET", w.Fill(c.path)+"?as=docx", nil, testkit.Outside()).Want(t, 422)
	}
}

// The PDF of what was issued is drawn from what was kept with it.
func TestThePDFOfWhatWasIssuedStaysTheSame(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtAccepted)
	orderFor(t, w, true)
	paths := []string{"/api/quotes/{quote}/document", "/api/orders/{order}/document"}
	var before [][]byte
	for _, path := range paths {
		a, _ := pdfOf(t, w, w.Owner.Client, path)
		before = append(before, a.Body)
	}
	shop := w.Owner.Do(t, "GET", "/api/shop", nil).Want(t, 200)
	var body struct {
		Settings map[string]any `json:"settings"`
	}
	if err := json.Unmarshal(shop.Body, &body); err != nil {
		t.Fatal(err)
	}
	body.Settings["address"] = "Moved since."
	w.Owner.Do(t, "PUT", "/api/shop", body.Settings, testkit.IfMatch(shop.ETag())).Want(t, 200)
	if _, now := pdfOf(t, w, w.Owner.Client, "/api/jobs/{job}/stop-now"); !strings.Contains(now, "Movedsince.") {
		t.Error("the shop has not moved, so this shows nothing")
	}
	for i, path := range paths {
		if a, _ := pdfOf(t, w, w.Owner.Client, path); !bytes.Equal(a.Body, before[i]) {
			t.Errorf("%s: the PDF changed with the shop", a.Asked)
		}
	}
}

func TestAClientsReportHoldsNoDraft(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtAccepted)
	w.Uncover(t)
	draft := w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}/inspection"), nil).Want(t, 201)
	title := pdftext.Tight(draft.Text("/summary/title"))
	if _, text := pdfOf(t, w, w.Owner.Client, "/api/jobs/{job}/inspection-report"); !strings.Contains(text, title+":adraftthatwasnotsent") {
		t.Errorf("the owner's report does not show the draft %q", title)
	}
	if _, text := pdfOf(t, w, w.ClientOf.Client, "/api/client/jobs/{job}/inspection-report"); strings.Contains(text, title) {
		t.Errorf("the client's report shows the draft %q", title)
	}
}

func TestAPhaseOfAnotherJobHasNoCardHere(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	w.Run(t, []testkit.Step{
		{Name: "a phase of another shop", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/phases/{rival_phase}/job-card", Status: 404, Code: "phase-not-found"},
		{Name: "a job of another shop", Who: w.Rival.Client, Do: "GET /api/jobs/{job}/phases/{removal}/job-card", Status: 404, Code: "job-not-found"},
	})
}
