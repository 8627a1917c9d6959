package api_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
	"bareframe/internal/testkit"
)

func TestTheShopChoosesItsRules(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	rules := func(set, overrides, rest string) string {
		return `{"rule_set":"` + set + `","overrides":` + overrides + `,"warn_percent":"80","teardown":"0.00","reassembly":"0.00","storage_per_day":"0.00","storage_free_days":0` + rest + `}`
	}
	put := "PUT /api/shop/rules"
	w.Run(t, []testkit.Step{
		{Name: "rule sets name source and day and say to check local law", Who: w.Owner.Client, Do: "GET /api/rule-sets", Status: 200,
			Want: map[string]any{"/items/0/code": "california", "/items/0/source": testkit.Present, "/items/0/read_on": testkit.Present, "/items/0/check": testkit.Present}},
		{Name: "a new shop goes by the careful rule", Who: w.Owner.Client, Do: "GET /api/shop/rules", Status: 200,
			Want: map[string]any{"/version": 1, "/settings/rule_set": "house-any-increase", "/rule_set/shape": "none_over", "/settings/warn_percent": "80"}},
		{Name: "without a version it stays", Who: w.Owner.Client, Do: put, Body: rules("michigan", "{}", ""), Status: 428, Code: "if-match-missing"},
		{Name: "an unknown rule set is refused", Who: w.Owner.Client, Do: put, IfMatch: `"v1"`, Body: rules("atlantis", "{}", ""), Status: 422, Code: "rule-set-not-found", Field: "/rule_set"},
		{Name: "a figure that the shape has not is refused", Who: w.Owner.Client, Do: put, IfMatch: `"v1"`, Body: rules("house-any-increase", `{"amount":"10.00"}`, ""), Status: 422, Code: "local-rules", Field: "/overrides/amount"},
		{Name: "a percent above 100 is refused", Who: w.Owner.Client, Do: put, IfMatch: `"v1"`, Body: rules("michigan", `{"percent":"101"}`, ""), Status: 422, Code: "local-rules", Field: "/overrides/percent"},
		{Name: "a cent's tenth is refused", Who: w.Owner.Client, Do: put, IfMatch: `"v1"`, Body: strings.Replace(rules("michigan", "{}", ""), `"teardown":"0.00"`, `"teardown":"0.001"`, 1), Status: 422, Code: "shop-rules-invalid", Field: "/teardown"},
		{Name: "a warning at nothing is refused", Who: w.Owner.Client, Do: put, IfMatch: `"v1"`, Body: strings.Replace(rules("michigan", "{}", ""), `"warn_percent":"80"`, `"warn_percent":"0"`, 1), Status: 422, Code: "shop-rules-invalid", Field: "/warn_percent"},
		{Name: "a member too many is refused", Who: w.Owner.Client, Do: put, IfMatch: `"v1"`, Body: rules("michigan", "{}", `,"more":1`), Status: 422, Code: "request-invalid"},
		{Name: "a rule set with an own figure is taken", Who: w.Owner.Client, Do: put, IfMatch: `"v1"`, Body: rules("michigan", `{"amount":"5.00"}`, ""), Status: 200,
			Want: map[string]any{"/version": 2, "/rule_set/figures/amount": "5.00", "/rule_set/figures/percent": "10", "/settings/overrides/amount": "5.00"}},
		{Name: "the older version is stale", Who: w.Owner.Client, Do: put, IfMatch: `"v1"`, Body: rules("ohio", "{}", ""), Status: 412, Code: "stale-edit", Want: map[string]any{"/evidence/settings/rule_set": "michigan"}},
		{Name: "the other shop has its own", Who: w.Rival.Client, Do: "GET /api/shop/rules", Status: 200, Want: map[string]any{"/version": 1}},
	})
	w.TrailLength(t, w.ShopA)
}

func TestSomebodyElseMayAuthorise(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	name := "POST /api/jobs/{job}/authorisers"
	w.Run(t, []testkit.Step{
		{Name: "the client can", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/authorisers", Status: 200, Want: map[string]any{"/items/0/client": true, "/items/0/name": "Mirel Dance", "/items/1": testkit.Absent}},
		{Name: "the client need not be named", Who: w.Owner.Client, Do: name, Body: `{"name":" mirel  DANCE","contact":"1","note":""}`, Status: 422, Code: "authoriser-named", Field: "/name"},
		{Name: "another person is named", Who: w.Owner.Client, Do: name, Body: `{"name":"Odra Dance","contact":"+00 555 0118","note":""}`, Status: 201, Keep: map[string]string{"named": "/items/1/id"}},
		{Name: "not twice", Who: w.Owner.Client, Do: name, Body: `{"name":"Odra dance","contact":"2","note":""}`, Status: 422, Code: "authoriser-named"},
		{Name: "a name of blanks is none", Who: w.Owner.Client, Do: name, Body: `{"name":"  ","contact":"2","note":""}`, Status: 422, Code: "request-invalid", Field: "/name"},
		{Name: "a name with a line break is none", Who: w.Owner.Client, Do: name, Body: `{"name":"A\nB","contact":"2","note":""}`, Status: 422, Code: "request-invalid", Field: "/name"},
		{Name: "another shop's owner finds nobody", Who: w.Rival.Client, Do: "POST /api/authorisers/{named}/end", Body: `{"reason":"Because."}`, Status: 404, Code: "authoriser-not-found"},
		{Name: "it ends", Who: w.Owner.Client, Do: "POST /api/authorisers/{named}/end", Body: `{"reason":"The client asked for it."}`, Status: 200, Want: map[string]any{"/items/1/ended_at": testkit.Present}},
		{Name: "once", Who: w.Owner.Client, Do: "POST /api/authorisers/{named}/end", Body: `{"reason":"The client asked for it."}`, Status: 409, Code: "authoriser-ended"},
		{Name: "and may begin again", Who: w.Owner.Client, Do: name, Body: `{"name":"Odra Dance","contact":"2","note":""}`, Status: 201},
	})
}

func TestMoneyOverHTTP(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	pay := "POST /api/jobs/{job}/payments"
	supply := "POST /api/jobs/{job}/lines/{line}/supply"
	w.Run(t, []testkit.Step{
		{Name: "the owner reads what was agreed", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/money", Status: 200,
			Want: map[string]any{"/agreed/0/amount": "{total}", "/authorised": "{total}", "/state": "ok", "/invoiced": "0.00", "/check": testkit.Present, "/stop_now/words/0": testkit.Present}},
		{Name: "a payment of nothing is refused", Who: w.Owner.Client, Do: pay, Body: `{"amount":"0.00","paid_on":"2026-11-25","how":"cash","note":""}`, Status: 422, Code: "payment-invalid", Field: "/amount"},
		{Name: "a negative one by the contract", Who: w.Owner.Client, Do: pay, Body: `{"amount":"-5.00","paid_on":"2026-11-25","how":"cash","note":""}`, Status: 422, Code: "request-invalid", Field: "/amount"},
		{Name: "a number is not an amount", Who: w.Owner.Client, Do: pay, Body: `{"amount":5,"paid_on":"2026-11-25","how":"cash","note":""}`, Status: 422, Code: "request-invalid", Field: "/amount"},
		{Name: "a day that is none", Who: w.Owner.Client, Do: pay, Body: `{"amount":"5.00","paid_on":"2026-02-30","how":"cash","note":""}`, Status: 422, Code: "value-not-readable", Field: "/paid_on"},
		{Name: "tomorrow is no payment", Who: w.Owner.Client, Do: pay, Body: `{"amount":"5.00","paid_on":"2026-11-26","how":"cash","note":""}`, Status: 422, Code: "payment-invalid", Field: "/paid_on"},
		{Name: "an unknown way", Who: w.Owner.Client, Do: pay, Body: `{"amount":"5.00","paid_on":"2026-11-25","how":"shells","note":""}`, Status: 422, Code: "request-invalid", Field: "/how"},
		{Name: "a payment comes in", Who: w.Owner.Client, Do: pay, Key: "payment-key-1", Body: `{"amount":"250.50","paid_on":"2026-11-25","how":"card","note":"Deposit"}`, Status: 201, Want: map[string]any{"/paid": "250.50"}, Keep: map[string]string{"payment": "/payments/0/id"}},
		{Name: "sent again it is kept once", Who: w.Owner.Client, Do: pay, Key: "payment-key-1", Body: `{"amount":"250.50","paid_on":"2026-11-25","how":"card","note":"Deposit"}`, Status: 201, Want: map[string]any{"/paid": "250.50", "/payments/1": testkit.Absent}},
		{Name: "another shop's owner voids nothing", Who: w.Rival.Client, Do: "POST /api/payments/{payment}/void", Body: `{"reason":"Because."}`, Status: 404, Code: "payment-not-found"},
		{Name: "what was ordered and stays counts", Who: w.Owner.Client, Do: supply, Body: `{"state":"ordered","returnable":false,"restocking_fee":"0.00","note":"Made to order"}`, Status: 200, Want: map[string]any{"/supplies/0/state": "ordered", "/supplies/0/returnable": false, "/ordered": "103.69"}},
		{Name: "a fee for what stays is refused", Who: w.Owner.Client, Do: supply, Body: `{"state":"ordered","returnable":false,"restocking_fee":"1.00","note":""}`, Status: 422, Code: "supply-invalid", Field: "/restocking_fee"},
		{Name: "a line of another shop is not found", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/lines/{rival_line}/supply", Body: `{"state":"ordered","returnable":false,"restocking_fee":"0.00","note":""}`, Status: 404, Code: "line-not-found"},
		{Name: "another job's line is not found", Who: w.Owner.Client, Do: "POST /api/jobs/{other_job}/lines/{line}/supply", Body: `{"state":"ordered","returnable":false,"restocking_fee":"0.00","note":""}`, Status: 404, Code: "line-not-found"},
		{Name: "an override below the stop is refused", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/money/override", Body: `{"up_to":"1.00","reason":"Because."}`, Status: 422, Code: "override-invalid", Field: "/up_to"},
		{Name: "an override on a job that was not sold is refused", Who: w.Owner.Client, Do: "POST /api/jobs/{other_job}/money/override", Body: `{"up_to":"100.00","reason":"Because."}`, Status: 409, Code: "job-not-in-work"},
		{Name: "an override is taken", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/money/override", Body: `{"up_to":"31000.00","reason":"Primer must go on."}`, Status: 200, Want: map[string]any{"/overrides/0/reason": "Primer must go on."}},
		{Name: "the client reads agreement, payment and reason, and not how the shop stands", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}/money", Status: 200,
			Want:  map[string]any{"/authorised": "{total}", "/paid": "250.50", "/payments/0/how": "card", "/overrides/0/reason": "Primer must go on.", "/draws/0/amount": testkit.Present},
			Never: []string{"exposure", "worked", "stop_now", "supplies", testkit.TrialMaterialCost, "103.69", "Deposit\""}},
		{Name: "the bill prints", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/stop-now", Status: 200, Never: []string{testkit.CostRate, testkit.TrialMaterialCost}, After: func(a *testkit.Answer) {
			for _, part := range []string{"If the work stopped now", "Check your local law", "titleblock", "not an invoice", "Fuel system made safe", "250.50"} {
				if !strings.Contains(string(a.Body), part) {
					t.Errorf("the document lacks %q", part)
				}
			}
		}},
		{Name: "a technician reads no money", Who: w.Tech.Client, Do: "GET /api/jobs/{job}/money", Status: 403, Code: "not-for-this-role"},
		{Name: "the payment is voided", Who: w.Owner.Client, Do: "POST /api/payments/{payment}/void", Body: `{"reason":"Booked on the wrong job."}`, Status: 200, Want: map[string]any{"/paid": "0.00", "/payments/0/void": true}},
		{Name: "the client sees it no more", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}/money", Status: 200, Want: map[string]any{"/payments/0": testkit.Absent}},
	})
	w.TrailLength(t, w.ShopA)
}

func TestLettersOverHTTP(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	send := "POST /api/jobs/{job}/letters"
	w.Run(t, []testkit.Step{
		{Name: "a draft waits", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/letters", Status: 200, Want: map[string]any{"/items/0": testkit.Absent, "/draft/subject": testkit.Present}, Never: []string{testkit.CostRate, "{total}"}},
		{Name: "a subject of two lines is refused", Who: w.Owner.Client, Do: send, Body: `{"subject":"Hi\r\nBcc: all@example.org","text":"x"}`, Status: 422, Code: "request-invalid", Field: "/subject"},
		{Name: "an empty text too", Who: w.Owner.Client, Do: send, Body: `{"subject":"Hi","text":" \n "}`, Status: 422, Code: "request-invalid", Field: "/text"},
		{Name: "and one too long", Who: w.Owner.Client, Do: send, Body: `{"subject":"Hi","text":"` + strings.Repeat("x", 8001) + `"}`, Status: 422, Code: "request-invalid", Field: "/text"},
		{Name: "it is sent", Who: w.Owner.Client, Do: send, Body: `{"subject":"Your car this week","text":"<b>Primed</b>\nand dry."}`, Status: 201, Want: map[string]any{"/number": 1, "/mail": "waiting"}},
		{Name: "the mail waits", Who: w.Owner.Client, Do: "GET /api/mail?limit=1", Status: 200, Want: map[string]any{"/configured": true, "/items/0/subject": "Your car this week", "/items/0/to": "mirel@example.org", "/next_cursor": testkit.Present}, Keep: map[string]string{"mail": "/items/0/id", "next": "/next_cursor"}},
		{Name: "the next page goes on", Who: w.Owner.Client, Do: "GET /api/mail?limit=50&cursor={next}", Status: 200, Never: []string{"{mail}"}},
		{Name: "another shop's owner retries nothing", Who: w.Rival.Client, Do: "POST /api/mail/{mail}/retry", Status: 404, Code: "message-not-found"},
		{Name: "a retry waits again", Who: w.Owner.Client, Do: "POST /api/mail/{mail}/retry", Status: 200, Want: map[string]any{"/state": "waiting"}},
		{Name: "the client reads it", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}/letters", Status: 200, Want: map[string]any{"/items/0/text": "<b>Primed</b>\nand dry.", "/items/0/number": 1}},
		{Name: "another client does not", Who: w.OtherClient.Client, Do: "GET /api/client/jobs/{job}/letters", Status: 404, Code: "not-found"},
		{Name: "a client without an address gets no mail", Who: w.Owner.Client, Do: "POST /api/jobs/{other_job}/letters", Body: `{"subject":"Hi","text":"x"}`, Status: 201, Want: map[string]any{"/mail": testkit.Absent}},
	})
	w.TrailLength(t, w.ShopA)
}

// stopped is the part of a hand-worked bill that this test is held against.
type stopped struct {
	Source string `json:"source"`
	Input  struct {
		TaxRates []struct{ Class, Percent string } `json:"tax_rates"`
		Labour   []struct {
			Description string `json:"description"`
			Minutes     int    `json:"minutes"`
			Rate        string `json:"rate"`
			TaxClass    string `json:"tax_class"`
		} `json:"labour"`
	} `json:"input"`
	Want struct {
		Lines                          []struct{ Kind, ID, Net string } `json:"lines"`
		Net, Tax, Total, Paid, Balance string
	} `json:"want"`
}

// The bill of a real job, through HTTP, is the one that testdata/billing has
// worked by hand: the same minutes, parts, terms and payments. Of its lines the
// teardown is missing: here a quote that names no charge for it has no line.
func TestStopNowAgainstTheBillWorkedByHand(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join(testkit.Root(t), "testdata", "billing", "stop_now_per_document.json"))
	if err != nil {
		t.Fatal(err)
	}
	var c stopped
	if err := json.Unmarshal(raw, &c); err != nil {
		t.Fatal(err)
	}
	s := testkit.Open(t)
	owner, jobID := jobThatStopped(t, s, c)
	m := owner.Do(t, "GET", "/api/jobs/"+jobID+"/money", nil).Want(t, 200)
	for at, want := range map[string]string{"net": c.Want.Net, "tax": c.Want.Tax, "total": c.Want.Total, "paid": c.Want.Paid, "balance": c.Want.Balance} {
		if got := m.Text("/stop_now/" + at); got != want {
			t.Errorf("%s: got %s, want %s (%s)", at, got, want, c.Source)
		}
	}
	var want, got []string
	for _, l := range c.Want.Lines {
		if l.Kind != "teardown" {
			want = append(want, l.Kind+" "+l.Net)
		}
	}
	for i := range m.Len("/stop_now/lines") {
		got = append(got, m.Text(fmt.Sprintf("/stop_now/lines/%d/kind", i))+" "+m.Text(fmt.Sprintf("/stop_now/lines/%d/net", i)))
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("lines:\n got %v\nwant %v", got, want)
	}
	page := string(owner.Do(t, "GET", "/api/jobs/"+jobID+"/stop-now", nil).Want(t, 200).Body)
	for _, part := range []string{"7,457.25", "1,957.25", "5,500.00", "85.88", "Storage", "Reassembly", "Check your local law"} {
		if !strings.Contains(page, part) {
			t.Errorf("the document lacks %q", part)
		}
	}
}

// jobThatStopped plays a job up to where the hand-worked bill stands: nineteen
// days after it was cancelled.
func jobThatStopped(t *testing.T, s *testkit.Stack, c stopped) (*testkit.Client, domain.ID) {
	t.Helper()
	ctx, d := t.Context(), decimal.RequireFromString
	set := app.StartingSettings("Hollow Bank Frames", "USD", "UTC", "en", "inch")
	for i := range set.TaxRates {
		for _, r := range c.Input.TaxRates {
			if string(set.TaxRates[i].Class) == r.Class {
				set.TaxRates[i].Percent = d(r.Percent)
			}
		}
	}
	plan := domain.TemplatePlan{Key: "stopped", Name: "Stopped", Phases: []domain.TemplatePhase{{Key: "strip", Name: "Strip"}}}
	book := domain.PriceBook{Materials: []domain.Material{}}
	for i, l := range c.Input.Labour {
		skill := fmt.Sprint("skill_", i)
		book.Labour = append(book.Labour, domain.LabourRate{Skill: skill, Name: skill, CostRate: d("1"), SellRate: d(l.Rate)})
		plan.Tasks = append(plan.Tasks, domain.TemplateTask{Key: fmt.Sprintf("T%d0", i), Phase: "strip", Name: l.Description, Kind: domain.Work,
			Hours: domain.ThreePoint{Low: d("90"), Likely: d("90"), High: d("90")}, Skill: skill, Crew: 1, TaxClass: pricing.TaxClass(l.TaxClass), Cautions: []string{}})
	}
	for _, l := range []struct {
		kind     pricing.Kind
		net, tax string
	}{{pricing.Material, "60.84", "part"}, {pricing.Material, "255.40", "consumable"}, {pricing.Fee, "45.00", "exempt"}, {pricing.Material, "495.00", "part"},
		{pricing.Material, "306.80", "part"}, {pricing.Material, "120.00", "part"}, {pricing.Credit, "60.00", "part"}} {
		plan.Lines = append(plan.Lines, domain.TemplateLine{Key: fmt.Sprint("L", len(plan.Lines)), Phase: "strip", Kind: l.kind, Description: l.net, Quantity: d("1"), Unit: "pc",
			UnitCost: d(l.net), TaxClass: pricing.TaxClass(l.tax)})
	}
	shop, boss, err := s.App.OpenShop(ctx, app.NewShop{Settings: set, Calendar: app.StartingCalendar(), PriceBook: book, Templates: []domain.TemplatePlan{plan},
		OwnerName: "Ilse Varga", Email: "owner@example.org", Password: testkit.Password}, true)
	ok := func(what string, err error) {
		t.Helper()
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
	}
	ok("opening", err)
	o := domain.Actor{ShopID: shop, PersonID: boss, Name: "Ilse Varga", Role: domain.Owner, From: "test"}
	browser := s.Browser("owner")
	browser.Do(t, "POST", "/api/sessions", map[string]string{"email": "owner@example.org", "password": testkit.Password}).Want(t, 201)
	tag := browser.Do(t, "GET", "/api/shop/rules", nil).Want(t, 200).ETag()
	browser.Do(t, "PUT", "/api/shop/rules", `{"rule_set":"house-any-increase","overrides":{},"warn_percent":"80","teardown":"0.00","reassembly":"1380.00","storage_per_day":"12.00","storage_free_days":14}`, testkit.IfMatch(tag)).Want(t, 200)
	client, err := s.App.AddPerson(ctx, o, testkit.FreshKey(), domain.Person{Name: "Mirel Dance", Role: domain.Client, Skills: []string{}, Active: true})
	ok("client", err)
	templates, err := s.App.Templates(ctx, o)
	ok("templates", err)
	p, err := s.App.CreateJob(ctx, o, testkit.FreshKey(), app.NewJob{Title: "Frame", TemplateID: templates[0].ID, ClientID: client.ID,
		Vehicle: domain.Vehicle{Make: "Corvane", Model: "Tern", Year: 1967, Options: map[string]string{}}})
	ok("job", err)
	q, err := s.App.IssueQuote(ctx, o, p.Job.ID, app.Precondition{Given: true, Version: p.Job.Version}, testkit.FreshKey(), 30, "")
	ok("quote", err)
	doc := string(browser.Do(t, "GET", "/api/quotes/"+q.ID+"/document", nil).Want(t, 200).Body)
	for _, part := range []string{"If the work is stopped early", "Reassembly 1,380.00 USD", "Storage 12.00 USD a day after the first 14 days"} {
		if !strings.Contains(doc, part) {
			t.Errorf("the quote does not state %q", part)
		}
	}
	_, err = s.App.RecordDecision(ctx, o, q.ID, testkit.FreshKey(), domain.Decision{Accepted: true, How: domain.InPerson, Name: "Mirel Dance", DecidedAt: s.Clock.Now(), Amount: q.Total})
	ok("accepting", err)
	// terms that change afterwards do not reach what was quoted
	tag = browser.Do(t, "GET", "/api/shop/rules", nil).Want(t, 200).ETag()
	browser.Do(t, "PUT", "/api/shop/rules", `{"rule_set":"house-any-increase","overrides":{},"warn_percent":"80","teardown":"350.00","reassembly":"9.00","storage_per_day":"99.00","storage_free_days":0}`, testkit.IfMatch(tag)).Want(t, 200)
	at := s.Clock.Now().AddDate(0, 0, -10)
	for i, l := range c.Input.Labour {
		for left := l.Minutes; left > 0; left -= 900 {
			to := at.Add(time.Duration(min(left, 900)) * time.Minute)
			_, err := s.App.LogHours(ctx, o, testkit.FreshKey(), app.Log{On: app.Target{TaskID: p.Estimate.Tasks[i].ID}, StartedAt: at, FinishedAt: to})
			ok("hours", err)
			at = to
		}
	}
	for i, note := range []string{`"fitted","returnable":false,"restocking_fee":"0.00"`, `"fitted","returnable":false,"restocking_fee":"0.00"`, `"fitted","returnable":false,"restocking_fee":"0.00"`,
		`"ordered","returnable":false,"restocking_fee":"0.00"`, `"ordered","returnable":true,"restocking_fee":"30.00"`, `"ordered","returnable":true,"restocking_fee":"0.00"`} {
		browser.Do(t, "POST", "/api/jobs/"+p.Job.ID+"/lines/"+p.Estimate.Lines[i].ID+"/supply", `{"state":`+note+`,"note":""}`).Want(t, 200)
	}
	for _, amount := range []string{"4000.00", "1500.00"} {
		browser.Do(t, "POST", "/api/jobs/"+p.Job.ID+"/payments", `{"amount":"`+amount+`","paid_on":"2026-11-23","how":"transfer","note":""}`).Want(t, 201)
	}
	version := browser.Do(t, "GET", "/api/jobs/"+p.Job.ID, nil).Want(t, 200).ETag()
	browser.Do(t, "POST", "/api/jobs/"+p.Job.ID+"/state", `{"to":"cancelled","reason":"The client stops."}`, testkit.IfMatch(version)).Want(t, 200)
	s.Clock.Advance(19 * 24 * time.Hour)
	browser.Do(t, "POST", "/api/sessions", map[string]string{"email": "owner@example.org", "password": testkit.Password}).Want(t, 201)
	return browser, p.Job.ID
}
