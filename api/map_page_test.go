package api

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
	"bareframe/internal/network"
	"bareframe/internal/pricing"
)

// The invented shop of these tests, with IDs that the contract's pattern takes.
const (
	shopID     = "00000000-0000-7000-8000-0000000000d1"
	jobID      = "00000000-0000-7000-8000-0000000000a1"
	ownerID    = "00000000-0000-7000-8000-0000000000b0"
	clientID   = "00000000-0000-7000-8000-0000000000b2"
	removalID  = "00000000-0000-7000-8000-0000000000c1"
	coatingID  = "00000000-0000-7000-8000-0000000000c2"
	emptyID    = "00000000-0000-7000-8000-0000000000c3"
	liftID     = "00000000-0000-7000-8000-0000000000a2"
	primeID    = "00000000-0000-7000-8000-0000000000a8"
	cureID     = "00000000-0000-7000-8000-0000000000a9"
	patchID    = "00000000-0000-7000-8000-0000000000aa"
	liftPrime  = "00000000-0000-7000-8000-0000000000e1"
	primeCure  = "00000000-0000-7000-8000-0000000000e2"
	primerLine = "00000000-0000-7000-8000-0000000000a4"
	subletLine = "00000000-0000-7000-8000-0000000000f1"
	creditLine = "00000000-0000-7000-8000-0000000000f2"
	quoteID    = "00000000-0000-7000-8000-0000000000a6"
)

var (
	today    = time.Date(2027, 1, 13, 9, 30, 0, 0, time.UTC) // a Wednesday
	issued   = time.Date(2027, 1, 4, 10, 0, 0, 0, time.UTC)
	expires  = time.Date(2027, 2, 4, 0, 0, 0, 0, time.UTC)
	decided  = time.Date(2027, 1, 7, 10, 0, 0, 0, time.UTC)
	openedAt = time.Date(2027, 1, 12, 10, 0, 0, 0, time.UTC)
)

// shelf is a store with one job. It answers only what the job page reads.
type shelf struct {
	app.Store
	app.Reader
	shop     domain.Shop
	job      domain.Job
	estimate domain.Estimate
	quotes   []domain.Quote
	baseline []domain.Baseline
	entries  []domain.Entry
}

func (s *shelf) View(_ context.Context, _ domain.ID, fn func(app.Reader) error) error { return fn(s) }
func (s *shelf) Shop() (domain.Shop, error)                                           { return s.shop, nil }
func (s *shelf) Job(domain.ID) (domain.Job, error)                                    { return s.job, nil }
func (s *shelf) Quote(domain.ID) (domain.Quote, error)                                { return s.quotes[0], nil }
func (s *shelf) AgreedPlanID() (domain.ID, bool, error)                               { return "", false, nil }
func (s *shelf) Expected([]domain.ID) (map[domain.ID]map[domain.ID]domain.Day, error) {
	return nil, nil
}

func (s *shelf) PeopleByID([]domain.ID) (map[domain.ID]domain.Person, error) {
	return map[domain.ID]domain.Person{clientID: {ID: clientID, Name: "Mirel Dance"}}, nil
}
func (s *shelf) People(domain.Role, app.Page) ([]domain.Person, string, error) {
	return nil, "", nil
}
func (s *shelf) Estimates([]domain.ID) (map[domain.ID]domain.Estimate, error) {
	return map[domain.ID]domain.Estimate{jobID: s.estimate}, nil
}
func (s *shelf) Quotes([]domain.ID) (map[domain.ID][]domain.Quote, error) {
	return map[domain.ID][]domain.Quote{jobID: s.quotes}, nil
}
func (s *shelf) Baselines([]domain.ID) (map[domain.ID][]domain.Baseline, error) {
	return map[domain.ID][]domain.Baseline{jobID: s.baseline}, nil
}
func (s *shelf) Entries([]domain.ID) (map[domain.ID][]domain.Entry, error) {
	return map[domain.ID][]domain.Entry{jobID: s.entries}, nil
}

// onShelf is a job in work: a quote accepted, hours logged, a task opened since.
// Its costs, rates and hours are figures that stand nowhere else.
func onShelf() *shelf {
	shop := domain.Shop{ID: shopID, Version: 1, CalendarVersion: 1, PriceBookVersion: 1,
		Settings: app.StartingSettings("Lower Mill Restorations", "EUR", "Europe/Berlin", "en-GB", "metric"), Calendar: app.StartingCalendar()}
	shop.Calendar.TimeZone = shop.Settings.TimeZone
	shop.PriceBook.Labour = []domain.LabourRate{{Skill: "fitter", Name: "Fitter", CostRate: dec("31.57"), SellRate: dec("92.13")}}
	hours := domain.ThreePoint{Low: dec("5.01"), Likely: dec("7.03"), High: dec("11.11")}
	s := &shelf{shop: shop}
	s.estimate = domain.Estimate{
		Phases: []domain.Phase{{ID: removalID, JobID: jobID, Key: "removal", Name: "Removal", Position: 1}, {ID: coatingID, JobID: jobID, Key: "coating", Name: "Coating", Position: 2},
			{ID: emptyID, JobID: jobID, Name: "Drivetrain check", Position: 3}},
		Tasks: []domain.Task{
			{ID: liftID, JobID: jobID, PhaseID: removalID, Code: "A10", Name: "Lift the body", Kind: domain.Work, Hours: hours, Skill: "fitter", Crew: 2, TaxClass: pricing.RepairLabour, Position: 1, Scope: domain.Authorised, Cautions: []string{"lifting"}},
			{ID: primeID, JobID: jobID, PhaseID: coatingID, Code: "D10", Name: "Prime the frame", Kind: domain.Work, Hours: hours, Skill: "fitter", Crew: 1, TaxClass: pricing.RepairLabour, Position: 2, Scope: domain.Authorised},
			{ID: cureID, JobID: jobID, PhaseID: coatingID, Code: "D20", Name: "Primer cures", Kind: domain.Cure, ElapsedHours: dec("24"), TaxClass: pricing.RepairLabour, Position: 3, Scope: domain.Authorised},
			{ID: patchID, JobID: jobID, PhaseID: removalID, Code: "X10", Name: "Make the rail safe", Kind: domain.Work, Hours: hours, Skill: "fitter", Crew: 1, TaxClass: pricing.RepairLabour, Position: 4,
				Scope: domain.Opened, OpenedBy: "Ilse Varga", OpenedAt: &openedAt, OpenedAs: "The body was standing on it."},
		},
		Links: []domain.Link{
			{ID: liftPrime, JobID: jobID, FromID: liftID, ToID: primeID, Type: network.FS, LagHours: dec("-0.5"), LagKind: calendar.Working},
			{ID: primeCure, JobID: jobID, FromID: primeID, ToID: cureID, Type: network.FS, LagKind: calendar.Elapsed},
		},
		Lines: []domain.Line{
			{ID: primerLine, JobID: jobID, PhaseID: coatingID, TaskID: primeID, Kind: pricing.Material, Description: "Epoxy primer", Quantity: dec("3.3333"), Unit: "l", UnitCost: dec("38.117"), MarkupPercent: dec("23.7"), WastePercent: dec("12.5"), TaxClass: pricing.MaterialClass, Position: 1, Scope: domain.Authorised},
			{ID: subletLine, JobID: jobID, PhaseID: coatingID, Kind: pricing.Sublet, Description: "Phosphate dip", Quantity: dec("1"), Unit: "lot", UnitCost: dec("181.19"), MarkupPercent: dec("15.3"), TaxClass: pricing.SubletClass, Position: 2, Scope: domain.Authorised},
			{ID: creditLine, JobID: jobID, PhaseID: coatingID, Kind: pricing.Credit, Description: "Old tank taken back", Quantity: dec("1"), Unit: "pc", UnitCost: dec("40.03"), TaxClass: pricing.Part, Position: 3, Scope: domain.Authorised},
		},
	}
	s.job = domain.Job{ID: jobID, Version: 12, Number: 7, Title: "Frame-off restoration", State: domain.InWork, ClientID: clientID, TemplateName: "Perimeter frame",
		VehicleOptions: []domain.VehicleOption{{Key: "crossmember", Name: "Crossmember", Choices: []domain.OptionChoice{{Key: "welded", Name: "Welded"}}}},
		Cautions:       map[string]string{"lifting": "Stands under the sills before anybody goes under."},
		Vehicle:        domain.Vehicle{Make: "Corvane", Model: "Tern roadster", Year: 1967, Serial: "T67-01482", Options: map[string]string{"crossmember": "welded"}},
		Promise:        "2027-03-31", CreatedAt: issued, AcceptedQuoteID: quoteID, AuthorisedAmount: dec("2000"), Currency: "EUR"}
	s.quotes = []domain.Quote{{ID: quoteID, JobID: jobID, Number: "7-1", Revision: 1, State: domain.QuoteAccepted, IssuedAt: issued, IssuedBy: "Ilse Varga", ExpiresAt: expires,
		Currency: "EUR", Net: dec("1652.89"), Tax: dec("347.11"), Total: dec("2000"), Cost: dec("1234.57"), Terms: "As quoted.", Basis: shop.Basis("2027-01-01"), DocumentHash: strings.Repeat("0", 64),
		Offer: domain.Offer{Start: "2027-01-08", Finish: "2027-03-31",
			Taxes: []domain.OfferTax{{Percent: "21", Base: "1652.89", Tax: "347.11"}},
			Draws: []domain.OfferDraw{{Name: "Deposit on acceptance", Percent: "20", Amount: "400.00"}, {Name: "At hand-over", Percent: "80", Amount: "1600.00"}},
			Phases: []domain.OfferPhase{{Name: "Removal", Net: "1652.89", Start: "2027-01-08", Finish: "2027-01-09",
				Lines: []domain.OfferLine{{Description: "Epoxy primer", Kind: pricing.Material, Quantity: "3.74996250", Unit: "l", Net: "176.82"}}}}},
		Plan:     []domain.Sold{{TaskID: liftID, Hours: hours.Mean(), Start: issued, Finish: decided}},
		Decision: &domain.Decision{Accepted: true, How: domain.ByPortal, Name: "Mirel Dance", Signature: "Mirel Dance", DecidedAt: decided, RecordedBy: "Mirel Dance", Amount: dec("2000")}}}
	for _, id := range []domain.ID{liftID, primeID, cureID} {
		s.baseline = append(s.baseline, domain.Baseline{JobID: jobID, TaskID: id, Hours: hours.Mean(), Start: issued, Finish: decided})
	}
	started, stopped, left := today.Add(-26*time.Hour), today.Add(-23*time.Hour), dec("2.75")
	s.entries = []domain.Entry{{ID: ownerID, JobID: jobID, TaskID: liftID, PersonID: ownerID, Kind: domain.Worked, StartedAt: started, FinishedAt: &stopped, HoursToGo: &left, LoggedAt: stopped}}
	return s
}

// serving answers from a shelf as somebody of the shop.
func serving(s *shelf, role domain.Role) (*Server, context.Context) {
	actor := domain.Actor{ShopID: shopID, PersonID: ownerID, Role: role}
	if role == domain.Client {
		actor.PersonID = clientID
	}
	server := &Server{app: app.New(app.Options{Store: s, Now: func() time.Time { return today }})}
	return server, context.WithValue(context.Background(), actorKey, actor)
}

func ownersPage(t *testing.T, s *shelf) JobPage {
	t.Helper()
	server, ctx := serving(s, domain.Owner)
	out, err := server.GetJob(ctx, GetJobRequestObject{Job: jobID})
	if err != nil {
		t.Fatal(err)
	}
	answer := out.(GetJob200JSONResponse)
	if answer.Headers.ETag == nil || *answer.Headers.ETag != `"v12"` {
		t.Errorf("ETag %v, want \"v12\"", answer.Headers.ETag)
	}
	return answer.Body
}

func clientsPage(t *testing.T, s *shelf) ClientJob {
	t.Helper()
	server, ctx := serving(s, domain.Client)
	out, err := server.GetClientJob(ctx, GetClientJobRequestObject{Job: jobID})
	if err != nil {
		t.Fatal(err)
	}
	return ClientJob(out.(GetClientJob200JSONResponse))
}

func clientsQuote(t *testing.T, s *shelf) ClientQuote {
	t.Helper()
	server, ctx := serving(s, domain.Client)
	out, err := server.GetClientQuote(ctx, GetClientQuoteRequestObject{Quote: quoteID})
	if err != nil {
		t.Fatal(err)
	}
	return ClientQuote(out.(GetClientQuote200JSONResponse))
}

var contractOnce = sync.OnceValues(func() (*contract, error) {
	source, err := os.ReadFile("../openapi.yaml")
	if err != nil {
		return nil, err
	}
	return readContract(source)
})

// fitsContract holds a mapped value against its schema in openapi.yaml.
func fitsContract(t *testing.T, schema string, v any) {
	t.Helper()
	k, err := contractOnce()
	if err != nil {
		t.Fatal(err)
	}
	ref := k.doc.Components.Schemas[schema]
	if ref == nil {
		t.Fatalf("the contract has no schema %s", schema)
	}
	if err := ref.Value.VisitJSON(decoded(t, v)); err != nil {
		t.Errorf("not a %s: %v", schema, err)
	}
}

func decoded(t *testing.T, v any) any {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	var out any
	if err := json.NewDecoder(bytes.NewReader(text)).Decode(&out); err != nil {
		t.Fatal(err)
	}
	return out
}

func TestPagesFitTheContract(t *testing.T) {
	s := onShelf()
	fitsContract(t, "JobPage", ownersPage(t, s))
	fitsContract(t, "ClientJob", clientsPage(t, s))
	fitsContract(t, "ClientQuote", clientsQuote(t, s))
	server, ctx := serving(s, domain.Owner)
	out, err := server.GetQuote(ctx, GetQuoteRequestObject{Quote: quoteID})
	if err != nil {
		t.Fatal(err)
	}
	fitsContract(t, "Quote", Quote(out.(GetQuote200JSONResponse)))
}

func TestOwnersPageTies(t *testing.T) {
	p := ownersPage(t, onShelf())
	sum := dec(p.Price.LabourNet).Add(dec(p.Price.MaterialNet)).Add(dec(p.Price.SubletNet)).Add(dec(p.Price.OtherNet))
	if !sum.Equal(dec(p.Price.Net)) {
		t.Errorf("nets by kind add up to %s, the net is %s", sum, p.Price.Net)
	}
	phases, items := dec("0"), dec("0")
	for _, ph := range p.Phases {
		phases = phases.Add(dec(ph.Net))
	}
	for _, x := range p.Tasks {
		items = items.Add(dec(x.Net))
	}
	for _, x := range p.Lines {
		items = items.Add(dec(x.Net))
	}
	if !phases.Equal(dec(p.Price.Net)) || !items.Equal(dec(p.Price.Net)) {
		t.Errorf("phases add up to %s and tasks and lines to %s, the net is %s", phases, items, p.Price.Net)
	}
	if !dec(p.Price.OtherNet).Equal(dec("-40.03")) {
		t.Errorf("other net %s, want the credit of 40.03 against it", p.Price.OtherNet)
	}
	if !dec(p.Price.Net).Sub(dec(p.Price.Cost)).Equal(dec(p.Price.Margin)) {
		t.Errorf("net %s less cost %s is not margin %s", p.Price.Net, p.Price.Cost, p.Price.Margin)
	}
}

func TestOwnersPageShowsWhatDrives(t *testing.T) {
	p := ownersPage(t, onShelf())
	task := func(id string) TaskView {
		i := slices.IndexFunc(p.Tasks, func(x TaskView) bool { return x.ID == id })
		return p.Tasks[i]
	}
	if lift := task(liftID); !lift.Times.Driving || lift.State != TaskStateInWork || lift.ActualStart == nil || lift.ActualFinish != nil || lift.ToGoHours != "2.75" || lift.WorkedHours != "3.00" || lift.Times.BaselineStart == nil {
		t.Errorf("the task under way shows %+v", lift)
	}
	if patch := task(patchID); patch.Times.Driving || patch.Opened == nil || patch.Opened.Reason != "The body was standing on it." || patch.Times.BaselineStart != nil {
		t.Errorf("the opened task shows %+v", patch)
	}
	for _, l := range p.Links {
		if !l.Driving {
			t.Errorf("link %s of the driving chain does not drive", l.ID)
		}
	}
	if cure := task(cureID); !slices.Equal(cure.Times.DrivenBy, []ID{primeCure}) || cure.Times.Reason != StartReasonLink {
		t.Errorf("the cure is driven by %v for %s, want its link", cure.Times.DrivenBy, cure.Times.Reason)
	}
	if p.Links[0].LagHours != "-0.50" || p.Lines[0].UnitCost != "38.117" || p.Lines[0].TaskID == nil || p.Lines[1].TaskID != nil {
		t.Errorf("links %+v, lines %+v", p.Links, p.Lines)
	}
	sameJSON(t, p.Cautions, []Caution{{Key: "lifting", Text: "Stands under the sills before anybody goes under."}})
}
