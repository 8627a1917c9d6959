package api_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/testkit"
)

func dec(t testing.TB, text string) decimal.Decimal {
	t.Helper()
	d, err := decimal.NewFromString(text)
	if err != nil {
		t.Fatalf("%q is no decimal", text)
	}
	return d
}

// sum adds the decimals at a key of every item of a list.
func sum(t testing.TB, a *testkit.Answer, list, key string) decimal.Decimal {
	t.Helper()
	total := decimal.Zero
	for i := range a.Len(list) {
		total = total.Add(dec(t, a.Text(fmt.Sprintf("%s/%d/%s", list, i, key))))
	}
	return total
}

// tie checks that the sums of a job page meet to the minor unit: phases to the
// net, tasks and lines to the net, net and tax to the total, deposit and draws
// to the total.
func tie(t testing.TB, a *testkit.Answer) {
	t.Helper()
	net, total := dec(t, a.Text("/price/net")), dec(t, a.Text("/price/total"))
	if got := sum(t, a, "/phases", "net"); !got.Equal(net) {
		t.Errorf("%s: phases add up to %s, want the net %s", a.Asked, got, net)
	}
	if got := sum(t, a, "/tasks", "net").Add(sum(t, a, "/lines", "net")); !got.Equal(net) {
		t.Errorf("%s: tasks and lines add up to %s, want the net %s", a.Asked, got, net)
	}
	if got := net.Add(dec(t, a.Text("/price/tax"))); !got.Equal(total) {
		t.Errorf("%s: net and tax add up to %s, want the total %s", a.Asked, got, total)
	}
	if got := sum(t, a, "/price/draws", "amount"); !got.Equal(total) {
		t.Errorf("%s: deposit and draws add up to %s, want the total %s", a.Asked, got, total)
	}
	if got := net.Sub(dec(t, a.Text("/price/cost"))); !got.Equal(dec(t, a.Text("/price/margin"))) {
		t.Errorf("%s: net less cost is %s, want the margin %s", a.Asked, got, a.Text("/price/margin"))
	}
}

// ownersOnly are words that no client's answer holds, in any field.
var ownersOnly = []string{"cost", "margin", "markup", "wage", "sold_hours"}

var (
	decimalToken = regexp.MustCompile(`-?\d[\d,]*\.\d+`)
	styleTag     = regexp.MustCompile(`(?s)<style>.*?</style>`)
)

// secrets collects from the owner's page every figure that is the owner's own:
// what stands under a key such as cost or markup_percent, and the wages, unless
// the same figure is also one that a client may read.
func secrets(page *testkit.Answer) map[string]string {
	out, open := map[string]string{testkit.CostRate: "a wage", testkit.CostRate2: "a wage"}, map[string]bool{}
	var walk func(key string, v any)
	walk = func(key string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, inner := range v {
				walk(k, inner)
			}
		case []any:
			for _, inner := range v {
				walk(key, inner)
			}
		case string:
			switch key {
			case "cost", "margin", "margin_percent", "unit_cost", "markup_percent", "waste_percent":
				out[v] = key
			case "net", "tax", "total", "amount", "base", "percent", "quantity", "mean_hours", "labour_net", "material_net", "sublet_net", "other_net":
				open[v] = true
			}
		}
	}
	walk("", page.JSON())
	for v := range open {
		delete(out, v)
	}
	return out
}

// keepsToTheClient fails when a client's answer holds a word or a figure that
// is the owner's own.
func keepsToTheClient(t testing.TB, owners, a *testkit.Answer) {
	t.Helper()
	own := secrets(owners)
	if len(own) < 10 {
		t.Fatalf("only %d secret figures on the owner's page; the check would be blind", len(own))
	}
	shown := &testkit.Answer{Asked: a.Asked, Body: styleTag.ReplaceAll(a.Body, nil)} // a style sheet has margins too
	shown.Never(t, ownersOnly...)
	for _, token := range decimalToken.FindAllString(string(shown.Body), -1) {
		if what, secret := own[strings.ReplaceAll(token, ",", "")]; secret {
			t.Errorf("%s: the client reads %s, which is %s", a.Asked, token, what)
		}
	}
}

func TestTheLeakCheckSeesALeak(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtQuoted)
	page := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}"), nil).Want(t, 200)
	own := secrets(page)
	for _, figure := range []string{testkit.TrialMaterialCost, testkit.TrialSubletCost, "17.5", "12.5"} {
		if own[figure] == "" {
			t.Errorf("%s is on the owner's page and not among the %d secrets", figure, len(own))
		}
	}
}

// largest returns the key of the seeds' largest template.
func largest(t testing.TB) string {
	t.Helper()
	key, most := "", 0
	for _, plan := range testkit.Starting(t).Templates {
		if len(plan.Tasks) > most {
			key, most = plan.Key, len(plan.Tasks)
		}
	}
	if most < 40 {
		t.Fatalf("the largest template has %d tasks, want 40 or more", most)
	}
	return key
}

const perimeterOptions = `{"crossmember":"welded","body":"open","air_conditioning":"fitted","undercoating":"sprayed","mount_nuts":"captive"}`

func TestAJobIsQuotedAcceptedWorkedAndFollowed(t *testing.T) {
	tellTheStory(t, testkit.NewWorld(t, testkit.AtEnquiry))
}

func TestTheSameStoryOnPostgreSQL(t *testing.T) {
	tellTheStory(t, testkit.NewWorldOnPostgres(t, testkit.AtEnquiry))
}

func tellTheStory(t *testing.T, w *testkit.World) {
	w.Set("perimeter", w.Template(t, w.Owner, largest(t)))
	var page *testkit.Answer
	keep := func(a *testkit.Answer) { page = a; tie(t, a) }
	estimate(t, w, keep, func() *testkit.Answer { return page })
	sell(t, w, keep, func() *testkit.Answer { return page })
	work(t, w)
	if n := w.TrailLength(t, w.ShopA); n < 15 {
		t.Errorf("the trail has %d entries, want all of the story", n)
	}
}

// moved says how far a decimal of the page moved since the page before.
func moved(t testing.TB, before, after *testkit.Answer, pointer string) decimal.Decimal {
	t.Helper()
	return dec(t, after.Text(pointer)).Sub(dec(t, before.Text(pointer)))
}

func estimate(t *testing.T, w *testkit.World, keep func(*testkit.Answer), page func() *testkit.Answer) {
	w.Run(t, []testkit.Step{
		{Name: "the owner makes a job from the template", Who: w.Owner.Client, Do: "POST /api/jobs", Status: 201,
			Body:  `{"title":"Frame-off restoration","template_id":"{perimeter}","client_id":"{client}","vehicle":{"make":"Corvane","model":"Tern roadster","year":1967,"serial":"T67-01482","options":` + perimeterOptions + `},"not_before":"2027-01-11"}`,
			Want:  map[string]any{"/job/state": "enquiry", "/phases/4/name": testkit.Present, "/tasks/39/id": testkit.Present, "/price/confidence": "not_computed", "/schedule/confidence": "not_computed"},
			Keep:  map[string]string{"job": "/job/id", "a10": "/tasks/0/id", "phase": "/phases/0/id", "chain2": "/schedule/driving_chain/1"},
			After: keep},
		// PERT means by hand (Malcolm et al. 1959): (1+4·1.5+2.5)/6 = 1.58 h was, (6+4·8+12)/6 = 8.33 h is; at the fitter's
		// 92.00 an hour 145.36 was, 766.36 is: 621.00 more.
		{Name: "changes the hours of a task on the driving chain, and price and date move", Who: w.Owner.Client, Do: "PUT /api/jobs/{job}/tasks/{a10}", IfMatch: "{etag}", Status: 200,
			Body: `{"phase_id":"{phase}","code":"A10","name":"Receive the car","note":"","kind":"work","hours":{"low":"6","likely":"8","high":"12"},"elapsed_hours":"0","lead_days":0,"skill":"fitter","crew":1,"station":"","zone":"","cautions":[],"hold_point":"","tax_class":"repair_labour"}`,
			After: func(a *testkit.Answer) {
				if got := moved(t, page(), a, "/price/net"); !got.Equal(dec(t, "621.00")) {
					t.Errorf("the net moved by %s, want 621.00", got)
				}
				if a.Text("/schedule/finish") <= page().Text("/schedule/finish") {
					t.Errorf("the finish went from %s to %s, want later", page().Text("/schedule/finish"), a.Text("/schedule/finish"))
				}
				keep(a)
			}},
		// 180.00 and 15 % on it is 207.00.
		{Name: "adds a sublet line, and the price moves", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/lines", IfMatch: "{etag}", Status: 201,
			Body: `{"phase_id":"{phase}","kind":"sublet","description":"Zinc phosphate dip","quantity":"1","unit":"lot","unit_cost":"180.00","markup_percent":"15","waste_percent":"0","discount_percent":"0","tax_class":"sublet"}`,
			After: func(a *testkit.Answer) {
				if got := moved(t, page(), a, "/price/net"); !got.Equal(dec(t, "207.00")) {
					t.Errorf("the net moved by %s, want 207.00", got)
				}
				if got := moved(t, page(), a, "/price/sublet_net"); !got.Equal(dec(t, "207.00")) {
					t.Errorf("the sublet net moved by %s, want 207.00", got)
				}
				keep(a)
			}},
		{Name: "sends work away for ten working days, and the date moves", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/tasks", IfMatch: "{etag}", Status: 201,
			Body: `{"phase_id":"{phase}","code":"X10","name":"Dip away","note":"","kind":"sublet","hours":{"low":"0","likely":"0","high":"0"},"elapsed_hours":"0","lead_days":10,"skill":"","crew":0,"station":"","zone":"","cautions":[],"hold_point":"","tax_class":"sublet","after":["{a10}"],"before":["{chain2}"]}`,
			After: func(a *testkit.Answer) {
				was, now := instant(t, page().Text("/schedule/finish")), instant(t, a.Text("/schedule/finish"))
				if days := now.Sub(was).Hours() / 24; days < 10 {
					t.Errorf("the finish moved by %.1f days, want ten working days or more", days)
				}
				keep(a)
			}},
		{Name: "a stale edit is refused and says what is stored", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/phases", IfMatch: `"v1"`, Body: `{"name":"Late","position":1}`, Status: 412, Code: "stale-edit",
			Want: map[string]any{"/evidence/job/version": 4}},
	})
}

func instant(t testing.TB, text string) time.Time {
	t.Helper()
	at, err := time.Parse(time.RFC3339, text)
	if err != nil {
		t.Fatal(err)
	}
	return at
}

func sell(t *testing.T, w *testkit.World, keep func(*testkit.Answer), page func() *testkit.Answer) {
	w.Run(t, []testkit.Step{
		{Name: "the owner walks round the car", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/state", IfMatch: "{etag}", Body: `{"to":"surveyed","reason":"Seen from below."}`, Status: 200, After: keep},
		{Name: "issues the quote", Who: w.Owner.Client, Do: "POST /api/jobs/{job}/quotes", IfMatch: "{etag}", Body: `{"valid_days":30,"note":"Thank you."}`, Status: 201,
			Want: map[string]any{"/summary/revision": 1, "/summary/state": "open"}, Keep: map[string]string{"quote": "/summary/id", "document": "/document_hash", "total": "/summary/total"},
			After: func(a *testkit.Answer) {
				if a.Text("/summary/total") != page().Text("/price/total") || a.Text("/cost") != page().Text("/price/cost") {
					t.Errorf("the quote has total %s and cost %s, the estimate %s and %s", a.Text("/summary/total"), a.Text("/cost"), page().Text("/price/total"), page().Text("/price/cost"))
				}
			}},
		{Name: "the client finds the car with a quote to decide", Who: w.ClientOf.Client, Do: "GET /api/client/jobs", Status: 200, Want: map[string]any{"/items/0/id": "{job}", "/items/0/state": "quoted"}},
		{Name: "reads where it stands", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}", Status: 200, Want: map[string]any{"/agreed_amount": "0.00", "/quotes/0/total": "{total}", "/confidence": "not_computed", "/assumptions/0": testkit.Present},
			After: func(a *testkit.Answer) { keepsToTheClient(t, page(), a) }},
		{Name: "reads the quote", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}", Status: 200, Want: map[string]any{"/total": "{total}", "/document_hash": "{document}"},
			After: func(a *testkit.Answer) {
				keepsToTheClient(t, page(), a)
				if got, want := sum(t, a, "/phases", "net"), dec(t, a.Text("/net")); !got.Equal(want) {
					t.Errorf("the client's phases add up to %s, want %s", got, want)
				}
				for i := range a.Len("/phases") {
					at := fmt.Sprintf("/phases/%d", i)
					if got, want := sum(t, a, at+"/lines", "net"), dec(t, a.Text(at+"/net")); !got.Equal(want) {
						t.Errorf("lines of %s add up to %s, want %s", a.Text(at+"/name"), got, want)
					}
				}
			}},
		{Name: "reads the document", Who: w.ClientOf.Client, Do: "GET /api/client/quotes/{quote}/document", Status: 200, After: func(a *testkit.Answer) { keepsToTheClient(t, page(), a) }},
		{Name: "accepts by name and signature", Who: w.ClientOf.Client, Do: "POST /api/client/quotes/{quote}/decision", Status: 200,
			Body: `{"outcome":"accepted","name":"Mirel Dance","signature":"Mirel Dance","document_hash":"{document}","reason":""}`,
			Want: map[string]any{"/state": "accepted", "/decision/how": "portal", "/decision/amount": "{total}", "/decision/signature": "Mirel Dance"}, After: func(a *testkit.Answer) { keepsToTheClient(t, page(), a) }},
		{Name: "the owner sees amount, promise and baseline agreed", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200,
			Want:  map[string]any{"/job/state": "accepted", "/job/authorised_amount": "{total}", "/job/promise": testkit.Present, "/tasks/0/scope": "authorised", "/tasks/0/times/baseline_start": testkit.Present},
			After: keep},
	})
}

func work(t *testing.T, w *testkit.World) {
	var owners *testkit.Answer
	w.Clock.Set(time.Date(2027, 1, 11, 8, 0, 0, 0, time.UTC))
	w.SignIn(t, w.Owner.Client, w.Owner.Email) // the weeks between ended the sessions
	w.SignIn(t, w.Tech.Client, w.Tech.Email)
	w.OpenLink(t, w.ClientOf.Client, w.LinkFor(t, w.Owner, w.ClientOf.ID, ""))
	w.Run(t, []testkit.Step{
		{Name: "the technician sees what is next and why", Who: w.Tech.Client, Do: "GET /api/bench/today", Status: 200, Want: map[string]any{"/next/0/task_id": "{a10}", "/next/0/why": testkit.Present, "/clock": testkit.Absent},
			Never: []string{"cost", "margin", `"net"`, "rate", "{total}"}},
		{Name: "clocks in", Who: w.Tech.Client, Do: "POST /api/bench/clock/start", Body: `{"task_id":"{a10}"}`, Key: "clock-in-once", Status: 201, Want: map[string]any{"/minutes": 0, "/finished_at": testkit.Absent}, Keep: map[string]string{"entry": "/id"}},
		{Name: "the network drops and the same request comes again", Who: w.Tech.Client, Do: "POST /api/bench/clock/start", Body: `{"task_id":"{a10}"}`, Key: "clock-in-once", Status: 201, Want: map[string]any{"/id": "{entry}"}},
		{Name: "clocks out ninety minutes later with hours to go", Who: w.Tech.Client, Do: "POST /api/bench/clock/stop", Body: `{"hours_to_go":"4.50","done":false,"note":"Gaps measured."}`, Status: 201,
			Before: func() { w.Clock.Advance(90 * time.Minute) }, Want: map[string]any{"/id": "{entry}", "/minutes": 90, "/hours_to_go": "4.50"}},
		// Earned by hours to go: 1.5 worked of 1.5+4.5 is a quarter of the task.
		{Name: "the owner sees hours, forecast and state move", Who: w.Owner.Client, Do: "GET /api/jobs/{job}", Status: 200,
			Want: map[string]any{"/job/state": "in_work", "/progress/worked_hours": "1.50", "/tasks/0/worked_hours": "1.50", "/tasks/0/to_go_hours": "4.50", "/tasks/0/state": "in_work", "/tasks/0/actual_start": "2027-01-11T08:00:00Z"},
			After: func(a *testkit.Answer) {
				owners = a
				tie(t, a)
				if n := w.Owner.Do(t, "GET", w.Fill("/api/jobs/{job}/hours"), nil).Want(t, 200).Len("/items"); n != 1 {
					t.Errorf("the record has %d entries, want the one that was logged", n)
				}
			}},
		{Name: "the client sees the same progress", Who: w.ClientOf.Client, Do: "GET /api/client/jobs/{job}", Status: 200,
			Want: map[string]any{"/summary/state": "in_work", "/agreed_amount": "{total}", "/phases/0/state": "in_work", "/next/0/name": testkit.Present},
			After: func(a *testkit.Answer) {
				keepsToTheClient(t, owners, a)
				for _, p := range []string{"0", "1"} {
					mine, theirs := a.Text("/phases/"+p+"/percent_done"), owners.Text("/phases/"+p+"/progress/percent_done")
					if mine != theirs || mine == "" {
						t.Errorf("phase %s: the client reads %q %%, the owner %q %%", p, mine, theirs)
					}
				}
			}},
		{Name: "the trail tells who did what, newest first", Who: w.Owner.Client, Do: "GET /api/jobs/{job}/trail", Status: 200,
			Want: map[string]any{"/items/0/action": "stopClock", "/items/0/actor": "Jory Haldane", "/items/1/action": "startClock", "/items/2/action": "decideQuote"}},
	})
}
