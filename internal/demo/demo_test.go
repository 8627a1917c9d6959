package demo_test

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/uuid"
	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/demo"
	"bareframe/internal/domain"
	"bareframe/internal/store"
)

var seeds fs.FS = os.DirFS("../../seeds")

type plainPasswords struct{}

func (plainPasswords) Hash(_ context.Context, password string) (string, error) {
	return "plain:" + password, nil
}

func (plainPasswords) Matches(_ context.Context, password, hash string) (bool, error) {
	return hash == "plain:"+password, nil
}

func (plainPasswords) Weakness(string, ...string) string { return "" }

// shop is a demo loaded at an instant.
type shop struct {
	app   *app.App
	id    domain.ID
	owner domain.Actor
	pages map[string]app.JobPage // by model
}

func load(t *testing.T, now time.Time) shop { return loadWith(t, now, nil) }

func loadWith(t *testing.T, now time.Time, photos app.PhotoStore) shop {
	t.Helper()
	ctx := t.Context()
	st, err := store.Open(ctx, store.Options{SQLitePath: filepath.Join(t.TempDir(), "demo.db"), Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = st.Close() })
	if err := st.Migrate(ctx); err != nil {
		t.Fatal(err)
	}
	n := 0
	secret := func() string { n++; return fmt.Sprintf("secret-%d", n) }
	id, err := demo.Load(ctx, demo.Options{Files: seeds, Store: st, Passwords: plainPasswords{}, Secret: secret, Photos: photos, Now: now})
	if err != nil {
		t.Fatalf("loading at %v: %v", now, err)
	}
	s := shop{id: id, owner: domain.Actor{ShopID: id, Name: "console", Role: domain.Owner, From: "test"}, pages: map[string]app.JobPage{}}
	s.app = app.New(app.Options{Store: st, Photos: photos, Passwords: plainPasswords{}, Secret: secret, Now: func() time.Time { return now }, NewID: func() domain.ID { return uuid.Must(uuid.NewV7()).String() }})
	pages, _, err := s.app.Jobs(ctx, s.owner, "", app.Page{Limit: 50})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range pages {
		s.pages[p.Job.Vehicle.Model] = p
	}
	return s
}

// story is what the checks need of seeds/demo.json, read apart from the loader.
type story struct {
	Jobs []struct {
		Vehicle struct{ Model string }
		Quote   *struct{}
		Accept  *struct{}
		Hours   []entry
		Waiting []entry
	}
}

type entry struct {
	Person, Task, From, To string
	WorkDay                int    `json:"work_day"`
	ToGo                   string `json:"hours_to_go"`
	Done                   bool
}

func told(t *testing.T) story {
	t.Helper()
	raw, err := fs.ReadFile(seeds, "demo.json")
	if err != nil {
		t.Fatal(err)
	}
	var s story
	if err := json.Unmarshal(raw, &s); err != nil {
		t.Fatal(err)
	}
	if len(s.Jobs) < 3 {
		t.Fatalf("the story has %d jobs, want at least 3", len(s.Jobs))
	}
	return s
}

// minutes of "07:30" to "12:00", by hand: hours and minutes after the colon.
func (e entry) minutes(t *testing.T) int64 {
	t.Helper()
	var a, b, c, d int64
	if _, err := fmt.Sscanf(e.From+" "+e.To, "%d:%d %d:%d", &a, &b, &c, &d); err != nil {
		t.Fatalf("%q to %q: %v", e.From, e.To, err)
	}
	return c*60 + d - a*60 - b
}

// The shop of the story is in Vienna, which changes its clocks on 29 March and
// 25 October 2026. The demo must open on any day at any hour.
func TestTheDemoOpensWheneverItIsStarted(t *testing.T) {
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Fatal(err)
	}
	want := told(t)
	instants := map[string]time.Time{}
	for d := range 7 { // a week of mornings, Monday 16 November 2026 first
		day := time.Date(2026, 11, 16+d, 9, 15, 0, 0, vienna)
		instants[day.Weekday().String()+" morning"] = day
	}
	for name, at := range map[string]time.Time{
		"Sunday night":                    time.Date(2026, 11, 22, 23, 59, 30, 0, vienna),
		"Monday, the first minute":        time.Date(2026, 11, 23, 0, 0, 1, 0, vienna),
		"before the clocks go forward":    time.Date(2026, 3, 29, 1, 59, 59, 0, vienna),
		"after they went forward":         time.Date(2026, 3, 29, 3, 0, 0, 0, vienna),
		"a fortnight after":               time.Date(2026, 4, 12, 10, 0, 0, 0, vienna),
		"the hour that comes twice":       time.Date(2026, 10, 25, 0, 30, 0, 0, time.UTC),
		"and again":                       time.Date(2026, 10, 25, 1, 30, 0, 0, time.UTC),
		"a month after they went back":    time.Date(2026, 11, 25, 16, 0, 0, 0, vienna),
		"the last evening of a year":      time.Date(2026, 12, 31, 23, 30, 0, 0, vienna),
		"the first morning of a year":     time.Date(2027, 1, 1, 6, 0, 0, 0, vienna),
		"the last day of February":        time.Date(2028, 2, 29, 12, 0, 0, 0, vienna),
		"before anybody came to work":     time.Date(2026, 11, 24, 5, 0, 0, 0, vienna),
		"in the evening of a working day": time.Date(2026, 11, 24, 21, 0, 0, 0, vienna),
	} {
		instants[name] = at
	}
	for name, now := range instants {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := load(t, now.UTC())
			s.checkStates(t, want)
			s.checkHours(t, want)
			s.checkFrames(t)
			if n, err := s.app.VerifyTrail(t.Context(), s.id); err != nil || n < 100 {
				t.Errorf("the trail has %d entries: %v", n, err)
			}
		})
	}
}

// checkStates holds each car to its point of the story: no quote is an
// enquiry, a quote without an answer waits, an answer and hours are work.
func (s shop) checkStates(t *testing.T, want story) {
	t.Helper()
	for _, j := range want.Jobs {
		p, found := s.pages[j.Vehicle.Model]
		if !found {
			t.Errorf("there is no %s", j.Vehicle.Model)
			continue
		}
		state := domain.Enquiry
		switch {
		case len(j.Hours) > 0:
			state = domain.InWork
		case j.Accept != nil:
			state = domain.Accepted
		case j.Quote != nil:
			state = domain.Quoted
		}
		if p.Job.State != state {
			t.Errorf("%s is %s, want %s", j.Vehicle.Model, p.Job.State, state)
		}
		if _, open := p.OpenQuote(); open != (state == domain.Quoted) {
			t.Errorf("%s has a quote to decide: %v", j.Vehicle.Model, open)
		}
		if q, ok := p.Accepted(); ok && (!q.Total.Add(s.approved(t, p)).Equal(p.Job.AuthorisedAmount) || !q.Total.IsPositive()) || ok != (j.Accept != nil) {
			t.Errorf("%s: accepted %v, %s authorised", j.Vehicle.Model, ok, p.Job.AuthorisedAmount)
		}
	}
}

// approved adds up what the orders of a job that its client approved came to.
func (s shop) approved(t *testing.T, p app.JobPage) decimal.Decimal {
	t.Helper()
	orders, err := s.app.Orders(t.Context(), s.owner, p.Job.ID)
	if err != nil {
		t.Fatal(err)
	}
	sum := decimal.Zero
	for _, o := range orders {
		if o.Order.State == domain.OrderApproved {
			sum = sum.Add(o.Order.Decision.Amount)
		}
	}
	return sum
}

// checkHours adds up the entries of the seed file by task and holds the page to
// the sum, each task to a hundredth of an hour and the job to the sum of its tasks.
func (s shop) checkHours(t *testing.T, want story) {
	t.Helper()
	for _, j := range want.Jobs {
		p := s.pages[j.Vehicle.Model]
		byTask, last := map[string]int64{}, map[string]entry{}
		worked, waited := decimal.Zero, int64(0)
		for _, e := range j.Hours {
			byTask[e.Task] += e.minutes(t)
			last[e.Task] = e
		}
		for _, e := range j.Waiting {
			waited += e.minutes(t)
		}
		for _, x := range p.Estimate.Tasks {
			hours := decimal.NewFromInt(byTask[x.Code]).DivRound(decimal.NewFromInt(60), 2)
			worked = worked.Add(hours)
			standing := p.Tasks[x.ID]
			if !standing.Worked.Equal(hours) {
				t.Errorf("%s, %s: %s h worked, the entries have %s", j.Vehicle.Model, x.Code, standing.Worked, hours)
			}
			if e, ok := last[x.Code]; ok && e.Done != (standing.State == app.TaskFinished) {
				t.Errorf("%s, %s is %s; the last entry says done: %v", j.Vehicle.Model, x.Code, standing.State, e.Done)
			}
			if _, ok := last[x.Code]; !ok && x.Kind == domain.Work && standing.State != app.TaskOpen {
				t.Errorf("%s, %s is %s and nobody was on it", j.Vehicle.Model, x.Code, standing.State)
			}
		}
		if !p.Whole.Worked.Equal(worked) || !p.Whole.Waiting.Equal(decimal.NewFromInt(waited).DivRound(decimal.NewFromInt(60), 2)) {
			t.Errorf("%s: %s h worked and %s waited, the entries have %s and %d minutes", j.Vehicle.Model, p.Whole.Worked, p.Whole.Waiting, worked, waited)
		}
		if len(j.Hours) > 0 && (p.Whole.Percent <= 0 || p.Whole.Percent >= 100) {
			t.Errorf("%s is in work at %d %%", j.Vehicle.Model, p.Whole.Percent)
		}
	}
}

func TestEveryoneGetsIn(t *testing.T) {
	now := time.Date(2026, 11, 24, 10, 0, 0, 0, time.UTC)
	s := load(t, now)
	in, err := demo.Enter(t.Context(), s.app, seeds, s.id)
	if err != nil {
		t.Fatal(err)
	}
	for _, email := range []string{in.Owner, in.Technician} {
		if _, err := s.app.SignIn(t.Context(), email, demo.Password, app.Place{Address: "192.0.2.1"}); err != nil {
			t.Errorf("%s: %v", email, err)
		}
	}
	for path, open := range map[string]bool{in.Client: false, in.Deciding: true} {
		if len(path) < 5 || path[:3] != "/c#" {
			t.Errorf("a client's path is %q", path)
			continue
		}
		got, err := s.app.OpenClientLink(t.Context(), path[3:], app.Place{Address: "192.0.2.1"})
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		actor := domain.Actor{ShopID: s.id, PersonID: got.Me.Person.ID, Role: domain.Client}
		jobs, err := s.app.ClientJobs(t.Context(), actor)
		if err != nil || len(jobs) == 0 {
			t.Errorf("%s shows %d jobs: %v", path, len(jobs), err)
			continue
		}
		if _, waits := jobs[0].OpenQuote(); waits != open {
			t.Errorf("%s has a quote to decide: %v, want %v", path, waits, open)
		}
	}
	links, err := s.app.ClientLinks(t.Context(), s.owner, s.pages["Solvane"].Job.ClientID)
	if err != nil || len(links) > 1 {
		t.Errorf("one start makes %d links for one client: %v", len(links), err)
	}
}

func TestTheDemoOpensOnlyWhereThereIsNoShop(t *testing.T) {
	now := time.Date(2026, 11, 24, 10, 0, 0, 0, time.UTC)
	st, err := store.Open(t.Context(), store.Options{SQLitePath: filepath.Join(t.TempDir(), "demo.db"), Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	if err := st.Migrate(t.Context()); err != nil {
		t.Fatal(err)
	}
	n := 0
	o := demo.Options{Files: seeds, Store: st, Passwords: plainPasswords{}, Secret: func() string { n++; return fmt.Sprint("secret-", n) }, Now: now}
	if _, err := demo.Load(t.Context(), o); err != nil {
		t.Fatal(err)
	}
	if _, err := demo.Load(t.Context(), o); err == nil {
		t.Error("a second demo opens beside the first")
	}
	shops, err := st.Shops(t.Context())
	if err != nil || len(shops) != 1 || !shops[0].Demo {
		t.Errorf("%d shops, %v", len(shops), err)
	}
}

func TestASeedWithAnUnknownFieldIsRefused(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "price-book.json"), []byte(`{"labour":[],"materials":[],"surprise":1}`), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := demo.ReadStarting(os.DirFS(dir)); err == nil {
		t.Error("an unknown field passes")
	}
	starting, err := demo.ReadStarting(seeds)
	if err != nil || len(starting.Templates) < 2 || len(starting.PriceBook.Labour) == 0 || len(starting.PriceBook.Materials) == 0 {
		t.Errorf("%d templates, %d rates, %d materials, %v", len(starting.Templates), len(starting.PriceBook.Labour), len(starting.PriceBook.Materials), err)
	}
}
