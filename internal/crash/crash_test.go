package crash

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"bareframe/internal/load"
	"bareframe/internal/store"
)

var (
	buildOnce sync.Once
	built     string
	buildErr  error
)

func TestMain(m *testing.M) {
	code := m.Run()
	if built != "" {
		_ = os.RemoveAll(filepath.Dir(built))
	}
	os.Exit(code)
}

// binary builds the product once a test run.
func binary(t *testing.T) string {
	t.Helper()
	buildOnce.Do(func() {
		dir, err := os.MkdirTemp("", "bareframe-crash-")
		if err != nil {
			buildErr = err
			return
		}
		if built, buildErr = load.Build(context.Background(), dir); buildErr != nil {
			_ = os.RemoveAll(dir)
		}
	})
	if buildErr != nil {
		t.Fatal(buildErr)
	}
	return built
}

// scene is a made shop on a SQLite file and how to serve it.
type scene struct {
	data  string
	shop  load.Shop
	serve load.Serve
	today time.Time
}

func newScene(t *testing.T, technicians int) *scene {
	t.Helper()
	s := &scene{data: t.TempDir(), today: time.Now()}
	var err error
	if s.shop, err = load.Make(t.Context(), load.Making{Store: store.Options{SQLitePath: s.file()}, Technicians: technicians, Jobs: []int{0}}); err != nil {
		t.Fatal(err)
	}
	s.serve = load.Serve{Binary: binary(t), Args: []string{"--data", s.data}}
	return s
}

func (s *scene) file() string { return filepath.Join(s.data, "bareframe.db") }

func start(t *testing.T, s load.Serve) *load.Process {
	t.Helper()
	p, err := s.Start(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.Kill() })
	return p
}

// signIn signs everybody of a list in over HTTP.
func signIn(t *testing.T, base string, emails ...string) []*load.Visitor {
	t.Helper()
	out := make([]*load.Visitor, len(emails))
	for i, email := range emails {
		out[i] = load.NewVisitor(8)
		if err := out[i].SignIn(t.Context(), base, email, load.Password); err != nil {
			t.Fatal(err)
		}
		t.Cleanup(out[i].Forget)
	}
	return out
}

// entry is what the tests read of an hours entry.
type entry struct {
	ID      string `json:"id"`
	Note    string `json:"note"`
	Minutes int    `json:"minutes"`
	TaskID  string `json:"task_id"`
	Void    bool   `json:"void"`
}

type problem struct {
	Type   string `json:"type"`
	Detail string `json:"detail"`
}

// entriesOf reads all entries of a person, page by page.
func entriesOf(t *testing.T, base string, v *load.Visitor) []entry {
	t.Helper()
	var all []entry
	cursor := ""
	for {
		a, err := v.Send(t.Context(), "GET", base+"/api/bench/hours?limit=200&cursor="+cursor, "", nil)
		if err == nil {
			err = a.Want(200)
		}
		var page struct {
			Items []entry `json:"items"`
			Next  string  `json:"next_cursor"`
		}
		if err == nil {
			err = a.Read(&page)
		}
		if err != nil {
			t.Fatalf("reading entries: %v", err)
		}
		all = append(all, page.Items...)
		if page.Next == "" {
			return all
		}
		cursor = page.Next
	}
}

// logHours sends an entry. The answer's ID is empty when the request failed.
func logHours(ctx context.Context, base string, v *load.Visitor, key string, h load.Hours) (string, int, error) {
	a, err := v.Send(ctx, "POST", base+"/api/bench/hours", key, h)
	if err != nil {
		return "", 0, err
	}
	if a.Status != 201 {
		return "", a.Status, fmt.Errorf("status %d: %s", a.Status, a.Body)
	}
	var e entry
	if err := a.Read(&e); err != nil || e.ID == "" {
		return "", a.Status, fmt.Errorf("an acknowledgement without an ID: %s (%w)", a.Body, err)
	}
	return e.ID, a.Status, nil
}
