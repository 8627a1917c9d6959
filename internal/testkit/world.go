package testkit

import (
	"sync"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// Password is what everybody of a world signs in with.
const Password = "seven copper rivets hold"

// Now is where a world's clock stands once it is built: a Wednesday noon.
var Now = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

// Person is somebody of a world, signed in on a browser of their own.
type Person struct {
	*Client
	ID    domain.ID
	Email string
	Role  domain.Role
	Actor domain.Actor // for use cases called past HTTP
}

// World is a program with two shops. Shop A has the example job and a second
// one of another client; shop B has a job and people of its own.
type World struct {
	*Stack
	ShopA, ShopB domain.ID

	Nobody      *Client
	Owner       *Person // of shop A
	Tech        *Person
	Tech2       *Person
	ClientOf    *Person // of the example job
	OtherClient *Person // of another job of the same shop
	Rival       *Person // owner of shop B
	RivalTech   *Person
	RivalClient *Person

	Job, OtherJob, RivalJob domain.ID
	Quote                   domain.Quote // of the example job, once issued

	mu   sync.Mutex
	vars map[string]string
}

// CostRate and CostRate2 are the technicians' wages, figures that turn up
// nowhere by accident.
const (
	CostRate  = "41.37"
	CostRate2 = "39.83"
)

// NewWorld returns a world on SQLite with the example job at a stage.
func NewWorld(t testing.TB, stage Stage) *World {
	t.Helper()
	return snapshotOf(t, stage).restore(t)
}

// NewWorldOnPostgres builds a world on PostgreSQL; see OpenPostgres.
func NewWorldOnPostgres(t testing.TB, stage Stage) *World {
	t.Helper()
	return populate(t, OpenPostgres(t), stage)
}

func populate(t testing.TB, s *Stack, stage Stage) *World {
	t.Helper()
	w := &World{Stack: s, vars: map[string]string{}}
	w.Nobody = s.Browser("nobody")
	w.ShopA, w.Owner = w.openShop(t, "Lower Mill Restorations", "Ilse Varga", "owner@example.org")
	w.ShopB, w.Rival = w.openShop(t, "Quarry Lane Frameworks", "Petra Losk", "owner@example.net")
	w.Tech = w.hire(t, w.Owner, "Jory Haldane", "jory@example.org", domain.Technician, CostRate)
	w.Tech2 = w.hire(t, w.Owner, "Maud Ferrin", "maud@example.org", domain.Technician, CostRate2)
	w.ClientOf = w.hire(t, w.Owner, "Mirel Dance", "mirel@example.org", domain.Client, "0")
	w.OtherClient = w.hire(t, w.Owner, "Osric Vane", "", domain.Client, "0")
	w.RivalTech = w.hire(t, w.Rival, "Nils Brandow", "nils@example.net", domain.Technician, "37.11")
	w.RivalClient = w.hire(t, w.Rival, "Adda Moss", "", domain.Client, "0")
	w.OtherJob = w.makeJob(t, w.Owner, w.OtherClient, "Other frame")
	w.RivalJob = w.makeJob(t, w.Rival, w.RivalClient, "Rival frame")
	w.Job = w.makeJob(t, w.Owner, w.ClientOf, "Example frame")
	w.name(t)
	w.bring(t, stage)
	w.Clock.Set(Now)
	return w
}

func (w *World) openShop(t testing.TB, name, owner, email string) (domain.ID, *Person) {
	t.Helper()
	start := Starting(t)
	settings := app.StartingSettings(name, "EUR", "Europe/Vienna", "en-GB", "metric")
	for i := range settings.TaxRates {
		if settings.TaxRates[i].Class != "exempt" {
			settings.TaxRates[i].Percent = decimal.NewFromInt(20)
		}
	}
	settings.Terms = "Work follows the accepted quote."
	templates := append([]domain.TemplatePlan{trialPlan()}, start.Templates...)
	shop, id, err := w.App.OpenShop(t.Context(), app.NewShop{Settings: settings, Calendar: app.StartingCalendar(), PriceBook: start.PriceBook,
		Templates: templates, OwnerName: owner, Email: email, Password: Password}, false)
	if err != nil {
		t.Fatalf("opening shop %s: %v", name, err)
	}
	p := w.person(shop, id, owner, email, domain.Owner)
	w.SignIn(t, p.Client, email)
	return shop, p
}

func (w *World) person(shop, id domain.ID, name, email string, role domain.Role) *Person {
	return &Person{Client: w.Browser(string(role) + " " + name), ID: id, Email: email, Role: role,
		Actor: domain.Actor{ShopID: shop, PersonID: id, Name: name, Role: role, From: "test"}}
}

// hire adds somebody and signs them in: staff by an invitation, a client by a
// private link.
func (w *World) hire(t testing.TB, boss *Person, name, email string, role domain.Role, rate string) *Person {
	t.Helper()
	skills := []string{}
	if role == domain.Technician {
		skills = []string{"fitter", "welder"}
	}
	added, err := w.App.AddPerson(t.Context(), boss.Actor, FreshKey(), domain.Person{Name: name, Email: email, Role: role, Skills: skills,
		CostRate: decimal.RequireFromString(rate), Active: true})
	if err != nil {
		t.Fatalf("hiring %s: %v", name, err)
	}
	p := w.person(boss.Actor.ShopID, added.ID, name, email, role)
	if role == domain.Client {
		w.OpenLink(t, p.Client, w.LinkFor(t, boss, p.ID, ""))
		return p
	}
	invitation, err := w.App.Invite(t.Context(), boss.Actor, p.ID)
	if err != nil {
		t.Fatalf("inviting %s: %v", name, err)
	}
	p.Do(t, "POST", "/api/invitations/accept", map[string]string{"token": invitation.Token, "password": Password}).Want(t, 201)
	return p
}

// LinkFor makes a private link for a client and returns its token.
func (w *World) LinkFor(t testing.TB, boss *Person, client, onlyJob domain.ID) string {
	t.Helper()
	made, err := w.App.MakeClientLink(t.Context(), boss.Actor, client, onlyJob, 60)
	if err != nil {
		t.Fatalf("making a link: %v", err)
	}
	return made.Token
}

// OpenLink signs a client in with a private link's token.
func (w *World) OpenLink(t testing.TB, c *Client, token string) {
	t.Helper()
	c.Do(t, "POST", "/api/client-links/open", map[string]string{"token": token}).Want(t, 201)
}

// SignIn signs a browser in with an address and the world's password.
func (w *World) SignIn(t testing.TB, c *Client, email string) *Answer {
	t.Helper()
	return c.Do(t, "POST", "/api/sessions", map[string]string{"email": email, "password": Password}).Want(t, 201)
}

// Elsewhere signs a person in on another browser.
func (w *World) Elsewhere(t testing.TB, p *Person) *Client {
	t.Helper()
	c := w.Browser(p.Name + ", elsewhere")
	if p.Role != domain.Client {
		w.SignIn(t, c, p.Email)
		return c
	}
	boss := w.Owner
	if p.Actor.ShopID == w.ShopB {
		boss = w.Rival
	}
	w.OpenLink(t, c, w.LinkFor(t, boss, p.ID, ""))
	return c
}

// Template returns the ID of a template of shop A by its key.
func (w *World) Template(t testing.TB, boss *Person, key string) domain.ID {
	t.Helper()
	all, err := w.App.Templates(t.Context(), boss.Actor)
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range all {
		if x.Plan.Key == key {
			return x.ID
		}
	}
	t.Fatalf("the shop has no template %s", key)
	return ""
}

func (w *World) makeJob(t testing.TB, boss, client *Person, title string) domain.ID {
	t.Helper()
	page, err := w.App.CreateJob(t.Context(), boss.Actor, FreshKey(), app.NewJob{Title: title, TemplateID: w.Template(t, boss, TrialKey), ClientID: client.ID,
		Vehicle: domain.Vehicle{Make: "Corvane", Model: "Tern roadster", Year: 1967, Serial: "T67-01482", Options: map[string]string{"crossmember": "welded"}}})
	if err != nil {
		t.Fatalf("making job %s: %v", title, err)
	}
	return page.Job.ID
}

// Page returns the example job's page past HTTP.
func (w *World) Page(t testing.TB) app.JobPage { return w.PageOf(t, w.Owner, w.Job) }

// PageOf returns a job's page past HTTP.
func (w *World) PageOf(t testing.TB, boss *Person, id domain.ID) app.JobPage {
	t.Helper()
	page, err := w.App.JobPage(t.Context(), boss.Actor, id)
	if err != nil {
		t.Fatalf("reading job %s: %v", id, err)
	}
	return page
}

// Task returns the example job's task with a code.
func (w *World) Task(t testing.TB, code string) domain.Task {
	t.Helper()
	for _, task := range w.Page(t).Estimate.Tasks {
		if task.Code == code {
			return task
		}
	}
	t.Fatalf("the example job has no task %s", code)
	return domain.Task{}
}

// ETag returns the example job's version as If-Match wants it.
func (w *World) ETag(t testing.TB) string {
	t.Helper()
	return w.Owner.Do(t, "GET", "/api/jobs/"+w.Job, nil).Want(t, 200).ETag()
}

// TrailLength verifies a shop's trail and returns how many entries it has.
func (w *World) TrailLength(t testing.TB, shop domain.ID) int64 {
	t.Helper()
	n, err := w.App.VerifyTrail(t.Context(), shop)
	if err != nil {
		t.Errorf("the trail of shop %s does not verify: %v", shop, err)
	}
	return n
}
