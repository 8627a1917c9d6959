package api_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/policy"
	"bareframe/internal/testkit"
)

// The table of this file is written from the description of the people
// (owner, technician, client: what each must get done and must never see), not
// from package policy, so that the two hold each other.

// reach says what of a shop an operation's path reaches for.
type reach int

const (
	nothing reach = iota // no identifier in the path
	shops                // something of the shop: another shop's is not found
	ownJob               // a job of the client's own: anybody else's is not found
	own                  // something of the person's own: the test passes their own
	public               // open to everybody, whatever they send
)

type row struct {
	who string // letters: o owner, t technician, c client
	on  reach
}

var grid = map[string]row{
	"getHealth": {"", public}, "getReadiness": {"", public}, "getSetup": {"", public}, "setUpShop": {"", public},
	"signIn": {"", public}, "acceptInvitation": {"", public}, "openClientLink": {"", public},
	"signOut": {"otc", nothing}, "listSessions": {"otc", nothing}, "endSession": {"otc", own}, "getMe": {"otc", nothing},
	"changePassword": {"otc", nothing}, "streamEvents": {"otc", nothing},

	"listPeople": {"o", nothing}, "addPerson": {"o", nothing}, "getPerson": {"o", shops}, "changePerson": {"o", shops},
	"invitePerson": {"o", shops}, "listClientLinks": {"o", shops}, "makeClientLink": {"o", shops}, "revokeClientLink": {"o", shops},

	"getShop": {"o", nothing}, "changeShop": {"o", nothing}, "listTexts": {"o", nothing}, "previewText": {"o", nothing}, "getCalendar": {"o", nothing}, "changeCalendar": {"o", nothing},
	"getPriceBook": {"o", nothing}, "listPrices": {"o", nothing}, "setPrices": {"o", nothing}, "previewPrices": {"o", nothing}, "importPrices": {"o", nothing}, "exportPrices": {"o", nothing}, "getMovedPrices": {"o", shops}, "takeTodaysPrices": {"o", shops},
	"listTemplates": {"o", nothing}, "getTemplate": {"o", shops},
	"addTemplate": {"o", nothing}, "saveTemplate": {"o", shops}, "restoreTemplate": {"o", shops}, "retireTemplate": {"o", shops}, "listTemplateRevisions": {"o", shops}, "previewTemplate": {"o", nothing},

	"listJobs": {"o", nothing}, "createJob": {"o", nothing}, "getJob": {"o", shops}, "changeJob": {"o", shops}, "moveJob": {"o", shops},
	"addPhase": {"o", shops}, "changePhase": {"o", shops}, "removePhase": {"o", shops},
	"addTask": {"o", shops}, "changeTask": {"o", shops}, "removeTask": {"o", shops}, "releaseHold": {"o", shops}, "openTask": {"o", shops},
	"addLink": {"o", shops}, "changeLink": {"o", shops}, "removeLink": {"o", shops},
	"addLine": {"o", shops}, "changeLine": {"o", shops}, "removeLine": {"o", shops}, "explainPrice": {"o", shops},
	"compareOptions": {"o", shops}, "addOption": {"o", shops}, "changeOption": {"o", shops}, "removeOption": {"o", shops},
	"listJobHours": {"o", shops}, "listTrail": {"o", shops}, "getScheduleHealth": {"o", shops},

	"issueQuote": {"o", shops}, "getQuote": {"o", shops}, "getQuoteDocument": {"o", shops}, "getQuoteWorkbook": {"o", shops}, "getEstimateWorkbook": {"o", shops},
	"exportJob": {"o", shops}, "previewJobFile": {"o", nothing}, "importJob": {"o", nothing}, "previewSelection": {"o", shops}, "withdrawQuote": {"o", shops}, "recordDecision": {"o", shops},

	"getToday": {"ot", nothing}, "listBenchTasks": {"ot", nothing}, "startClock": {"ot", nothing}, "switchClock": {"ot", nothing},
	"stopClock": {"ot", nothing}, "listMyHours": {"ot", nothing}, "logHours": {"ot", nothing}, "correctHours": {"ot", shops},

	"listClientJobs": {"c", nothing}, "getClientJob": {"c", ownJob}, "getClientQuote": {"c", ownJob}, "getClientQuoteDocument": {"c", ownJob}, "getClientQuoteWorkbook": {"c", ownJob}, "previewQuote": {"c", ownJob}, "decideQuote": {"c", ownJob},

	"listOrders": {"o", shops}, "addOrder": {"o", shops}, "gatherFindings": {"o", shops}, "orderOption": {"o", shops}, "getOrder": {"o", shops}, "changeOrder": {"o", shops}, "previewOrder": {"o", shops},
	"sendOrder": {"o", shops}, "withdrawOrder": {"o", shops}, "recordOrderDecision": {"o", shops}, "answerAboutOrder": {"o", shops}, "getOrderDocument": {"o", shops},
	"listClientOrders": {"c", ownJob}, "getClientOrder": {"c", ownJob}, "previewClientOrder": {"c", ownJob}, "decideOrder": {"c", ownJob},
	"askAboutOrder": {"c", ownJob}, "getClientOrderDocument": {"c", ownJob},
	"listFrameLayouts": {"o", nothing}, "getFrame": {"ot", shops}, "layFrame": {"o", shops}, "addZone": {"o", shops}, "changeZone": {"o", shops}, "removeZone": {"o", shops},
	"getFloor": {"ot", nothing}, "planFloor": {"o", nothing}, "cancelPlanning": {"o", nothing}, "decidePlan": {"o", shops}, "tryFloor": {"o", nothing},
	"listTrials": {"o", nothing}, "keepTrial": {"o", shops}, "adoptTrial": {"o", shops}, "dropTrial": {"o", shops}, "unpinTask": {"o", shops}, "getRelief": {"o", nothing}, "getQueue": {"o", shops},
	"listCalendarLinks": {"ot", nothing}, "makeCalendarLink": {"ot", nothing}, "stopCalendarLink": {"ot", shops},
	"getCalendarFeed": {"", public}, "headCalendarFeed": {"", public},
	"getTakeoff": {"o", shops}, "listTakeoffMoves": {"o", shops}, "changeMethods": {"o", shops}, "followTakeoff": {"o", shops},
	"listRemainders": {"o", nothing}, "useRemainder": {"o", shops}, "voidRemainder": {"o", shops},
	"observe": {"ot", shops}, "voidObservation": {"o", shops}, "addPhoto": {"ot", shops}, "getPhoto": {"otc", ownJob},
	"listFindings": {"ot", shops}, "reportFinding": {"ot", shops}, "changeFinding": {"o", shops}, "dismissFinding": {"o", shops}, "suggestRepairs": {"ot", shops},
	"getClientFrame": {"c", ownJob}, "getInspectionReport": {"o", shops}, "getClientInspectionReport": {"c", ownJob}, "getJobCard": {"ot", shops},

	"listSheets": {"o", nothing}, "addSheet": {"o", nothing}, "getSheet": {"o", shops}, "changeSheet": {"o", shops}, "retireSheet": {"o", shops},
	"setJobSheet": {"o", shops}, "getJobPoints": {"o", shops}, "getClientPoints": {"c", ownJob},

	"listCalculations": {"ot", nothing}, "calculate": {"ot", nothing},
}

// asker is a column of the grid.
type asker struct {
	name   string
	letter string // role, "" for nobody
	rival  bool   // of another shop
	other  bool   // client of another job
	person func(w *testkit.World) *testkit.Person
}

var askers = []asker{
	{"nobody", "", false, false, nil},
	{"the client of this job", "c", false, false, func(w *testkit.World) *testkit.Person { return w.ClientOf }},
	{"the client of another job", "c", false, true, func(w *testkit.World) *testkit.Person { return w.OtherClient }},
	{"a technician", "t", false, false, func(w *testkit.World) *testkit.Person { return w.Tech }},
	{"the owner", "o", false, false, func(w *testkit.World) *testkit.Person { return w.Owner }},
	{"the owner of another shop", "o", true, false, func(w *testkit.World) *testkit.Person { return w.Rival }},
	{"a technician of another shop", "t", true, false, func(w *testkit.World) *testkit.Person { return w.RivalTech }},
	{"a client of another shop", "c", true, true, func(w *testkit.World) *testkit.Person { return w.RivalClient }},
}

// letIn stands for any answer but a refusal by who asks.
const letIn = 0

func (r row) wants(a asker) int {
	switch {
	case r.on == public:
		return letIn
	case a.letter == "":
		return 401
	case !strings.Contains(r.who, a.letter):
		return 403
	case r.on == shops && a.rival, r.on == ownJob && (a.other || a.rival):
		return 404
	}
	return letIn
}

// changesSession lists what ends or replaces the session of who asks.
var changesSession = []string{"signIn", "acceptInvitation", "openClientLink", "setUpShop", "signOut", "changePassword"}

func TestRouteByRole(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	w.Set("client_link", clientLink(t, w))
	leftOption(t, w)
	orderFor(t, w, true)
	prepareMoney(t, w)
	takeOver(t, w)
	tried(t, w)
	subscribe(t, w)
	w.Uncover(t)
	ops := slices.Clone(w.Contract.Operations)
	slices.SortStableFunc(ops, func(a, b *testkit.Operation) int { // a new password ends the others' sessions: last
		return strings.Compare(lastIf(a.ID == "changePassword"), lastIf(b.ID == "changePassword"))
	})
	for _, op := range ops {
		r, ok := grid[op.ID]
		if !ok {
			t.Errorf("%s %s (%s): got no row in the table, want one", op.Method, op.Path, op.ID)
			continue
		}
		w.Clock.Advance(2 * time.Minute) // attempts are throttled
		if op.ID == "getPhoto" {
			w.Uncover(t) // what hung on it was voided and dismissed by rows before
		}
		if op.ID == "keepTrial" || op.ID == "adoptTrial" {
			tried(t, w) // the last one was dropped
		}
		for _, a := range askers {
			t.Run(op.ID+"/"+a.name, func(t *testing.T) { ask(t, w, op, r, a) })
		}
	}
	for id := range grid {
		if w.Contract.Operation(id) == nil {
			t.Errorf("the table has a row for %s, which is no operation", id)
		}
	}
}

// leftOption gives the sold example job an option that was not taken with its quote.
func leftOption(t *testing.T, w *testkit.World) {
	t.Helper()
	o := domain.Option{ID: "0193f000-0000-7000-8000-fffffffffffe", JobID: w.Job, Name: "Zinc primer", Points: []domain.PointEffect{}}
	err := w.Store.Update(t.Context(), w.ShopA, func(tx app.Tx) error { return tx.AddOptions([]domain.Option{o}) })
	if err != nil {
		t.Fatal(err)
	}
	w.Set("option", o.ID)
}

func lastIf(last bool) string {
	if last {
		return "1"
	}
	return "0"
}

func ask(t *testing.T, w *testkit.World, op *testkit.Operation, r row, a asker) {
	browser := w.Nobody
	if a.person != nil {
		browser = a.person(w).Client
	}
	if slices.Contains(changesSession, op.ID) {
		browser = w.Browser(a.name)
		if a.person != nil {
			browser = w.Elsewhere(t, a.person(w))
		}
		w.Set("token", tokenFor(t, w, op))
	}
	w.Set("session", "0193f000-0000-7000-8000-ffffffffffff")
	if a.person != nil && op.ID == "endSession" {
		w.Set("session", w.Elsewhere(t, a.person(w)).Do(t, "GET", "/api/me", nil).Want(t, 200).Text("/session_id"))
	}
	want := r.wants(a)
	got, said := send(t, w, browser, op)
	switch {
	case want != letIn && got != want:
		t.Errorf("%s %s by %s:\n got %d, want %d\n%s", op.Method, op.Path, a.name, got, want, said)
	case want == letIn && (got == 401 || got == 403 || got == 404 || got == 429 || got == 0):
		t.Errorf("%s %s by %s:\n got %d, want to be let in\n%s", op.Method, op.Path, a.name, got, said)
	}
}

// tokenFor returns a token that the operation takes.
func tokenFor(t *testing.T, w *testkit.World, op *testkit.Operation) string {
	switch op.ID {
	case "acceptInvitation":
		return invitation(t, w)
	case "openClientLink":
		return w.LinkFor(t, w.Owner, w.ClientOf.ID, "")
	}
	return ""
}

// send carries out an operation without a version: who is let in then gets 428
// on an edit, and nothing changes under the next row.
func send(t *testing.T, w *testkit.World, who *testkit.Client, op *testkit.Operation) (status int, said string) {
	if op.ID == "streamEvents" {
		s := openStream(t, w, who)
		defer s.close()
		return s.status, s.head
	}
	a := who.Do(t, op.Method, pathOf(t, w, op), bodyOf(t, w, op))
	return a.Status, string(a.Body)
}

func TestThePolicyTableAndTheContractNameTheSameOperations(t *testing.T) {
	k := testkit.ReadContract(t)
	var actions, operations []string
	for _, a := range policy.Actions() {
		actions = append(actions, string(a))
	}
	for _, op := range k.Operations {
		operations = append(operations, op.ID)
	}
	for _, id := range operations {
		if !slices.Contains(actions, id) {
			t.Errorf("operation %s: got no row in the policy table, want one", id)
		}
	}
	for _, a := range actions {
		if !slices.Contains(operations, a) {
			t.Errorf("action %s of the policy table: got no operation, want one", a)
		}
	}
}

// Every path identifier of a row that the grid calls free of them would make
// the grid blind to another shop.
func TestTheGridKnowsWhichPathsReachForSomething(t *testing.T) {
	for _, op := range testkit.ReadContract(t).Operations {
		r, named := grid[op.ID], strings.Contains(op.Path, "{")
		if op.ID == "calculate" || op.ID == "exportPrices" {
			continue // the name of an engine or of a format belongs to nobody
		}
		if op.ID == "getCalendarFeed" || op.ID == "headCalendarFeed" {
			continue // the address is the secret that lets in
		}
		if named == (r.on == nothing || r.on == public) {
			t.Errorf("%s %s: the grid says %d, the path has an identifier: %v", op.ID, op.Path, r.on, named)
		}
	}
}

func TestAnothersThingsWithinTheShopAreOutOfReach(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtWork)
	me := func(p *testkit.Person) string {
		return p.Do(t, "GET", "/api/me", nil).Want(t, 200).Text("/session_id")
	}
	w.Set("owners_session", me(w.Owner))
	w.Set("techs_session", me(w.Tech))
	correction := `{"void":true,"reason":"Not mine to void."}`
	w.Run(t, []testkit.Step{
		{Name: "a technician cannot correct another technician's hours", Who: w.Tech2.Client, Do: "POST /api/bench/hours/{entry}/correction", Body: correction, Status: 403, Code: "not-your-own"},
		{Name: "a technician cannot end the owner's session", Who: w.Tech.Client, Do: "DELETE /api/sessions/{owners_session}", Status: 404, Code: "session-not-found"},
		{Name: "the owner cannot end a technician's session", Who: w.Owner.Client, Do: "DELETE /api/sessions/{techs_session}", Status: 404, Code: "session-not-found"},
		{Name: "the client of another job does not see this one in the list", Who: w.OtherClient.Client, Do: "GET /api/client/jobs", Status: 200,
			Want: map[string]any{"/items/0/id": "{other_job}", "/items/1": testkit.Absent}, Never: []string{"{job}"}},
		{Name: "the owner may correct a technician's hours", Who: w.Owner.Client, Do: "POST /api/bench/hours/{entry}/correction", Body: correction, Status: 201},
	})
}

func TestAnotherShopsIdentifiersInABodyAreUnknown(t *testing.T) {
	w := testkit.NewWorld(t, testkit.AtClock)
	before := w.TrailLength(t, w.ShopA)
	vehicle := `"vehicle":{"make":"Corvane","model":"Tern","year":1967,"serial":"","options":{"crossmember":"welded"}}`
	w.Run(t, []testkit.Step{
		{Name: "a rival makes a job for shop A's client", Who: w.Rival.Client, Do: "POST /api/jobs",
			Body: `{"title":"x","template_id":"{rival_template}","client_id":"{client}",` + vehicle + `}`, Status: 422, Code: "client-not-found", Field: "/client_id"},
		{Name: "a rival makes a job from shop A's template", Who: w.Rival.Client, Do: "POST /api/jobs",
			Body: `{"title":"x","template_id":"{template}","client_id":"{rival_client}",` + vehicle + `}`, Status: 422, Code: "template-not-found", Field: "/template_id"},
		{Name: "a rival's technician clocks in on shop A's task", Who: w.RivalTech.Client, Do: "POST /api/bench/clock/start", Body: `{"task_id":"{A20}"}`, Status: 422, Code: "task-not-found", Field: "/task_id"},
		{Name: "a rival's technician waits for shop A's job", Who: w.RivalTech.Client, Do: "POST /api/bench/clock/start", Body: `{"job_id":"{job}","waiting":"parts"}`, Status: 404, Code: "job-not-found"},
		{Name: "a rival's technician types hours on shop A's task", Who: w.RivalTech.Client, Do: "POST /api/bench/hours",
			Body: `{"task_id":"{A20}","started_at":"2026-11-24T07:30:00Z","finished_at":"2026-11-24T09:00:00Z","done":false}`, Status: 422, Code: "task-not-found", Field: "/task_id"},
		{Name: "a rival's technician lists shop A's tasks", Who: w.RivalTech.Client, Do: "GET /api/bench/tasks?job={job}", Status: 404, Code: "job-not-found"},
		{Name: "a rival's client gets a link to shop A's job", Who: w.Rival.Client, Do: "POST /api/people/{rival_client}/links", Body: `{"job_id":"{job}","valid_days":3}`, Status: 404, Code: "job-not-found"},
		{Name: "shop A's owner links to the rival's task", Who: w.Owner.Client, Do: "GET /api/jobs/{other_job}", Status: 200},
		{Name: "and it is unknown there", Who: w.Owner.Client, Do: "POST /api/jobs/{other_job}/links", IfMatch: "{etag}",
			Body: `{"from_task_id":"{A20}","to_task_id":"{rival_task}","type":"FS","lag_hours":"0","lag_kind":"working"}`, Status: 422, Code: "link-invalid", Field: "/to_task_id"},
		{Name: "shop A's owner puts a line into the rival's phase", Who: w.Owner.Client, Do: "POST /api/jobs/{other_job}/lines", IfMatch: "{etag}",
			Body: `{"phase_id":"{rival_phase}","kind":"fee","description":"x","quantity":"1","unit":"lot","unit_cost":"1","markup_percent":"0","waste_percent":"0","discount_percent":"0","tax_class":"fee"}`, Status: 422, Code: "line-invalid", Field: "/phase_id"},
		{Name: "shop A's owner removes the rival's task through a job of their own", Who: w.Owner.Client, Do: "DELETE /api/jobs/{other_job}/tasks/{rival_task}", IfMatch: "{etag}", Status: 404, Code: "task-not-found"},
		{Name: "shop A's owner removes the rival's line through a job of their own", Who: w.Owner.Client, Do: "DELETE /api/jobs/{other_job}/lines/{rival_line}", IfMatch: "{etag}", Status: 404, Code: "line-not-found"},
		{Name: "shop A's owner removes the rival's link through a job of their own", Who: w.Owner.Client, Do: "DELETE /api/jobs/{other_job}/links/{rival_link}", IfMatch: "{etag}", Status: 404, Code: "link-not-found"},
		{Name: "shop A's owner removes another job's task through this job", Who: w.Owner.Client, Do: "DELETE /api/jobs/{other_job}/tasks/{A10}", IfMatch: "{etag}", Status: 404, Code: "task-not-found"},
	})
	if after := w.TrailLength(t, w.ShopA); after != before {
		t.Errorf("shop A's trail grew from %d to %d entries, want it unmoved", before, after)
	}
}
