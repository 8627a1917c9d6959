package app_test

import (
	"context"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
	"bareframe/internal/pricing/localrules"
	"bareframe/internal/store"
)

// plainPasswords stand in for the slow hashes; what they make must still never
// leave the store, so it is easy to find.
type plainPasswords struct{}

const hashMark = "HASHED:"

func (plainPasswords) Hash(_ context.Context, password string) (string, error) {
	return hashMark + password, nil
}

func (plainPasswords) Matches(_ context.Context, password, hash string) (bool, error) {
	return hash != "" && hash == hashMark+password, nil
}

func (plainPasswords) Weakness(password string, _ ...string) string {
	if len(password) < 12 {
		return "Too short."
	}
	return ""
}

// bench is a shop on a real store of its own, with a clock that a test sets.
type bench struct {
	t     testing.TB
	app   *app.App
	store *store.Store
	shop  domain.ID

	owner, marik, tessel domain.Actor // owner and two technicians
	client, other        domain.Actor // two clients
	template             domain.ID

	mu     sync.Mutex
	clock  time.Time
	keys   int
	events []app.Event
}

// monday is a Monday 08:00 in UTC, as the week of the tests opens.
var monday = time.Date(2031, 3, 3, 8, 0, 0, 0, time.UTC)

func dec(text string) decimal.Decimal { return decimal.RequireFromString(text) }

func ptr[T any](v T) *T { return &v }

// settings are a shop that taxes, prices in a currency and works in UTC.
func settings(currency string, basis pricing.TaxBasis) domain.ShopSettings {
	s := app.StartingSettings("Selvane Frame & Body", currency, "UTC", "en", "metric")
	s.TaxBasis = basis
	for i := range s.TaxRates {
		if s.TaxRates[i].Class != pricing.Exempt {
			s.TaxRates[i].Percent = dec("7.25")
		}
		if s.TaxRates[i].Class == pricing.FabricationLabour {
			s.TaxRates[i].Percent = dec("20")
		}
	}
	s.DepositPercent, s.Draws = dec("33.3"), []domain.DrawRule{{Name: "After removal", Percent: dec("16.65")}, {Name: "On hand-over", Percent: dec("50.05")}}
	s.Terms = "Terms of the shop."
	return s
}

func open(t testing.TB, s domain.ShopSettings) *bench {
	t.Helper()
	return openOn(t, s, store.Options{SQLitePath: filepath.Join(t.TempDir(), "shop.db")})
}

// openOn is open on a store of one's choice.
func openOn(t testing.TB, s domain.ShopSettings, o store.Options) *bench {
	t.Helper()
	if o.Log == nil {
		o.Log = slog.New(slog.NewTextHandler(io.Discard, nil))
	}
	st, err := store.Open(t.Context(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := st.Close(); err != nil {
			t.Errorf("closing: %v", err)
		}
	})
	if err := st.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	b := &bench{t: t, store: st, clock: monday}
	ids, secrets := counter("%08d-0000-7000-8000-%012d"), counter("secret-%d-%d")
	b.app = app.New(app.Options{Store: st, Passwords: plainPasswords{}, Now: b.now, NewID: ids, Secret: secrets, Announce: b.hear, Rules: ruleSets(t), Mail: true, BaseURL: "https://portal.example"})
	b.furnish(s)
	return b
}

// ruleSets are the seeds' own.
func ruleSets(t testing.TB) []localrules.RuleSet {
	t.Helper()
	files, err := filepath.Glob("../../seeds/rules/*.json")
	if err != nil || len(files) == 0 {
		t.Fatalf("no rule sets: %v", err)
	}
	var out []localrules.RuleSet
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		rule, err := localrules.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, rule)
	}
	return out
}

// counter makes texts that never repeat and sort in the order they were made.
func counter(form string) func() string {
	var mu sync.Mutex
	n := 0
	return func() string { mu.Lock(); defer mu.Unlock(); n++; return fmt.Sprintf(form, n, n) }
}

func (b *bench) now() time.Time { b.mu.Lock(); defer b.mu.Unlock(); return b.clock }

func (b *bench) hear(e []app.Event) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.events = append(b.events, e...)
}

func (b *bench) set(at time.Time) { b.mu.Lock(); defer b.mu.Unlock(); b.clock = at }

func (b *bench) pass(d time.Duration) { b.set(b.now().Add(d)) }

// key is a fresh idempotency key.
func (b *bench) key() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.keys++
	return fmt.Sprintf("test-key-%06d", b.keys)
}

// priceBook has rates that do not divide well.
func priceBook() domain.PriceBook {
	return domain.PriceBook{
		Labour: []domain.LabourRate{
			{Skill: "fitter", Name: "Fitter", CostRate: dec("31.17"), SellRate: dec("68.35")},
			{Skill: "welder", Name: "Welder", CostRate: dec("36.5"), SellRate: dec("77.7775")}},
		Materials: []domain.Material{{Key: "tube", Name: "Square tube", Unit: "m", UnitCost: dec("17.891"), MarkupPercent: dec("15"), WastePercent: dec("5"), TaxClass: pricing.Part}},
	}
}

// smallPlan is strip, then a gate, then weld, paint and its cure, then fit.
func smallPlan() domain.TemplatePlan {
	h := func(low, likely, high string) domain.ThreePoint {
		return domain.ThreePoint{Low: dec(low), Likely: dec(likely), High: dec(high)}
	}
	task := func(key, phase, name string, hours domain.ThreePoint, skill string) domain.TemplateTask {
		return domain.TemplateTask{Key: key, Phase: phase, Name: name, Kind: domain.Work, Hours: hours, Skill: skill, Crew: 1, TaxClass: pricing.RepairLabour}
	}
	link := func(from, to string) domain.TemplateLink {
		return domain.TemplateLink{From: from, To: to, Type: "FS", LagHours: decimal.Zero, LagKind: "working"}
	}
	return domain.TemplatePlan{Key: "small", Name: "Small job",
		Phases: []domain.TemplatePhase{{Key: "strip", Name: "Stripping"}, {Key: "repair", Name: "Repair"}, {Key: "coat", Name: "Coating"}},
		Tasks: []domain.TemplateTask{task("A10", "strip", "Strip", h("3", "4", "6"), "fitter"),
			{Key: "A20", Phase: "strip", Name: "Gate", Kind: domain.Hold, HoldPoint: "The owner looks and decides.", TaxClass: pricing.RepairLabour},
			task("B10", "repair", "Weld", h("5", "8", "14"), "welder"),
			task("C10", "coat", "Paint", h("1", "2", "3"), "fitter"),
			{Key: "C20", Phase: "coat", Name: "Cure", Kind: domain.Cure, ElapsedHours: dec("24"), TaxClass: pricing.RepairLabour},
			task("C30", "coat", "Fit", h("2", "3", "5"), "fitter")},
		Links: []domain.TemplateLink{link("A10", "A20"), link("A20", "B10"), link("B10", "C10"), link("C10", "C20"), link("C20", "C30")},
		Lines: []domain.TemplateLine{{Key: "M10", Task: "B10", Kind: pricing.Material, Material: "tube", Quantity: dec("3.3333")}}}
}

func (b *bench) furnish(s domain.ShopSettings) {
	b.t.Helper()
	empty := domain.TemplatePlan{Key: "empty", Name: "Nothing yet", Phases: []domain.TemplatePhase{{Key: "one", Name: "One"}, {Key: "two", Name: "Two"}, {Key: "three", Name: "Three"}}}
	shopID, ownerID, err := b.app.OpenShop(b.t.Context(), app.NewShop{Settings: s, Calendar: app.StartingCalendar(), PriceBook: priceBook(),
		Templates: []domain.TemplatePlan{smallPlan(), empty}, OwnerName: "Ilvane Torresk", Email: "owner@example.org", Password: "a long enough one"}, true)
	b.ok("opening the shop", err)
	b.shop = shopID
	b.owner = domain.Actor{ShopID: shopID, PersonID: ownerID, Name: "Ilvane Torresk", Role: domain.Owner, From: "192.0.2.1"}
	b.marik = b.hire("Marik Oldane", "marik@example.org", domain.Technician)
	b.tessel = b.hire("Tessel Varr", "tessel@example.org", domain.Technician)
	b.client = b.hire("Sorei Vantesse", "sorei@example.com", domain.Client)
	b.other = b.hire("Bekko Arlunde", "", domain.Client)
	b.template = b.templateCalled("small")
}

func (b *bench) templateCalled(key string) domain.ID {
	b.t.Helper()
	all, err := b.app.Templates(b.t.Context(), b.owner)
	b.ok("templates", err)
	for _, x := range all {
		if x.Plan.Key == key {
			return x.ID
		}
	}
	b.t.Fatalf("no template %q", key)
	return ""
}

func (b *bench) hire(name, email string, role domain.Role) domain.Actor {
	b.t.Helper()
	p, err := b.app.AddPerson(b.t.Context(), b.owner, b.key(), domain.Person{Name: name, Email: email, Role: role, Skills: []string{}, Active: true})
	b.ok("adding "+name, err)
	return domain.Actor{ShopID: b.shop, PersonID: p.ID, Name: name, Role: role, From: "192.0.2.2"}
}

// job makes a job for the client; its state is enquiry.
func (b *bench) job(template domain.ID) app.JobPage {
	b.t.Helper()
	page, err := b.app.CreateJob(b.t.Context(), b.owner, b.key(), app.NewJob{Title: "Body off", TemplateID: template, ClientID: b.client.PersonID,
		Vehicle: domain.Vehicle{Make: "Halvorn", Model: "Solvane", Year: 1966, Serial: "HS66", Options: map[string]string{}}})
	b.ok("making a job", err)
	return page
}

func made(p app.JobPage) app.Precondition {
	return app.Precondition{Given: true, Version: p.Job.Version}
}

func (b *bench) page(id domain.ID) app.JobPage {
	b.t.Helper()
	p, err := b.app.JobPage(b.t.Context(), b.owner, id)
	b.ok("job page", err)
	return p
}

func (b *bench) issue(p app.JobPage) domain.Quote {
	b.t.Helper()
	q, err := b.app.IssueQuote(b.t.Context(), b.owner, p.Job.ID, made(p), b.key(), 30, "As seen on the lift.")
	b.ok("issuing", err)
	return q
}

func (b *bench) accept(q domain.Quote) domain.Quote {
	b.t.Helper()
	q, err := b.app.DecideQuote(b.t.Context(), b.client, q.ID, b.key(), app.PortalDecision{Accepted: true, Name: "Sorei Vantesse", Signature: "Sorei Vantesse", DocumentHash: q.DocumentHash})
	b.ok("accepting", err)
	return q
}

// soldJob is a small job whose quote was accepted.
func (b *bench) soldJob() app.JobPage {
	b.t.Helper()
	p := b.job(b.template)
	b.accept(b.issue(p))
	return b.page(p.Job.ID)
}

func taskCalled(t testing.TB, p app.JobPage, code string) domain.Task {
	t.Helper()
	for _, x := range p.Estimate.Tasks {
		if x.Code == code {
			return x
		}
	}
	t.Fatalf("job %d has no task %s", p.Job.Number, code)
	return domain.Task{}
}

func (b *bench) ok(what string, err error) {
	b.t.Helper()
	if err != nil {
		b.t.Fatalf("%s: %v", what, err)
	}
}

// fewerDraws has properties that write to a disk at every step draw less often
// than the library's hundred times, unless more was asked for on the command line.
func fewerDraws(t *testing.T, n int) {
	t.Helper()
	checks := flag.Lookup("rapid.checks")
	if checks == nil || checks.Value.String() != checks.DefValue {
		return
	}
	if err := checks.Value.Set(strconv.Itoa(n)); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = checks.Value.Set(checks.DefValue) })
}

// refused fails unless err is a refusal with this code that says something.
func refused(t testing.TB, what string, err error, code string) {
	t.Helper()
	if e := fault.As(err); e == nil || e.Code != code || e.Detail == "" {
		t.Errorf("%s: got %v, want it refused with %s", what, err, code)
	}
}

// id is a fresh identifier.
func (b *bench) id() domain.ID {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.keys++
	return fmt.Sprintf("%08d-0000-7000-9000-%012d", b.keys, b.keys)
}

// rates sets what an hour of each skill sells at, from today on.
func (b *bench) rates(sell decimal.Decimal) {
	b.t.Helper()
	shop, err := b.app.Shop(b.t.Context(), b.owner)
	b.ok("shop", err)
	var c app.PriceChange
	for _, r := range shop.PriceBook.LabourOn(b.today(shop)) {
		r.SellRate, r.ValidFrom = sell, b.today(shop)
		c.Set = append(c.Set, domain.PriceRow{Labour: &r})
	}
	_, err = b.app.SetPrices(b.t.Context(), b.owner, app.Precondition{Given: true, Version: shop.PriceBookVersion}, c)
	b.ok("new rates", err)
}

func (b *bench) today(shop domain.Shop) domain.Day { return domain.DayOf(b.app.Now(), shop.Zone()) }
