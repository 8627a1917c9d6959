package crash

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"bareframe/internal/testkit/postgres"

	_ "github.com/jackc/pgx/v5/stdlib" // makes a schema for the test

	"bareframe/internal/load"
	"bareframe/internal/store"
)

func asExit(err error, into **exec.ExitError) bool { return errors.As(err, into) }

// pair is two servers on one database.
type pair struct {
	database string
	serve    load.Serve
	shop     load.Shop
	urls     [2]string
	techs    []*load.Visitor
	owner    *load.Visitor
	today    time.Time
}

func newPair(t *testing.T) *pair {
	t.Helper()
	p := &pair{database: postgres.Schema(t), today: time.Now()}
	var err error
	if p.shop, err = load.Make(t.Context(), load.Making{Store: store.Options{PostgresURL: p.database}, Technicians: 2, Jobs: []int{0}}); err != nil {
		t.Fatal(err)
	}
	p.serve = load.Serve{Binary: binary(t), Env: []string{"DATABASE_URL=" + p.database}, Args: []string{"--data", t.TempDir()}}
	for i := range p.urls {
		p.urls[i] = start(t, p.serve).URL
	}
	// Signed in on the first instance; every test uses both.
	p.techs = signIn(t, p.urls[0], p.shop.Technicians...)
	p.owner = signIn(t, p.urls[0], p.shop.Owner)[0]
	return p
}

// onBoth sends to both instances at the same moment.
func (p *pair) onBoth(send func(instance int, base string)) {
	var both sync.WaitGroup
	gate := make(chan struct{})
	for i, base := range p.urls {
		both.Go(func() {
			<-gate
			send(i, base)
		})
	}
	close(gate)
	both.Wait()
}

// TestTwoInstances runs two servers on one PostgreSQL.
func TestTwoInstances(t *testing.T) {
	p := newPair(t)
	t.Run("a session made on one works on the other, and ends on both", func(t *testing.T) { p.sessions(t) })
	t.Run("one key sent to both counts once", func(t *testing.T) { p.oneKey(t) })
	t.Run("nobody is on two tasks, whichever instance is asked", func(t *testing.T) { p.overlap(t) })
	t.Run("job numbers are unique", func(t *testing.T) { p.numbers(t) })
	out, err := p.verify()
	if err != nil || !strings.Contains(out, "unbroken") {
		t.Errorf("bareframe verify: %v\n%s", err, out)
	}
}

func (p *pair) verify() (string, error) {
	c := exec.Command(p.serve.Binary, "verify")
	c.Env = append(os.Environ(), "DATABASE_URL="+p.database)
	out, err := c.CombinedOutput()
	return string(out), err
}

func (p *pair) sessions(t *testing.T) {
	v := signIn(t, p.urls[0], p.shop.Technicians[0])[0]
	for i, base := range p.urls {
		if a, err := v.Send(t.Context(), "GET", base+"/api/me", "", nil); err != nil || a.Status != 200 {
			t.Errorf("instance %d: %d %v %s", i+1, a.Status, err, a.Body)
		}
	}
	if a, err := v.Send(t.Context(), "DELETE", p.urls[1]+"/api/sessions/current", "", nil); err != nil || a.Status != 204 {
		t.Fatalf("signing out on the second: %d %v %s", a.Status, err, a.Body)
	}
	for i, base := range p.urls {
		if a, err := v.Send(t.Context(), "GET", base+"/api/me", "", nil); err != nil || a.Status != 401 {
			t.Errorf("instance %d after signing out on the second: %d %v, want 401", i+1, a.Status, err)
		}
	}
}

const races = 25

func (p *pair) oneKey(t *testing.T) {
	v := p.techs[0]
	for i := range races {
		var ids [2]string
		body := load.HoursAt(p.today, p.shop.Task(0, 0), i, fmt.Sprintf("twice %d", i))
		p.onBoth(func(n int, base string) {
			id, _, err := logHours(t.Context(), base, v, fmt.Sprintf("twice-%04d", i), body)
			if err != nil {
				t.Errorf("instance %d: %v", n+1, err)
			}
			ids[n] = id
		})
		if ids[0] != ids[1] {
			t.Errorf("one key was answered with %s and %s", ids[0], ids[1])
		}
	}
	if all := entriesOf(t, p.urls[0], v); len(all) != races {
		t.Errorf("%d entries are there, want %d", len(all), races)
	}
}

func (p *pair) overlap(t *testing.T) {
	v := p.techs[1]
	for i := range races {
		var statuses [2]int
		p.onBoth(func(n int, base string) {
			body := load.HoursAt(p.today, p.shop.Task(0, n), 3*i, "race")
			body.FinishedAt = body.FinishedAt.Add(time.Duration(n) * time.Minute)
			a, err := v.Send(t.Context(), "POST", base+"/api/bench/hours", fmt.Sprintf("race-%d-%04d", n, i), body)
			if err != nil {
				t.Errorf("instance %d: %v", n+1, err)
			}
			statuses[n] = a.Status
			if a.Status == 409 && !strings.Contains(string(a.Body), "hours-overlap") {
				t.Errorf("instance %d refuses for another reason: %s", n+1, a.Body)
			}
		})
		slices.Sort(statuses[:])
		if statuses != [2]int{201, 409} {
			t.Errorf("two entries that overlap were answered %v, want one 201 and one 409", statuses)
		}
	}
	if all := entriesOf(t, p.urls[1], v); len(all) != races {
		t.Errorf("%d entries are there, want %d", len(all), races)
	}
}

func (p *pair) numbers(t *testing.T) {
	var templates struct {
		Items []struct {
			ID             string `json:"id"`
			VehicleOptions []struct {
				Key     string `json:"key"`
				Choices []struct {
					Key string `json:"key"`
				} `json:"choices"`
			} `json:"vehicle_options"`
		} `json:"items"`
	}
	a, err := p.owner.Send(t.Context(), "GET", p.urls[0]+"/api/templates", "", nil)
	if err != nil || a.Read(&templates) != nil || len(templates.Items) == 0 {
		t.Fatalf("no templates: %v %s", err, a.Body)
	}
	options := map[string]string{}
	for _, o := range templates.Items[0].VehicleOptions {
		options[o.Key] = o.Choices[0].Key
	}
	var mu sync.Mutex
	seen := map[int]bool{}
	for i := range 8 {
		p.onBoth(func(n int, base string) {
			a, err := p.owner.Send(t.Context(), "POST", base+"/api/jobs", fmt.Sprintf("number-%d-%d", n, i), map[string]any{
				"title": "Race", "template_id": templates.Items[0].ID, "client_id": p.shop.Jobs[0].Client.ID,
				"vehicle": map[string]any{"make": "Corvane", "model": "Tern", "year": 1967, "serial": "T67-0001", "options": options}})
			var made struct {
				Job struct {
					Number int `json:"number"`
				} `json:"job"`
			}
			if err != nil || a.Status != 201 || a.Read(&made) != nil || made.Job.Number == 0 {
				t.Errorf("instance %d: %d %v %s", n+1, a.Status, err, a.Body[:min(len(a.Body), 300)])
				return
			}
			mu.Lock()
			defer mu.Unlock()
			if seen[made.Job.Number] {
				t.Errorf("job number %d was given twice", made.Job.Number)
			}
			seen[made.Job.Number] = true
		})
	}
}
