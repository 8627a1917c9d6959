package crash

import (
	"context"
	"database/sql"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	_ "modernc.org/sqlite" // reads the file past the program

	"bareframe/internal/load"
)

const (
	killRounds      = 20
	killRoundsShort = 3
	technicians     = 4
	handsEach       = 2 // requests that a technician has under way at once
)

// sent is a request and what came of it.
type sent struct {
	who  int
	key  string
	body load.Hours
	id   string // of the acknowledged entry; empty while unacknowledged
}

// ledger keeps what was sent and what was acknowledged.
type ledger struct {
	mu    sync.Mutex
	all   []*sent
	slots [technicians]int
}

// next writes down a request before it is sent.
func (l *ledger) next(who int, s *scene) *sent {
	l.mu.Lock()
	defer l.mu.Unlock()
	slot := l.slots[who]
	l.slots[who]++
	key := fmt.Sprintf("kill-%d-%06d", who, slot)
	e := &sent{who: who, key: key, body: load.HoursAt(s.today, s.shop.Task(0, who), slot, key)}
	l.all = append(l.all, e)
	return e
}

func (l *ledger) acknowledge(e *sent, id string) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if e.id != "" && e.id != id {
		return fmt.Errorf("%s was answered with entry %s and then with %s", e.key, e.id, id)
	}
	e.id = id
	return nil
}

func (l *ledger) open() []*sent {
	l.mu.Lock()
	defer l.mu.Unlock()
	var out []*sent
	for _, e := range l.all {
		if e.id == "" {
			out = append(out, e)
		}
	}
	return out
}

// TestKilledUnderLoad kills the server again and again while technicians log
// hours, and then counts.
func TestKilledUnderLoad(t *testing.T) {
	rounds := killRounds
	if testing.Short() {
		rounds = killRoundsShort
	}
	s := newScene(t, technicians)
	seed := uint64(time.Now().UnixNano())
	dice := rand.New(rand.NewPCG(seed, 1))
	t.Logf("seed %d", seed)
	l := &ledger{}
	var visitors []*load.Visitor
	unanswered, landed := 0, 0
	for round := range rounds {
		p := start(t, s.serve)
		if round == 0 {
			visitors = signIn(t, p.URL, s.shop.Technicians...)
		}
		pending := l.open()
		unanswered += len(pending)
		landed += alreadyThere(t, p.URL, visitors, pending)
		retry(t, p.URL, visitors, l, pending)
		before := len(l.all)
		life := time.Duration(20+dice.IntN(300)) * time.Millisecond
		killDuring(t, p, visitors, l, s, life)
		if len(l.all) == before {
			t.Errorf("round %d: no request was sent in %v", round+1, life)
		}
	}
	p := start(t, s.serve)
	retry(t, p.URL, visitors, l, l.open())
	retry(t, p.URL, visitors, l, everyTenth(l.all)) // an acknowledged one, sent again, is answered as before
	count(t, p.URL, visitors, l)
	countOnPage(t, p.URL, s, l)
	if err := p.Stop(); err != nil {
		t.Error(err)
	}
	countInFile(t, s, l)
	verified(t, s)
	t.Logf("%d kills, %d entries acknowledged, %d requests were under way at a kill, of which %d had been stored", rounds, len(l.all), unanswered, landed)
	if unanswered == 0 {
		t.Error("no kill met a request under way: the test tests nothing")
	}
}

// killDuring puts the load on, kills the process at the moment given and
// returns when nobody sends any more.
func killDuring(t *testing.T, p *load.Process, visitors []*load.Visitor, l *ledger, s *scene, life time.Duration) {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	var hands sync.WaitGroup
	for who, v := range visitors {
		for range handsEach {
			hands.Go(func() {
				for ctx.Err() == nil {
					e := l.next(who, s)
					id, status, err := logHours(ctx, p.URL, v, e.key, e.body)
					if status != 0 && err != nil {
						t.Errorf("%s was refused: %v", e.key, err)
					}
					if err != nil {
						return // the process is gone: this one stays unacknowledged
					}
					if err := l.acknowledge(e, id); err != nil {
						t.Error(err)
					}
				}
			})
		}
	}
	time.Sleep(life)
	if err := p.Kill(); err != nil {
		t.Fatal(err)
	}
	hands.Wait()
}

// alreadyThere counts which unacknowledged requests had been stored before the
// kill: both kinds must occur for the retries to mean something.
func alreadyThere(t *testing.T, base string, visitors []*load.Visitor, pending []*sent) int {
	t.Helper()
	n := 0
	for who, v := range visitors {
		a, err := v.Send(t.Context(), "GET", base+"/api/bench/hours?limit=50", "", nil)
		if err == nil {
			err = a.Want(200)
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range pending {
			if e.who == who && strings.Contains(string(a.Body), `"`+e.key+`"`) {
				n++
			}
		}
	}
	return n
}

// retry sends requests again with their old keys, each from two sides at once.
func retry(t *testing.T, base string, visitors []*load.Visitor, l *ledger, requests []*sent) {
	t.Helper()
	var both sync.WaitGroup
	for _, e := range requests {
		for range 2 {
			both.Go(func() {
				id, _, err := logHours(t.Context(), base, visitors[e.who], e.key, e.body)
				if err == nil {
					err = l.acknowledge(e, id)
				}
				if err != nil {
					t.Errorf("sending %s again: %v", e.key, err)
				}
			})
		}
		both.Wait()
	}
}

func everyTenth(all []*sent) []*sent {
	var out []*sent
	for i := 0; i < len(all); i += 10 {
		out = append(out, all[i])
	}
	return out
}

// count holds what each person's list shows against the ledger.
func count(t *testing.T, base string, visitors []*load.Visitor, l *ledger) {
	t.Helper()
	wanted := map[string]string{} // key to entry
	for _, e := range l.all {
		wanted[e.key] = e.id
	}
	found := map[string]int{}
	for _, v := range visitors {
		for _, e := range entriesOf(t, base, v) {
			found[e.Note]++
			if wanted[e.Note] != e.ID {
				t.Errorf("entry %s bears %q, which was acknowledged as %q", e.ID, e.Note, wanted[e.Note])
			}
			if e.Minutes != 1 || e.Void {
				t.Errorf("entry %s has %d minutes (void %v), want 1", e.ID, e.Minutes, e.Void)
			}
		}
	}
	for key := range wanted {
		if found[key] != 1 {
			t.Errorf("%s is there %d times, want once", key, found[key])
		}
	}
}

// countOnPage holds the job page's hours worked against the ledger.
func countOnPage(t *testing.T, base string, s *scene, l *ledger) {
	t.Helper()
	owner := signIn(t, base, s.shop.Owner)[0]
	a, err := owner.Send(t.Context(), "GET", base+"/api/jobs/"+s.shop.Jobs[0].Job.ID, "", nil)
	if err == nil {
		err = a.Want(200)
	}
	var page struct {
		Tasks []struct {
			ID     string `json:"id"`
			Worked string `json:"worked_hours"`
		} `json:"tasks"`
	}
	if err == nil {
		err = a.Read(&page)
	}
	if err != nil {
		t.Fatal(err)
	}
	minutes := map[string]int{}
	for _, e := range l.all {
		minutes[e.body.TaskID]++
	}
	for _, task := range page.Tasks {
		n := minutes[task.ID]
		if want := fmt.Sprintf("%d.%02d", (n*100+30)/60/100, (n*100+30)/60%100); task.Worked != want {
			t.Errorf("the page says %s hours on task %s, want %s from %d entries of a minute", task.Worked, task.ID, want, n)
		}
		delete(minutes, task.ID)
	}
	if len(minutes) > 0 {
		t.Errorf("the page lacks tasks that hours went on: %v", minutes)
	}
}

// countInFile reads the file past the program: rows, kept answers, trail, and
// SQLite's own check of the file.
func countInFile(t *testing.T, s *scene, l *ledger) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+s.file()+"?mode=ro")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	for text, want := range map[string]string{
		"PRAGMA integrity_check":                                       "ok",
		"SELECT count(*) FROM pragma_foreign_key_check":                "0",
		"SELECT count(*) FROM entries":                                 fmt.Sprint(len(l.all)),
		"SELECT count(DISTINCT note) FROM entries":                     fmt.Sprint(len(l.all)),
		"SELECT count(*) FROM answers WHERE operation = 'logHours'":    fmt.Sprint(len(l.all)),
		"SELECT count(*) FROM trail_entries WHERE action = 'logHours'": fmt.Sprint(len(l.all)),
	} {
		var got string
		if err := db.QueryRow(text).Scan(&got); err != nil || got != want {
			t.Errorf("%s: got %q (%v), want %q", text, got, err, want)
		}
	}
}

func verified(t *testing.T, s *scene) {
	t.Helper()
	out, err := exec.Command(s.serve.Binary, "verify", "--data", s.data).CombinedOutput()
	if err != nil || !strings.Contains(string(out), "unbroken") {
		t.Errorf("bareframe verify: %v\n%s", err, out)
	}
}
