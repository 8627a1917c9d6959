package demo

import (
	"context"
	"fmt"
	"io/fs"
	"sort"
	"time"

	"github.com/google/uuid"
	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/calendar"
	"bareframe/internal/domain"
)

// Password is the demo's own, printed at every start and good for nothing else.
const Password = "copper rivets hold fast"

// Options is what loading needs.
type Options struct {
	Files     fs.FS
	Store     app.Store
	Passwords app.Passwords
	Secret    func() string
	Photos    app.PhotoStore // nil: the story has no photos
	Now       time.Time
}

// story plays the seeds through the use cases.
type story struct {
	app   *app.App
	clock time.Time
	shop  domain.ID
	zone  *time.Location
	today time.Time // first instant of the shop's day
	cal   *calendar.Calendar

	owner  domain.Actor
	people map[string]domain.Actor // technicians and clients by key
	plans  map[string]domain.ID    // templates by key
	events []event

	photographs bool // there is a place to keep them
	drawn       pictures
	order       int
}

// event is one step of the story at its instant.
type event struct {
	at    time.Time
	order int
	what  string
	run   func(ctx context.Context) error
}

// Load opens the demo shop in a store that has none. It returns the shop's ID.
func Load(ctx context.Context, o Options) (domain.ID, error) {
	var shop shopSeed
	var jobs storySeed
	if err := read(o.Files, "shop.json", &shop); err != nil {
		return "", err
	}
	if err := read(o.Files, "demo.json", &jobs); err != nil {
		return "", err
	}
	starting, err := ReadStarting(o.Files)
	if err != nil {
		return "", err
	}
	craft, err := ReadCraft(o.Files)
	if err != nil {
		return "", err
	}
	var frames frameSeed
	if err := read(o.Files, "demo-frames.json", &frames); err != nil {
		return "", err
	}
	s := &story{people: map[string]domain.Actor{}, plans: map[string]domain.ID{}, photographs: o.Photos != nil,
		drawn: pictures{waiting: map[string]chan []byte{}, views: map[string]int{}}}
	rules, err := ReadRules(o.Files)
	if err != nil {
		return "", err
	}
	s.app = app.New(app.Options{Store: o.Store, Passwords: o.Passwords, Secret: o.Secret, Rules: rules,
		Now: func() time.Time { return s.clock }, NewID: func() domain.ID { return uuid.Must(uuid.NewV7()).String() },
		Frames: craft.Frames, Repairs: craft.Repairs, Takeoff: &craft.Takeoff, Methods: craft.Methods, Brought: craft.Brought, Sheet: craft.Sheet, PutRight: craft.PutRight, Photos: o.Photos})
	if s.zone, err = time.LoadLocation(shop.TimeZone); err != nil {
		return "", err
	}
	s.today = domain.DayOf(o.Now, s.zone).Start(s.zone)
	spec := shop.calendar(s.today)
	if s.cal, err = calendar.New(spec); err != nil {
		return "", err
	}
	s.clock = s.day(-90).Add(9 * time.Hour).UTC()
	if err := s.open(ctx, shop, spec, starting); err != nil {
		return "", fmt.Errorf("opening the demo shop: %w", err)
	}
	all := map[string]*told{}
	for i := range jobs.Jobs {
		all[jobs.Jobs[i].Key] = s.plan(&jobs.Jobs[i])
	}
	if err := s.planFrames(frames, all); err != nil {
		return "", err
	}
	if s.photographs {
		s.drawn.begin()
	}
	return s.shop, s.play(ctx, o.Now)
}

func (s *story) open(ctx context.Context, shop shopSeed, spec calendar.Spec, starting Starting) error {
	shopID, ownerID, err := s.app.OpenShop(ctx, app.NewShop{Settings: shop.settings(s.today), Calendar: spec, PriceBook: starting.PriceBook,
		Templates: starting.Templates, Demo: true, OwnerName: shop.Owner.Name, Email: shop.Owner.Email, Password: Password}, true)
	if err != nil {
		return err
	}
	s.shop = shopID
	s.owner = domain.Actor{ShopID: shopID, PersonID: ownerID, Name: shop.Owner.Name, Role: domain.Owner, From: "demo"}
	if _, err := s.app.ChangeShopRules(ctx, s.owner, app.Precondition{Given: true, Version: 1}, shop.Rules.rules()); err != nil {
		return err
	}
	for _, p := range shop.Technicians {
		actor, err := s.hire(ctx, p, domain.Technician)
		if err != nil {
			return err
		}
		link, err := s.app.Invite(ctx, s.owner, actor.PersonID)
		if err != nil {
			return err
		}
		if _, err := s.app.AcceptInvitation(ctx, link.Token, Password, app.Place{Address: "demo", Device: "demo"}); err != nil {
			return err
		}
	}
	for _, p := range shop.Clients {
		if _, err := s.hire(ctx, p, domain.Client); err != nil {
			return err
		}
	}
	templates, err := s.app.Templates(ctx, s.owner)
	for _, t := range templates {
		s.plans[t.Plan.Key] = t.ID
	}
	return err
}

func (s *story) hire(ctx context.Context, p personSeed, role domain.Role) (domain.Actor, error) {
	skills := p.Skills
	if skills == nil {
		skills = []string{}
	}
	person, err := s.app.AddPerson(ctx, s.owner, "demo-person-"+p.Key, domain.Person{Name: p.Name, Email: p.Email, Phone: p.Phone,
		Role: role, Skills: skills, CostRate: p.CostRate, Active: true, Roster: rosterOf(p.Week, p.Absences, s.today)})
	actor := domain.Actor{ShopID: s.shop, PersonID: person.ID, Name: p.Name, Role: role, From: "demo"}
	s.people[p.Key] = actor
	return actor, err
}

// day returns the first instant of a calendar day relative to today.
func (s *story) day(n int) time.Time { return s.today.AddDate(0, 0, n) }

// workDay returns the first instant of the n-th working day before today, n
// negative; a day counts when the shop is open on it.
func (s *story) workDay(n int) time.Time {
	d := s.today
	for n < 0 {
		d = d.AddDate(0, 0, -1)
		if s.cal.Between(d, d.AddDate(0, 0, 1)) > 0 {
			n++
		}
	}
	return d
}

func at(day time.Time, wall string) time.Time {
	clock, err := time.Parse("15:04", wall)
	if err != nil {
		return day
	}
	return time.Date(day.Year(), day.Month(), day.Day(), clock.Hour(), clock.Minute(), 0, 0, day.Location()).UTC()
}

func (s *story) then(when time.Time, what string, run func(ctx context.Context) error) {
	s.order++
	s.events = append(s.events, event{when.UTC(), s.order, what, run})
}

// play runs the steps in time order with the clock set to each.
func (s *story) play(ctx context.Context, now time.Time) error {
	sort.SliceStable(s.events, func(i, j int) bool {
		a, b := s.events[i], s.events[j]
		return a.at.Before(b.at) || a.at.Equal(b.at) && a.order < b.order
	})
	for _, e := range s.events {
		s.clock = e.at
		if s.clock.After(now) {
			s.clock = now
		}
		if err := e.run(ctx); err != nil {
			return fmt.Errorf("demo, %s: %w", e.what, err)
		}
	}
	return nil
}

// told is a job of the story while it is told.
type told struct {
	*jobSeed
	id    domain.ID
	tasks map[string]domain.ID
	quote domain.Quote
}

func (s *story) plan(j *jobSeed) *told {
	t := &told{jobSeed: j, tasks: map[string]domain.ID{}}
	s.then(at(s.day(j.Created), "10:00"), j.Key+": made", func(ctx context.Context) error { return s.make(ctx, t) })
	if j.Quote != nil {
		s.then(at(s.day(j.Quote.Day), "11:00"), j.Key+": quoted", func(ctx context.Context) error { return s.issue(ctx, t) })
	}
	if j.Accept != nil {
		s.then(at(s.day(j.Accept.Day), "19:20"), j.Key+": accepted", func(ctx context.Context) error {
			_, err := s.app.DecideQuote(ctx, s.people[j.Client], t.quote.ID, "demo-accept-"+j.Key, app.PortalDecision{Accepted: true,
				Name: j.Accept.Name, Signature: j.Accept.Signature, DocumentHash: t.quote.DocumentHash})
			return err
		})
	}
	s.planWork(t)
	s.planCash(t)
	return t
}

func (s *story) planWork(t *told) {
	for i, h := range t.Hours {
		day := s.workDay(h.WorkDay)
		from, to := at(day, h.From), at(day, h.To)
		s.then(to, fmt.Sprintf("%s: %s by %s", t.Key, h.Task, h.Person), func(ctx context.Context) error {
			_, err := s.app.LogHours(ctx, s.people[h.Person], fmt.Sprintf("demo-hours-%s-%d", t.Key, i), app.Log{
				On: app.Target{TaskID: t.tasks[h.Task]}, StartedAt: from, FinishedAt: to, HoursToGo: h.ToGo, Done: h.Done, Note: h.Note})
			return err
		})
	}
	for i, w := range t.Waiting {
		day := s.workDay(w.WorkDay)
		from, to := at(day, w.From), at(day, w.To)
		s.then(to, fmt.Sprintf("%s: %s waits", t.Key, w.Person), func(ctx context.Context) error {
			_, err := s.app.LogHours(ctx, s.people[w.Person], fmt.Sprintf("demo-wait-%s-%d", t.Key, i), app.Log{
				On: app.Target{JobID: t.id, Waiting: w.Code}, StartedAt: from, FinishedAt: to, Note: w.Note})
			return err
		})
	}
	for _, r := range t.Releases {
		s.then(at(s.workDay(r.WorkDay), "17:30"), t.Key+": "+r.Task+" released", func(ctx context.Context) error {
			_, err := s.app.ReleaseHold(ctx, s.owner, t.id, t.tasks[r.Task], "demo-release-"+t.Key+"-"+r.Task, r.Note)
			return err
		})
	}
}

// make makes the job, sharpens the hours the survey asks for and adds lines.
func (s *story) make(ctx context.Context, t *told) error {
	page, err := s.app.CreateJob(ctx, s.owner, "demo-job-"+t.Key, app.NewJob{Title: t.Title, TemplateID: s.plans[t.Template],
		ClientID: s.people[t.Client].PersonID, Vehicle: t.Vehicle, NotBefore: domain.DayOf(s.day(t.NotBefore), s.zone)})
	if err != nil {
		return err
	}
	t.id = page.Job.ID
	for _, task := range page.Estimate.Tasks {
		t.tasks[task.Code] = task.ID
	}
	for _, e := range t.Edits {
		task, ok := page.Estimate.Task(t.tasks[e.Task])
		if !ok {
			return fmt.Errorf("there is no task %s to edit", e.Task)
		}
		task.Hours = e.Hours
		if page, err = s.app.ChangeTask(ctx, s.owner, t.id, task.ID, made(page), *task, nil); err != nil {
			return err
		}
	}
	for _, l := range t.ExtraLines {
		line := domain.Line{Kind: l.Kind, Description: l.Description, Quantity: l.Quantity, Unit: l.Unit, UnitCost: l.UnitCost,
			MarkupPercent: l.MarkupPercent, WastePercent: l.WastePercent, DiscountPercent: decimal.Zero, TaxClass: l.TaxClass}
		for _, p := range page.Estimate.Phases {
			if p.Key == l.Phase {
				line.PhaseID = p.ID
			}
		}
		if page, err = s.app.AddLine(ctx, s.owner, t.id, made(page), line); err != nil {
			return err
		}
	}
	return s.offer(ctx, t, page)
}

func made(p app.JobPage) app.Precondition {
	return app.Precondition{Given: true, Version: p.Job.Version}
}

func (s *story) issue(ctx context.Context, t *told) error {
	page, err := s.app.JobPage(ctx, s.owner, t.id)
	if err != nil {
		return err
	}
	if page, err = s.app.MoveJob(ctx, s.owner, t.id, made(page), domain.Surveyed, "Walked round the car on the lift."); err != nil {
		return err
	}
	if t.Promise != 0 {
		head := app.JobHead{Title: page.Job.Title, Vehicle: page.Job.Vehicle, NotBefore: page.Job.NotBefore, Promise: domain.DayOf(s.day(t.Promise), s.zone)}
		if page, err = s.app.ChangeJob(ctx, s.owner, t.id, made(page), head); err != nil {
			return err
		}
	}
	t.quote, err = s.app.IssueQuote(ctx, s.owner, t.id, made(page), "demo-quote-"+t.Key, page.Shop.Settings.QuoteValidDays, t.Quote.Note)
	return err
}

// SignIns are the ways into the demo.
type SignIns struct {
	Owner, Technician string // e-mail addresses
	Client            string // path of a private link to a job in work
	Deciding          string // path of a private link of a client with a quote to decide
}

// Enter makes fresh private links for two of the demo's clients and says who
// signs in how.
func Enter(ctx context.Context, a *app.App, files fs.FS, shopID domain.ID) (SignIns, error) {
	var shop shopSeed
	if err := read(files, "shop.json", &shop); err != nil {
		return SignIns{}, err
	}
	out := SignIns{Owner: shop.Owner.Email, Technician: shop.Technicians[0].Email}
	console := domain.Actor{ShopID: shopID, Name: "console", Role: domain.Owner, From: "console"}
	jobs, _, err := a.Jobs(ctx, console, "", app.Page{Limit: 50})
	if err != nil {
		return out, err
	}
	if j, ok := furthest(jobs, domain.InWork); ok {
		if out.Client, err = letIn(ctx, a, console, j); err != nil {
			return out, err
		}
	}
	if j, ok := furthest(jobs, domain.Quoted); ok {
		out.Deciding, err = letIn(ctx, a, console, j)
	}
	return out, err
}

// furthest is the job in a state with the most work done; of equals the first.
func furthest(jobs []app.JobPage, state domain.JobState) (best app.JobPage, ok bool) {
	for _, j := range jobs {
		if j.Job.State == state && (!ok || j.Whole.Percent > best.Whole.Percent) {
			best, ok = j, true
		}
	}
	return best, ok
}

func letIn(ctx context.Context, a *app.App, console domain.Actor, j app.JobPage) (string, error) {
	link, err := a.MakeClientLink(ctx, console, j.Client.ID, "", 30)
	return "/c#" + link.Token, err
}
