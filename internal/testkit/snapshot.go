package testkit

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"bareframe/internal/store"
)

// snapshot is a world as it stood when it came to its stage: the store's file
// and what the browsers held. Building a world waits for the disk some sixty
// times; a copy waits once.
type snapshot struct {
	world   *World
	file    []byte
	lastID  uint64
	cookies map[*Person][]*http.Cookie
}

var (
	snapshotMu sync.Mutex
	snapshots  = map[Stage]*snapshot{}
)

// snapshotOf returns the snapshot of a stage, taken once a test binary.
func snapshotOf(t testing.TB, stage Stage) *snapshot {
	t.Helper()
	snapshotMu.Lock()
	defer snapshotMu.Unlock()
	if s := snapshots[stage]; s != nil {
		return s
	}
	path := filepath.Join(t.TempDir(), "stage.db")
	w := populate(t, open(t, store.Options{SQLitePath: path}), stage)
	s := &snapshot{world: w, lastID: w.ids.last.Load(), cookies: map[*Person][]*http.Cookie{}}
	for _, p := range w.people() {
		s.cookies[*p] = (*p).Cookies()
	}
	w.Hub.Close()
	w.Server.Close()
	if err := w.Store.Close(); err != nil {
		t.Fatalf("closing the world to copy: %v", err)
	}
	if _, err := os.Stat(path + "-wal"); err == nil {
		t.Fatal("the closed store left a journal beside its file; a copy of the file would lack what is in it")
	}
	var err error
	if s.file, err = os.ReadFile(path); err != nil {
		t.Fatal(err)
	}
	snapshots[stage] = s
	return s
}

// restore starts the program on a copy of the snapshot, with everybody signed
// in as they were.
func (s *snapshot) restore(t testing.TB) *World {
	t.Helper()
	path := filepath.Join(t.TempDir(), "shop.db")
	if err := os.WriteFile(path, s.file, 0o600); err != nil {
		t.Fatal(err)
	}
	was := s.world
	w := &World{Stack: open(t, store.Options{SQLitePath: path}), ShopA: was.ShopA, ShopB: was.ShopB, Job: was.Job, OtherJob: was.OtherJob,
		RivalJob: was.RivalJob, Quote: was.Quote, vars: map[string]string{}}
	w.ids.last.Store(s.lastID)
	w.Nobody = w.Browser("nobody")
	u, err := url.Parse(w.Server.URL)
	if err != nil {
		t.Fatal(err)
	}
	from, to := was.people(), w.people()
	for i, p := range from {
		again := **p
		again.Client = w.Browser((*p).Name)
		again.HTTP.Jar.SetCookies(u, s.cookies[*p])
		*to[i] = &again
	}
	for name, value := range was.vars {
		w.vars[name] = value
	}
	w.Clock.Set(Now)
	return w
}

// people lists where a world keeps its people, always in one order.
func (w *World) people() []**Person {
	return []**Person{&w.Owner, &w.Tech, &w.Tech2, &w.ClientOf, &w.OtherClient, &w.Rival, &w.RivalTech, &w.RivalClient}
}
