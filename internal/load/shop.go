package load

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"github.com/google/uuid"
	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/demo"
	"bareframe/internal/domain"
	"bareframe/internal/network"
	"bareframe/internal/password"
	"bareframe/internal/store"
)

// Password is what everybody of a made shop signs in with.
const Password = "nine brass shims in a row"

// Making says what shop to make.
type Making struct {
	Store       store.Options
	Technicians int
	Jobs        []int // how many tasks each job has; 0 is the perimeter-frame template as it is
}

// Shop is a made shop. Its jobs are accepted.
type Shop struct {
	ID          domain.ID
	Owner       string   // e-mail address
	Technicians []string // e-mail addresses
	Jobs        []app.JobPage
}

// Task returns a task of a job that hours may go on.
func (s Shop) Task(job, n int) domain.ID {
	var open []domain.ID
	for _, t := range s.Jobs[job].Estimate.Tasks {
		if t.Kind == domain.Work {
			open = append(open, t.ID)
		}
		if t.Holds() {
			break // what comes after may wait for its release
		}
	}
	return open[n%len(open)]
}

// Make makes a shop through the use cases, with the files of seeds as its price
// book and templates, and closes the store again.
func Make(ctx context.Context, m Making) (shop Shop, err error) {
	root, err := Root()
	if err != nil {
		return shop, err
	}
	starting, err := demo.ReadStarting(os.DirFS(filepath.Join(root, "seeds")))
	if err != nil {
		return shop, err
	}
	craft, err := demo.ReadCraft(os.DirFS(filepath.Join(root, "seeds")))
	if err != nil {
		return shop, err
	}
	st, err := store.Open(ctx, m.Store)
	if err != nil {
		return shop, err
	}
	defer func() {
		if closed := st.Close(); err == nil {
			err = closed
		}
	}()
	if err := st.Migrate(ctx); err != nil {
		return shop, err
	}
	k := &maker{app: app.New(app.Options{Store: st, Passwords: password.NewKeeper(), Secret: secret, Frames: craft.Frames, Repairs: craft.Repairs, Takeoff: &craft.Takeoff, Methods: craft.Methods, Sheet: craft.Sheet, PutRight: craft.PutRight,
		Now:   func() time.Time { return time.Now().UTC() },
		NewID: func() domain.ID { return uuid.Must(uuid.NewV7()).String() }}), shop: &shop}
	for _, n := range sizes(m.Jobs) {
		starting.Templates = append(starting.Templates, plan(n))
	}
	if err := k.open(ctx, starting, m); err != nil {
		return shop, fmt.Errorf("making a shop: %w", err)
	}
	return shop, nil
}

func secret() string {
	var b [32]byte
	_, _ = rand.Read(b[:]) // never fails: it ends the program instead
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// sizes lists the different sizes of generated jobs.
func sizes(jobs []int) []int {
	out := slices.Compact(slices.Sorted(slices.Values(jobs)))
	return slices.DeleteFunc(out, func(n int) bool { return n == 0 })
}

func planKey(tasks int) string {
	if tasks == 0 {
		return "perimeter-frame"
	}
	return "made-" + strconv.Itoa(tasks)
}

// plan is a template of a number of tasks: five phases, each task after the one
// before it and every third one after the seventh before it as well.
func plan(tasks int) domain.TemplatePlan {
	p := domain.TemplatePlan{Key: planKey(tasks), Name: fmt.Sprintf("Made, %d tasks", tasks), VehicleOptions: []domain.VehicleOption{}, Cautions: map[string]string{}}
	for i := range 5 {
		p.Phases = append(p.Phases, domain.TemplatePhase{Key: "p" + strconv.Itoa(i), Name: "Phase " + strconv.Itoa(i+1)})
	}
	key := func(i int) string { return fmt.Sprintf("M%03d", i) }
	for i := range tasks {
		p.Tasks = append(p.Tasks, domain.TemplateTask{Key: key(i), Phase: "p" + strconv.Itoa(i*5/tasks), Name: "Step " + strconv.Itoa(i+1), Kind: domain.Work,
			Hours: domain.ThreePoint{Low: decimal.NewFromInt(1), Likely: decimal.NewFromInt(2), High: decimal.NewFromInt(4)},
			Skill: "fitter", Crew: 1, Cautions: []string{}, TaxClass: "repair_labour"})
		for _, back := range []int{1, 7} {
			if i >= back && (back == 1 || i%3 == 0) {
				p.Links = append(p.Links, domain.TemplateLink{From: key(i - back), To: key(i), Type: network.FS, LagKind: calendar.Working})
			}
		}
	}
	return p
}

type maker struct {
	app   *app.App
	shop  *Shop
	owner domain.Actor
	keys  int
}

func (k *maker) key() string {
	k.keys++
	return "made-" + strconv.Itoa(k.keys)
}

func (k *maker) open(ctx context.Context, starting demo.Starting, m Making) error {
	k.shop.Owner = "owner@load.example.org"
	settings := app.StartingSettings("Ferrow Lane Frames", "EUR", "Europe/Vienna", "en-GB", "metric")
	settings.Terms = "Work follows the accepted quote."
	shopID, ownerID, err := k.app.OpenShop(ctx, app.NewShop{Settings: settings, Calendar: app.StartingCalendar(), PriceBook: starting.PriceBook,
		Templates: starting.Templates, OwnerName: "Onna Ferrow", Email: k.shop.Owner, Password: Password}, false)
	if err != nil {
		return err
	}
	k.shop.ID = shopID
	k.owner = domain.Actor{ShopID: shopID, PersonID: ownerID, Name: "Onna Ferrow", Role: domain.Owner, From: "load"}
	for i := range m.Technicians {
		if err := k.hire(ctx, fmt.Sprintf("tech%02d@load.example.org", i)); err != nil {
			return err
		}
	}
	client, err := k.app.AddPerson(ctx, k.owner, k.key(), domain.Person{Name: "Lio Marrant", Role: domain.Client, Skills: []string{}, Active: true})
	if err != nil {
		return err
	}
	templates, err := k.app.Templates(ctx, k.owner)
	if err != nil {
		return err
	}
	for i, tasks := range m.Jobs {
		if err := k.job(ctx, i, client.ID, planOf(templates, planKey(tasks))); err != nil {
			return fmt.Errorf("job %d: %w", i+1, err)
		}
	}
	return nil
}

func planOf(all []domain.Template, key string) domain.Template {
	i := slices.IndexFunc(all, func(t domain.Template) bool { return t.Plan.Key == key })
	return all[i] // made or shipped above
}

func (k *maker) hire(ctx context.Context, email string) error {
	p, err := k.app.AddPerson(ctx, k.owner, k.key(), domain.Person{Name: "Technician " + email[4:6], Email: email, Role: domain.Technician,
		Skills: []string{}, CostRate: decimal.NewFromInt(35), Active: true})
	if err != nil {
		return err
	}
	invitation, err := k.app.Invite(ctx, k.owner, p.ID)
	if err != nil {
		return err
	}
	// Another address each time, because trying links is throttled by address.
	if _, err := k.app.AcceptInvitation(ctx, invitation.Token, Password, app.Place{Address: email}); err != nil {
		return err
	}
	k.shop.Technicians = append(k.shop.Technicians, email)
	return nil
}

// job makes a job and takes it to acceptance.
func (k *maker) job(ctx context.Context, n int, client domain.ID, t domain.Template) error {
	options := map[string]string{}
	for _, o := range t.Plan.VehicleOptions {
		options[o.Key] = o.Choices[0].Key
	}
	page, err := k.app.CreateJob(ctx, k.owner, k.key(), app.NewJob{Title: fmt.Sprintf("Made job %d", n+1), TemplateID: t.ID, ClientID: client,
		Vehicle: domain.Vehicle{Make: "Corvane", Model: "Tern roadster", Year: 1967, Serial: fmt.Sprintf("T67-%05d", n), Options: options}})
	if err != nil {
		return err
	}
	version := app.Precondition{Given: true, Version: page.Job.Version}
	if page, err = k.app.MoveJob(ctx, k.owner, page.Job.ID, version, domain.Surveyed, "Walked round the car."); err != nil {
		return err
	}
	version.Version = page.Job.Version
	quote, err := k.app.IssueQuote(ctx, k.owner, page.Job.ID, version, k.key(), 30, "Thank you for bringing the car.")
	if err != nil {
		return err
	}
	if _, err := k.app.RecordDecision(ctx, k.owner, quote.ID, k.key(), domain.Decision{Accepted: true, How: domain.InPerson, Name: "Lio Marrant",
		Said: "Yes, at the desk.", DecidedAt: time.Now().UTC(), Amount: quote.Total}); err != nil {
		return err
	}
	if page, err = k.app.JobPage(ctx, k.owner, page.Job.ID); err != nil {
		return err
	}
	k.shop.Jobs = append(k.shop.Jobs, page)
	return nil
}
