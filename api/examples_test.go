package api_test

import (
	"context"
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/getkin/kin-openapi/openapi3"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/testkit"
)

// placeholders are the identifiers that the contract's description names, and
// the variables of a world that stand for them here. What comes later in the
// list is nothing but text that an example cannot know.
var placeholders = strings.NewReplacer(
	"00000000-0000-7000-8000-0000000000a1", "{job}",
	"00000000-0000-7000-8000-0000000000a2", "{A20}",
	"00000000-0000-7000-8000-0000000000a3", "{link}",
	"00000000-0000-7000-8000-0000000000a4", "{line}",
	"00000000-0000-7000-8000-0000000000a5", "{removal}",
	"00000000-0000-7000-8000-0000000000a6", "{quote}",
	"00000000-0000-7000-8000-0000000000a7", "{entry}",
	"00000000-0000-7000-8000-0000000000a8", "{A25}",
	"00000000-0000-7000-8000-0000000000a9", "{option}",
	"00000000-0000-7000-8000-0000000000aa", "{sheet}",
	"00000000-0000-7000-8000-0000000000ab", "{plan}",
	"00000000-0000-7000-8000-0000000000ac", "{trial}",
	"00000000-0000-7000-8000-0000000000c5", "{payment}",
	"00000000-0000-7000-8000-0000000000c8", "{authoriser}",
	"00000000-0000-7000-8000-0000000000c9", "{mail}",
	"00000000-0000-7000-8000-0000000000b1", "{tech}",
	"00000000-0000-7000-8000-0000000000b2", "{client}",
	"00000000-0000-7000-8000-0000000000b3", "{template}",
	"00000000-0000-7000-8000-0000000000b4", "{session}",
	"00000000-0000-7000-8000-0000000000b5", "{client_link}",
	"00000000-0000-7000-8000-0000000000b6", "{calendar_link}",
	"fedcba9876543210fedcba9876543210fedcba9876543210fedcba9876543210", "{feed_token}",
	"00000000-0000-7000-8000-0000000000c1", "{zone}",
	"00000000-0000-7000-8000-0000000000c2", "{photo}",
	"00000000-0000-7000-8000-0000000000c3", "{finding}",
	"00000000-0000-7000-8000-0000000000c7", "{observation}",
	"00000000-0000-7000-8000-0000000000d1", "{remainder}",
	"00000000-0000-7000-8000-0000000000d2", "{other_job}",
	"0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef", "{token}",
	"00000000-0000-7000-8000-0000000000c4", "{order}",
	`"amount":"0.00"`, `"amount":"{total}"`,
	`"amount":"232.20"`, `"amount":"{order_amount}"`,
	`"revised_total":"28632.20"`, `"revised_total":"{revised_total}"`,
	`"decided_at":"2026-11-20T09:30:00Z","how":"telephone"`, `"decided_at":"2026-11-25T12:00:00Z","how":"telephone"`,
	strings.Repeat("0", 64), "{document}",
)

// ready is when an operation's example can be carried out, by whom, and what
// has to be put in place first.
type ready struct {
	stage   testkit.Stage
	who     func(w *testkit.World) *testkit.Client
	prepare func(t *testing.T, w *testkit.World)
}

func owner(w *testkit.World) *testkit.Client    { return w.Owner.Client }
func tech(w *testkit.World) *testkit.Client     { return w.Tech.Client }
func clientOf(w *testkit.World) *testkit.Client { return w.ClientOf.Client }
func nobody(w *testkit.World) *testkit.Client   { return w.Nobody }

// readyFor says for every operation when its example works. A row is missing
// for a new operation until somebody has thought about it.
var readyFor = map[string]ready{
	"getHealth":        {testkit.AtClock, nobody, nil},
	"getReadiness":     {testkit.AtClock, nobody, nil},
	"getSetup":         {testkit.AtClock, nobody, nil},
	"signIn":           {testkit.AtEnquiry, nobody, nil},
	"acceptInvitation": {testkit.AtEnquiry, nobody, func(t *testing.T, w *testkit.World) { w.Set("token", invitation(t, w)) }},
	"openClientLink": {testkit.AtEnquiry, nobody, func(t *testing.T, w *testkit.World) {
		w.Set("token", w.LinkFor(t, w.Owner, w.ClientOf.ID, ""))
	}},
	"signOut":      {testkit.AtEnquiry, owner, nil},
	"listSessions": {testkit.AtClock, owner, nil},
	"endSession": {testkit.AtEnquiry, owner, func(t *testing.T, w *testkit.World) {
		w.Set("session", w.Elsewhere(t, w.Owner).Do(t, "GET", "/api/me", nil).Want(t, 200).Text("/session_id"))
	}},
	"getMe":          {testkit.AtClock, owner, nil},
	"changePassword": {testkit.AtEnquiry, owner, nil},

	"listPeople":       {testkit.AtClock, owner, nil},
	"addPerson":        {testkit.AtEnquiry, owner, nil},
	"getPerson":        {testkit.AtClock, owner, nil},
	"changePerson":     {testkit.AtEnquiry, owner, nil},
	"invitePerson":     {testkit.AtEnquiry, owner, nil},
	"listClientLinks":  {testkit.AtClock, owner, nil},
	"makeClientLink":   {testkit.AtEnquiry, owner, nil},
	"revokeClientLink": {testkit.AtEnquiry, owner, func(t *testing.T, w *testkit.World) { w.Set("client_link", clientLink(t, w)) }},

	"getShop":               {testkit.AtClock, owner, nil},
	"changeShop":            {testkit.AtEnquiry, owner, nil},
	"listTexts":             {testkit.AtClock, owner, nil},
	"previewText":           {testkit.AtClock, owner, nil},
	"getCalendar":           {testkit.AtClock, owner, nil},
	"changeCalendar":        {testkit.AtEnquiry, owner, nil},
	"getPriceBook":          {testkit.AtClock, owner, nil},
	"listPrices":            {testkit.AtClock, owner, nil},
	"setPrices":             {testkit.AtClock, owner, nil},
	"previewPrices":         {testkit.AtClock, owner, nil},
	"importPrices":          {testkit.AtClock, owner, nil},
	"exportPrices":          {testkit.AtClock, owner, nil},
	"getMovedPrices":        {testkit.AtClock, owner, nil},
	"takeTodaysPrices":      {testkit.AtEnquiry, owner, dearer},
	"listTemplates":         {testkit.AtClock, owner, nil},
	"getTemplate":           {testkit.AtClock, owner, nil},
	"addTemplate":           {testkit.AtEnquiry, owner, nil},
	"saveTemplate":          {testkit.AtEnquiry, owner, nil},
	"restoreTemplate":       {testkit.AtEnquiry, owner, retireTrial},
	"retireTemplate":        {testkit.AtEnquiry, owner, nil},
	"listTemplateRevisions": {testkit.AtClock, owner, nil},
	"previewTemplate":       {testkit.AtClock, owner, nil},

	"listJobs":    {testkit.AtClock, owner, nil},
	"createJob":   {testkit.AtEnquiry, owner, nil},
	"getJob":      {testkit.AtClock, owner, nil},
	"changeJob":   {testkit.AtEnquiry, owner, nil},
	"moveJob":     {testkit.AtEnquiry, owner, nil},
	"addPhase":    {testkit.AtEnquiry, owner, nil},
	"changePhase": {testkit.AtEnquiry, owner, nil},
	"removePhase": {testkit.AtEnquiry, owner, func(t *testing.T, w *testkit.World) { // an empty one
		a := w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}/phases"), `{"name":"Empty","position":1}`, testkit.IfMatch(w.ETag(t))).Want(t, 201)
		w.Set("removal", a.Text("/phases/0/id"))
	}},
	"addTask":    {testkit.AtEnquiry, owner, nil},
	"changeTask": {testkit.AtEnquiry, owner, nil},
	"removeTask": {testkit.AtEnquiry, owner, nil},
	"releaseHold": {testkit.AtAccepted, owner, func(_ *testing.T, w *testkit.World) {
		w.Set("A20", w.Var("A30")) // the hold point
	}},
	"openTask": {testkit.AtWork, owner, func(_ *testing.T, w *testkit.World) {
		w.Set("A20", w.Var("X90")) // the task outside
	}},
	"addLink": {testkit.AtEnquiry, owner, func(t *testing.T, w *testkit.World) { // the two are not linked yet
		w.Owner.Do(t, "DELETE", w.Fill("/api/jobs/{job}/links/{link}"), nil, testkit.IfMatch(w.ETag(t))).Want(t, 200)
	}},
	"changeLink":        {testkit.AtEnquiry, owner, nil},
	"removeLink":        {testkit.AtEnquiry, owner, nil},
	"addLine":           {testkit.AtEnquiry, owner, nil},
	"changeLine":        {testkit.AtEnquiry, owner, nil},
	"removeLine":        {testkit.AtEnquiry, owner, nil},
	"listSheets":        {testkit.AtClock, owner, nil},
	"addSheet":          {testkit.AtEnquiry, owner, nil},
	"getSheet":          {testkit.AtClock, owner, nil},
	"changeSheet":       {testkit.AtEnquiry, owner, nil},
	"retireSheet":       {testkit.AtEnquiry, owner, nil},
	"setJobSheet":       {testkit.AtEnquiry, owner, nil},
	"getJobPoints":      {testkit.AtClock, owner, nil},
	"getClientPoints":   {testkit.AtClock, clientOf, nil},
	"compareOptions":    {testkit.AtClock, owner, nil},
	"addOption":         {testkit.AtEnquiry, owner, nil},
	"changeOption":      {testkit.AtEnquiry, owner, func(t *testing.T, w *testkit.World) { optionFor(t, w) }},
	"removeOption":      {testkit.AtEnquiry, owner, func(t *testing.T, w *testkit.World) { optionFor(t, w) }},
	"explainPrice":      {testkit.AtClock, owner, nil},
	"listJobHours":      {testkit.AtClock, owner, nil},
	"listTrail":         {testkit.AtClock, owner, nil},
	"getScheduleHealth": {testkit.AtClock, owner, nil},

	"getEstimateWorkbook": {testkit.AtClock, owner, nil},
	"exportJob":           {testkit.AtClock, owner, nil},
	"previewJobFile":      {testkit.AtClock, owner, nil},
	"importJob":           {testkit.AtEnquiry, owner, nil},

	"issueQuote":       {testkit.AtSurveyed, owner, nil},
	"getQuote":         {testkit.AtClock, owner, nil},
	"getQuoteDocument": {testkit.AtClock, owner, nil},
	"getQuoteWorkbook": {testkit.AtClock, owner, nil},
	"previewSelection": {testkit.AtQuoted, owner, quotedWithOption},
	"withdrawQuote":    {testkit.AtQuoted, owner, nil},
	"recordDecision":   {testkit.AtQuoted, owner, nil},

	"getToday":       {testkit.AtClock, tech, nil},
	"listBenchTasks": {testkit.AtClock, tech, nil},
	"startClock":     {testkit.AtWork, tech, nil},
	"switchClock":    {testkit.AtClock, tech, nil},
	"stopClock":      {testkit.AtClock, tech, nil},
	"listMyHours":    {testkit.AtClock, tech, nil},
	"logHours":       {testkit.AtWork, tech, nil},
	"correctHours":   {testkit.AtWork, tech, nil},

	"listClientJobs":         {testkit.AtClock, clientOf, nil},
	"getClientJob":           {testkit.AtClock, clientOf, nil},
	"getClientQuote":         {testkit.AtClock, clientOf, nil},
	"getClientQuoteDocument": {testkit.AtClock, clientOf, nil},
	"getClientQuoteWorkbook": {testkit.AtClock, clientOf, nil},
	"previewQuote":           {testkit.AtQuoted, clientOf, quotedWithOption},
	"decideQuote":            {testkit.AtQuoted, clientOf, nil},

	"listOrders":          {testkit.AtClock, owner, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"addOrder":            {testkit.AtAccepted, owner, nil},
	"gatherFindings":      {testkit.AtAccepted, owner, func(t *testing.T, w *testkit.World) { w.Uncover(t) }},
	"orderOption":         {testkit.AtQuoted, owner, soldWithOption},
	"getOrder":            {testkit.AtClock, owner, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"changeOrder":         {testkit.AtAccepted, owner, func(t *testing.T, w *testkit.World) { orderFor(t, w, false) }},
	"previewOrder":        {testkit.AtAccepted, owner, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"sendOrder":           {testkit.AtAccepted, owner, func(t *testing.T, w *testkit.World) { orderFor(t, w, false) }},
	"withdrawOrder":       {testkit.AtAccepted, owner, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"recordOrderDecision": {testkit.AtAccepted, owner, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"answerAboutOrder":    {testkit.AtAccepted, owner, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"getOrderDocument":    {testkit.AtClock, owner, func(t *testing.T, w *testkit.World) { orderFor(t, w, false) }},

	"listClientOrders":          {testkit.AtClock, clientOf, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"getClientOrder":            {testkit.AtClock, clientOf, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"previewClientOrder":        {testkit.AtAccepted, clientOf, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"decideOrder":               {testkit.AtAccepted, clientOf, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"askAboutOrder":             {testkit.AtAccepted, clientOf, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"getClientOrderDocument":    {testkit.AtClock, clientOf, func(t *testing.T, w *testkit.World) { orderFor(t, w, true) }},
	"listFrameLayouts":          {testkit.AtClock, owner, nil},
	"getFrame":                  {testkit.AtClock, tech, nil},
	"layFrame":                  {testkit.AtEnquiry, owner, nil},
	"addZone":                   {testkit.AtEnquiry, owner, nil},
	"changeZone":                {testkit.AtEnquiry, owner, nil},
	"removeZone":                {testkit.AtEnquiry, owner, nil},
	"observe":                   {testkit.AtAccepted, tech, nil},
	"getFloor":                  {testkit.AtClock, tech, planned},
	"planFloor":                 {testkit.AtClock, owner, nil},
	"cancelPlanning":            {testkit.AtClock, owner, nil},
	"decidePlan":                {testkit.AtClock, owner, proposed},
	"tryFloor":                  {testkit.AtClock, owner, planned},
	"listTrials":                {testkit.AtClock, owner, withTrial},
	"keepTrial":                 {testkit.AtClock, owner, withTrial},
	"adoptTrial":                {testkit.AtClock, owner, withTrial},
	"dropTrial":                 {testkit.AtClock, owner, withTrial},
	"unpinTask":                 {testkit.AtClock, owner, nil},
	"getQueue":                  {testkit.AtEnquiry, owner, nil},
	"getRelief":                 {testkit.AtClock, owner, planned},
	"listCalendarLinks":         {testkit.AtClock, tech, subscribed},
	"makeCalendarLink":          {testkit.AtClock, tech, nil},
	"stopCalendarLink":          {testkit.AtClock, tech, subscribed},
	"getCalendarFeed":           {testkit.AtClock, nobody, subscribed},
	"headCalendarFeed":          {testkit.AtClock, nobody, subscribed},
	"getTakeoff":                {testkit.AtClock, owner, nil},
	"listTakeoffMoves":          {testkit.AtClock, owner, nil},
	"changeMethods":             {testkit.AtEnquiry, owner, nil},
	"followTakeoff":             {testkit.AtEnquiry, owner, nil},
	"listRemainders":            {testkit.AtClock, owner, nil},
	"useRemainder":              {testkit.AtClock, owner, leftOver},
	"voidRemainder":             {testkit.AtClock, owner, takenOver},
	"voidObservation":           {testkit.AtAccepted, owner, uncover},
	"addPhoto":                  {testkit.AtAccepted, tech, nil},
	"getPhoto":                  {testkit.AtAccepted, clientOf, uncover},
	"listFindings":              {testkit.AtClock, tech, nil},
	"reportFinding":             {testkit.AtAccepted, tech, nil},
	"changeFinding":             {testkit.AtAccepted, owner, uncover},
	"dismissFinding":            {testkit.AtAccepted, owner, uncover},
	"suggestRepairs":            {testkit.AtClock, tech, nil},
	"getClientFrame":            {testkit.AtClock, clientOf, nil},
	"getInspectionReport":       {testkit.AtAccepted, owner, uncover},
	"getClientInspectionReport": {testkit.AtAccepted, clientOf, uncover},
	"getJobCard":                {testkit.AtClock, tech, nil},

	"listCalculations": {testkit.AtClock, tech, nil},
	"calculate":        {testkit.AtClock, tech, nil},
}

// Two operations have a story of their own: set-up needs a place without a
// shop, and the stream of events has no end.
var apart = map[string]bool{"setUpShop": true, "streamEvents": true}

// uncover has something seen and found on the example job's frame.
func uncover(t *testing.T, w *testkit.World) { w.Uncover(t) }

func invitation(t testing.TB, w *testkit.World) string {
	t.Helper()
	made, err := w.App.Invite(t.Context(), w.Owner.Actor, w.Tech2.ID)
	if err != nil {
		t.Fatal(err)
	}
	return made.Token
}

// clientLink makes a link that nobody has opened yet.
func clientLink(t testing.TB, w *testkit.World) domain.ID {
	t.Helper()
	made, err := w.App.MakeClientLink(t.Context(), w.Owner.Actor, w.ClientOf.ID, "", 60)
	if err != nil {
		t.Fatal(err)
	}
	return made.Link.ID
}

// orderFor drafts the example order of the contract, and sends it.
func orderFor(t testing.TB, w *testkit.World, sent bool) {
	t.Helper()
	example, _ := w.Contract.Operation("addOrder").Example()
	raw, err := json.Marshal(example)
	if err != nil {
		t.Fatal(err)
	}
	a := w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}/orders"), w.Fill(placeholders.Replace(string(raw)))).Want(t, 201)
	w.Set("order", a.Text("/summary/id"))
	w.Set("order_amount", a.Text("/effect/amount"))
	w.Set("revised_total", a.Text("/effect/authorised_after"))
	if sent {
		a = w.Owner.Do(t, "POST", w.Fill("/api/orders/{order}/send"), `{"valid_days":14}`, testkit.IfMatch(a.ETag())).Want(t, 200)
		w.Set("document", a.Text("/document_hash"))
	}
}

// optionFor adds an extra to the example job.
func optionFor(t testing.TB, w *testkit.World) {
	t.Helper()
	a := w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}/options"), `{"group":"","name":"Zinc primer","note":"","taken":false,"points":[]}`, testkit.IfMatch(w.ETag(t))).Want(t, 201)
	w.Set("option", a.Text("/options/0/id"))
}

// quotedWithOption takes the quote back and issues another with an extra.
func quotedWithOption(t *testing.T, w *testkit.World) {
	t.Helper()
	w.Owner.Do(t, "POST", w.Fill("/api/quotes/{quote}/withdraw"), `{"reason":"An extra is added."}`).Want(t, 200)
	optionFor(t, w)
	w.Issue(t, 30)
}

// soldWithOption sells the example job without its extra.
func soldWithOption(t *testing.T, w *testkit.World) {
	t.Helper()
	quotedWithOption(t, w)
	sent := w.Quote
	q, err := w.App.DecideQuote(t.Context(), w.ClientOf.Actor, sent.ID, testkit.FreshKey(), app.PortalDecision{Accepted: true,
		Name: "Mirel Dance", Signature: "Mirel Dance", DocumentHash: sent.DocumentHash, OptionIDs: []domain.ID{}, Amount: &sent.Total, Finish: sent.Offer.Finish})
	if err != nil || q.Decision == nil {
		t.Fatalf("accepting: %v", err)
	}
}

// dearer makes the primer of a line of the example job dearer from today on.
func dearer(t *testing.T, w *testkit.World) {
	t.Helper()
	row := func(cost, from string) string {
		return `{"set":[{"kind":"material","key":"zinc_spray","name":"Zinc spray","unit":"l","unit_cost":"` + cost +
			`","markup_percent":"25","waste_percent":"0","tax_class":"material"` + from + `}],"removed":[]}`
	}
	set := func(body string) {
		w.Owner.Do(t, "POST", "/api/shop/prices", body, testkit.IfMatch(versionFor(t, w.Owner.Client, "/api/shop/prices"))).Want(t, 200)
	}
	set(row("31.50", ""))
	line := w.Fill(`{"phase_id":"{removal}","kind":"material","description":"Zinc spray","quantity":"2","unit":"l","unit_cost":"31.50","markup_percent":"25","waste_percent":"0","discount_percent":"0","tax_class":"material","price_item":"zinc_spray"}`)
	w.Owner.Do(t, "POST", w.Fill("/api/jobs/{job}/lines"), line, testkit.IfMatch(w.ETag(t))).Want(t, 201)
	set(row("35.00", `,"valid_from":"`+string(domain.DayOf(w.App.Now(), time.UTC))+`"`))
}

// pathOf fills an operation's path with the examples of its parameters.
func pathOf(t testing.TB, w *testkit.World, op *testkit.Operation) string {
	t.Helper()
	path := op.Path
	for _, p := range op.Parameters() {
		if p.In != openapi3.ParameterInPath {
			continue
		}
		example, ok := p.Example.(string)
		if !ok || example == "" {
			t.Fatalf("%s: the path parameter %s has no example", op.ID, p.Name)
		}
		if p.Name == "person" && (op.ID == "makeClientLink" || op.ID == "listClientLinks") {
			example = "{client}" // only a client has links
		}
		path = strings.ReplaceAll(path, "{"+p.Name+"}", example)
	}
	return w.Fill(placeholders.Replace(path))
}

// bodyOf returns an operation's example body with real values, nil when it
// takes none.
func bodyOf(t testing.TB, w *testkit.World, op *testkit.Operation) any {
	t.Helper()
	if op.Spec.RequestBody == nil {
		return nil
	}
	if op.ID == "importPrices" || op.ID == "previewPrices" {
		return "Kind,Key,Name,Unit,Cost a unit,Tax class\nmaterial,zinc_spray,Zinc spray,l,31.50,material\n"
	}
	if op.ID == "importJob" || op.ID == "previewJobFile" {
		return jobFileBody(jobFileOf(t, w, w.Owner, w.Job), `"client_id":"`+w.ClientOf.ID+`"`)
	}
	if op.TakesFile() {
		return string(testkit.Upload(t, 40, 30))
	}
	example, ok := op.Example()
	if !ok {
		t.Fatalf("%s takes a body and has no example of one", op.ID)
	}
	raw, err := json.Marshal(example)
	if err != nil {
		t.Fatal(err)
	}
	return w.Fill(placeholders.Replace(string(raw)))
}

// versionFor returns the present ETag of what a path edits.
func versionFor(t testing.TB, who *testkit.Client, path string) string {
	t.Helper()
	if rest, ok := strings.CutPrefix(path, "/api/jobs/"); ok {
		id, _, _ := strings.Cut(rest, "/")
		path = "/api/jobs/" + id
	}
	if strings.HasPrefix(path, "/api/shop/prices/") {
		path = "/api/shop/prices"
	}
	if rest, ok := strings.CutPrefix(path, "/api/orders/"); ok {
		id, _, _ := strings.Cut(rest, "/")
		path = "/api/orders/" + id
	}
	if rest, ok := strings.CutPrefix(path, "/api/templates/"); ok { // any revision is edited on the newest
		id, _, _ := strings.Cut(rest, "/")
		return `"v` + who.Do(t, "GET", "/api/templates/"+id, nil).Want(t, 200).Text("/newest_revision") + `"`
	}
	path = strings.TrimSuffix(path, "/retired")
	if id, ok := strings.CutPrefix(path, "/api/findings/"); ok {
		return findingVersion(t, who, id)
	}
	return who.Do(t, "GET", path, nil).Want(t, 200).ETag()
}

// findingVersion returns a finding's ETag as its list gives it: there is no
// address of one finding.
func findingVersion(t testing.TB, who *testkit.Client, id string) string {
	t.Helper()
	jobs := who.Do(t, "GET", "/api/jobs", nil).Want(t, 200)
	for j := range jobs.Len("/items") {
		list := who.Do(t, "GET", "/api/jobs/"+jobs.Text("/items/"+strconv.Itoa(j)+"/id")+"/findings", nil).Want(t, 200)
		for i := range list.Len("/items") {
			at := "/items/" + strconv.Itoa(i)
			if list.Text(at+"/id") == id {
				return `"v` + list.Text(at+"/version") + `"`
			}
		}
	}
	t.Fatalf("there is no finding %s", id)
	return ""
}

// carryOut sends an operation's example as it stands.
func carryOut(t testing.TB, w *testkit.World, who *testkit.Client, op *testkit.Operation) *testkit.Answer {
	t.Helper()
	path := pathOf(t, w, op)
	var options []testkit.Option
	if op.Takes("If-Match") {
		options = append(options, testkit.IfMatch(versionFor(t, who, path)))
	}
	return who.Do(t, op.Method, path, bodyOf(t, w, op), options...)
}

func TestTheContractIsSoundAndItsExamplesFitTheirSchemas(t *testing.T) {
	k := testkit.ReadContract(t)
	doc, err := openapi3.NewLoader().LoadFromData(k.Source)
	if err != nil {
		t.Fatal(err)
	}
	if err := doc.Validate(context.Background()); err != nil {
		t.Errorf("openapi.yaml: got %v, want a sound document", err)
	}
	seen := map[string]string{}
	for _, op := range k.Operations {
		at := op.Method + " " + op.Path
		if op.ID == "" || seen[op.ID] != "" {
			t.Errorf("%s: got operationId %q (also of %q), want one of its own", at, op.ID, seen[op.ID])
		}
		seen[op.ID] = at
	}
}

func TestEveryOperationsExampleIsCarriedOut(t *testing.T) {
	k := testkit.ReadContract(t)
	shared := testkit.NewWorld(t, testkit.AtClock) // for what only reads
	for _, op := range k.Operations {
		if apart[op.ID] {
			continue
		}
		t.Run(op.ID, func(t *testing.T) {
			r, ok := readyFor[op.ID]
			if !ok {
				t.Fatalf("%s %s: nobody has said when its example works", op.Method, op.Path)
			}
			w := shared
			if op.Method != http.MethodGet && op.ID != "calculate" {
				w = testkit.NewWorld(t, r.stage)
			}
			if r.prepare != nil {
				r.prepare(t, w)
			}
			a := carryOut(t, w, r.who(w), op)
			if a.Status < 200 || a.Status > 299 {
				t.Errorf("%s\n got %d, want 2xx\nbody: %s", a.Asked, a.Status, a.Body)
			}
		})
	}
	for id := range readyFor {
		if k.Operation(id) == nil {
			t.Errorf("the table has a row for %s, which is no operation", id)
		}
	}
}

func TestTheSetUpExampleOpensTheFirstShopOnce(t *testing.T) {
	s := testkit.Open(t)
	c := s.Browser("console")
	if got := c.Do(t, "GET", "/api/setup", nil).Want(t, 200).Text("/needed"); got != "true" {
		t.Fatalf("an installation without a shop: needed is %s, want true", got)
	}
	token, err := s.App.SetupToken(t.Context())
	if err != nil || token == "" {
		t.Fatalf("got token %q, %v; want one", token, err)
	}
	example, _ := s.Contract.Operation("setUpShop").Example()
	raw, err := json.Marshal(example)
	if err != nil {
		t.Fatal(err)
	}
	wrong := c.Do(t, "POST", "/api/setup", string(raw))
	wrong.WantProblem(t, 422, "setup-token-wrong").WantField(t, "/token")
	right := strings.ReplaceAll(string(raw), "0123456789abcdef0123456789abcdef", token)
	c.Do(t, "POST", "/api/setup", right).Want(t, 201)
	if got := c.Do(t, "GET", "/api/me", nil).Want(t, 200).Text("/person/role"); got != "owner" {
		t.Errorf("after set-up the browser belongs to %q, want the owner", got)
	}
	if got := c.Do(t, "GET", "/api/setup", nil).Text("/needed"); got != "false" {
		t.Errorf("with a shop: needed is %s, want false", got)
	}
	if n := c.Do(t, "GET", "/api/templates", nil).Want(t, 200).Len("/items"); n != len(testkit.Starting(t).Templates) {
		t.Errorf("the new shop has %d templates, want the seeds' %d", n, len(testkit.Starting(t).Templates))
	}
	again := s.Browser("somebody else").Do(t, "POST", "/api/setup", right)
	again.WantProblem(t, 422, "setup-token-wrong")
}
