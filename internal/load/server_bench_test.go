package load

import (
	"context"
	"database/sql"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/gin-gonic/gin"
	_ "modernc.org/sqlite" // the bare insert

	"bareframe/internal/demo"
	"bareframe/internal/store"
)

// These benchmarks measure a real server process; run them with -benchtime 1x,
// because each bounds its own load. "make bench" prints them beside the budgets.

// bareSize asks the test binary to be a bare server instead: gin answering a
// JSON text of so many bytes, and nothing else.
const bareSize = "BAREFRAME_BARE_BYTES"

func TestMain(m *testing.M) {
	if n, err := strconv.Atoi(os.Getenv(bareSize)); err == nil {
		if err := serveBare(n); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// row is what the bare answer repeats.
type row struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Net  string `json:"net"`
	N    int    `json:"n"`
}

func serveBare(size int) error {
	gin.SetMode(gin.ReleaseMode)
	rows := make([]row, size/80)
	for i := range rows {
		rows[i] = row{"00000000-0000-7000-8000-0000000000a2", "Steel wire", "1234.50", i}
	}
	engine := gin.New()
	engine.GET("/bare", func(c *gin.Context) { c.JSON(http.StatusOK, rows) })
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	fmt.Printf("bare serves http://%s\n", listener.Addr())
	server := &http.Server{Handler: engine, ReadHeaderTimeout: time.Second}
	return server.Serve(listener)
}

var (
	once     sync.Once
	binary   string
	buildErr error
)

func built(b *testing.B) string {
	b.Helper()
	once.Do(func() {
		if binary = os.Getenv("BAREFRAME_BINARY"); binary == "" { // tools/bench.sh builds once
			var dir string
			if dir, buildErr = os.MkdirTemp("", "bareframe-bench-"); buildErr == nil {
				binary, buildErr = Build(context.Background(), dir)
			}
		}
	})
	if buildErr != nil {
		b.Fatal(buildErr)
	}
	return binary
}

func begin(b *testing.B, s Serve) *Process {
	b.Helper()
	p, err := s.Start(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = p.Kill() })
	return p
}

func signedIn(b *testing.B, base, email, password string) *Visitor {
	b.Helper()
	v := NewVisitor(64)
	if err := v.SignIn(b.Context(), base, email, password); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(v.Forget)
	return v
}

func get(b *testing.B, v *Visitor, url string, into any) Answer {
	b.Helper()
	a, err := v.Send(b.Context(), http.MethodGet, url, "", nil)
	if err == nil {
		err = a.Want(http.StatusOK)
	}
	if err == nil && into != nil {
		err = a.Read(into)
	}
	if err != nil {
		b.Fatalf("%s: %v", url, err)
	}
	return a
}

const demoOwner = "owner@selvane.example.org"

// demoJob returns the demo's job with most hours worked.
func demoJob(b *testing.B, v *Visitor, base string) string {
	b.Helper()
	var jobs struct {
		Items []struct {
			ID    string `json:"id"`
			State string `json:"state"`
		} `json:"items"`
	}
	get(b, v, base+"/api/jobs", &jobs)
	best, bytes := "", 0
	for _, j := range jobs.Items {
		if j.State != "in_work" {
			continue
		}
		if n := len(get(b, v, base+"/api/jobs/"+j.ID, nil).Body); n > bytes {
			best, bytes = j.ID, n
		}
	}
	if best == "" {
		b.Fatal("the demo has no job in work")
	}
	return best
}

func wellAnswered(b *testing.B, s Spread) Spread {
	b.Helper()
	if s.Failed > 0 || len(s.Took) == 0 {
		b.Fatalf("%v: %v", s, s.First)
	}
	return s
}

func milliseconds(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

const (
	steadyRate  = 100  // requests a second
	steadyCount = 1000 // ten seconds
)

func getting(v *Visitor, url string) func(ctx context.Context, _ int) error {
	return func(ctx context.Context, _ int) error {
		a, err := v.Send(ctx, http.MethodGet, url, "", nil)
		if err != nil {
			return err
		}
		return a.Want(http.StatusOK)
	}
}

// BenchmarkJobPage asks for the demo's accepted job with its hours at 100
// requests a second for ten seconds, and then a bare gin server for a JSON
// answer of the same size under the same load.
func BenchmarkJobPage(b *testing.B) {
	p := begin(b, Serve{Binary: built(b), Args: []string{"--demo", "--data", b.TempDir()}})
	v := signedIn(b, p.URL, demoOwner, demo.Password)
	url := p.URL + "/api/jobs/" + demoJob(b, v, p.URL)
	size := len(get(b, v, url, nil).Body)
	for b.Loop() {
		wellAnswered(b, Steady(b.Context(), steadyRate, 200, getting(v, url))) // warm
		before := used(b, p)
		page := wellAnswered(b, Steady(b.Context(), steadyRate, steadyCount, getting(v, url)))
		b.ReportMetric(milliseconds(used(b, p)-before)/steadyCount, "cpu-ms")
		bare, bareUsed := bareLoad(b, size)
		b.ReportMetric(milliseconds(bareUsed)/steadyCount, "bare-cpu-ms")
		b.ReportMetric(milliseconds(page.At(50)), "p50-ms")
		b.ReportMetric(milliseconds(page.At(99)), "p99-ms")
		b.ReportMetric(milliseconds(bare.At(50)), "bare-p50-ms")
		b.ReportMetric(milliseconds(bare.At(99)), "bare-p99-ms")
		b.ReportMetric(float64(size), "bytes")
	}
}

func used(b *testing.B, p *Process) time.Duration {
	b.Helper()
	d, err := p.Processor()
	if err != nil {
		b.Fatal(err)
	}
	return d
}

func bareLoad(b *testing.B, size int) (Spread, time.Duration) {
	b.Helper()
	p := begin(b, Serve{Binary: self(b), Env: []string{bareSize + "=" + strconv.Itoa(size)}})
	defer func() { _ = p.Kill() }()
	v := NewVisitor(64)
	defer v.Forget()
	before := used(b, p)
	s := wellAnswered(b, Steady(b.Context(), steadyRate, steadyCount, getting(v, p.URL+"/bare")))
	return s, used(b, p) - before
}

// BenchmarkStatements counts the SQL statements behind one job page of 75 tasks
// and one of 300, from the server's log at debug level. Begin and commit are
// not counted.
func BenchmarkStatements(b *testing.B) {
	data := b.TempDir()
	shop, err := Make(b.Context(), Making{Store: store.Options{SQLitePath: filepath.Join(data, "bareframe.db")}, Technicians: 1, Jobs: []int{75, 300}})
	if err != nil {
		b.Fatal(err)
	}
	p := begin(b, Serve{Binary: built(b), Args: []string{"--data", data}, LogLevel: "debug"})
	owner := signedIn(b, p.URL, shop.Owner, Password)
	tech := signedIn(b, p.URL, shop.Technicians[0], Password)
	today := time.Now()
	logged := 0
	hours := func(job int) func() {
		return func() {
			a, err := tech.Send(b.Context(), http.MethodPost, p.URL+"/api/bench/hours", fmt.Sprintf("statements-%d", logged), HoursAt(today, shop.Task(job, 0), logged, "x"))
			if err == nil {
				err = a.Want(http.StatusCreated)
			}
			if err != nil {
				b.Fatal(err)
			}
			logged++
		}
	}
	page := func(job int) func() {
		return func() { get(b, owner, p.URL+"/api/jobs/"+shop.Jobs[job].Job.ID, nil) }
	}
	for b.Loop() {
		hours(0)() // the first hours move the job
		hours(1)()
		page(0)() // the estimate of a version is read once
		page(1)()
		b.ReportMetric(float64(statements(p, page(0))), "page-75-tasks")
		b.ReportMetric(float64(statements(p, page(1))), "page-300-tasks")
		b.ReportMetric(float64(statements(p, hours(1))), "hours-entry")
	}
}

func statements(p *Process, request func()) int {
	before := settled(p)
	request()
	return settled(p) - before
}

// settled counts the statements in the log once it has stood still for a while:
// it comes through a pipe.
func settled(p *Process) int {
	n, still := -1, 0
	for still < 10 {
		now := strings.Count(p.Log(), "msg=statement ")
		if still++; now != n {
			n, still = now, 0
		}
		time.Sleep(30 * time.Millisecond)
	}
	return n
}

const (
	benchTechnicians = 8
	greedyLasting    = 5 * time.Second
	mostGreedy       = 4000 // entries a worker
)

// BenchmarkHoursEntry logs hours over HTTP, durable before each answer: as many
// as 16 requests at once can, and 100 a second for ten seconds. A bare insert
// at synchronous=FULL through database/sql runs on the same disk before and
// after.
func BenchmarkHoursEntry(b *testing.B) {
	data := b.TempDir()
	shop, err := Make(b.Context(), Making{Store: store.Options{SQLitePath: filepath.Join(data, "bareframe.db")}, Technicians: benchTechnicians, Jobs: []int{75}})
	if err != nil {
		b.Fatal(err)
	}
	p := begin(b, Serve{Binary: built(b), Args: []string{"--data", data}})
	var techs []*Visitor
	for _, email := range shop.Technicians {
		techs = append(techs, signedIn(b, p.URL, email, Password))
	}
	today := time.Now()
	logging := func(ctx context.Context, worker, slot int, load string) error {
		key := fmt.Sprintf("%s-%d-%d", load, worker, slot)
		a, err := techs[worker%benchTechnicians].Send(ctx, http.MethodPost, p.URL+"/api/bench/hours", key, HoursAt(today, shop.Task(0, worker), slot, key))
		if err != nil {
			return err
		}
		return a.Want(http.StatusCreated)
	}
	for b.Loop() {
		before := bareInserts(b, data)
		greedy := wellAnswered(b, Greedy(b.Context(), 2*benchTechnicians, mostGreedy, greedyLasting, func(ctx context.Context, w, i int) error {
			return logging(ctx, w, (w/benchTechnicians)*mostGreedy+i, "greedy")
		}))
		usedBefore := used(b, p)
		steady := wellAnswered(b, Steady(b.Context(), steadyRate, steadyCount, func(ctx context.Context, i int) error {
			return logging(ctx, i%benchTechnicians, 2*mostGreedy+i, "steady")
		}))
		b.ReportMetric(milliseconds(used(b, p)-usedBefore)/steadyCount, "cpu-ms")
		after := bareInserts(b, data)
		b.ReportMetric(greedy.PerSecond(), "entries/s")
		b.ReportMetric(milliseconds(steady.At(50)), "p50-ms")
		b.ReportMetric(milliseconds(steady.At(99)), "p99-ms")
		b.ReportMetric((before.PerSecond()+after.PerSecond())/2, "bare-inserts/s")
		b.ReportMetric(milliseconds(max(before.At(99), after.At(99))), "bare-p99-ms")
	}
}

// bareInserts is what disk and database allow: one row and one commit at a time.
func bareInserts(b *testing.B, dir string) Spread {
	b.Helper()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(dir, "bare.db")+"?_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)")
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	if _, err := db.Exec("CREATE TABLE IF NOT EXISTS bare (id INTEGER PRIMARY KEY, note TEXT NOT NULL, at TEXT NOT NULL)"); err != nil {
		b.Fatal(err)
	}
	insert, err := db.Prepare("INSERT INTO bare (note, at) VALUES (?, ?)")
	if err != nil {
		b.Fatal(err)
	}
	defer insert.Close()
	return wellAnswered(b, Greedy(b.Context(), 1, mostGreedy, 2*time.Second, func(context.Context, int, int) error {
		_, err := insert.Exec("x", "2031-05-06T00:00:00Z")
		return err
	}))
}

const coldStarts = 10

// BenchmarkColdStart times from starting the process to the first answer of a
// request that reads a job from the store: the very first start, which plays
// the demo, and the median of ten with the demo already there.
func BenchmarkColdStart(b *testing.B) {
	data := b.TempDir()
	serve := Serve{Binary: built(b), Args: []string{"--demo", "--data", data}}
	for b.Loop() {
		p := begin(b, serve)
		v := signedIn(b, p.URL, demoOwner, demo.Password)
		job := demoJob(b, v, p.URL)
		stop(b, p)
		v.Forget()
		first := coldStart(b, Serve{Binary: serve.Binary, Args: []string{"--demo", "--data", b.TempDir()}}, NewVisitor(1), "/api/setup")
		var again, bare []float64
		for range coldStarts {
			again = append(again, coldStart(b, serve, v, "/api/jobs/"+job))
			bare = append(bare, coldStart(b, Serve{Binary: self(b), Env: []string{bareSize + "=1000"}}, NewVisitor(1), "/bare"))
		}
		b.ReportMetric(first, "first-ms")
		b.ReportMetric(Median(again), "ms")
		b.ReportMetric(Median(bare), "bare-ms")
	}
}

func self(b *testing.B) string {
	b.Helper()
	path, err := os.Executable()
	if err != nil {
		b.Fatal(err)
	}
	return path
}

// coldStart returns milliseconds.
func coldStart(b *testing.B, s Serve, v *Visitor, path string) float64 {
	b.Helper()
	p := begin(b, s)
	get(b, v, p.URL+path, nil)
	took := milliseconds(time.Since(p.Began))
	v.Forget()
	_ = p.Kill()
	return took
}

func stop(b *testing.B, p *Process) {
	b.Helper()
	if err := p.Stop(); err != nil {
		b.Fatal(err)
	}
}

const (
	manyJobs    = 200
	tasksOfMany = 75
)

// BenchmarkMemory reads what a server holds in main memory that serves a shop
// of 200 jobs of 75 tasks, after listing all jobs and opening each page.
func BenchmarkMemory(b *testing.B) {
	data := b.TempDir()
	sizes := make([]int, manyJobs)
	for i := range sizes {
		sizes[i] = tasksOfMany
	}
	shop, err := Make(b.Context(), Making{Store: store.Options{SQLitePath: filepath.Join(data, "bareframe.db")}, Technicians: 1, Jobs: sizes})
	if err != nil {
		b.Fatal(err)
	}
	p := begin(b, Serve{Binary: built(b), Args: []string{"--data", data}})
	for b.Loop() {
		owner := signedIn(b, p.URL, shop.Owner, Password)
		start, _, err := p.Memory()
		if err != nil {
			b.Fatal(err)
		}
		listAll(b, owner, p.URL)
		pages := wellAnswered(b, Greedy(b.Context(), 4, manyJobs/4, time.Minute, func(ctx context.Context, w, i int) error {
			return getting(owner, p.URL+"/api/jobs/"+shop.Jobs[w*manyJobs/4+i].Job.ID)(ctx, i)
		}))
		now, most, err := p.Memory()
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(now)/(1<<20), "MiB")
		b.ReportMetric(float64(most)/(1<<20), "most-MiB")
		b.ReportMetric(float64(start)/(1<<20), "at-start-MiB")
		b.ReportMetric(float64(len(pages.Took)), "pages")
	}
}

func listAll(b *testing.B, owner *Visitor, base string) {
	b.Helper()
	seen, cursor := 0, ""
	for {
		var jobs struct {
			Items []struct {
				ID string `json:"id"`
			} `json:"items"`
			Next string `json:"next_cursor"`
		}
		get(b, owner, base+"/api/jobs?limit=50&cursor="+cursor, &jobs)
		seen += len(jobs.Items)
		if cursor = jobs.Next; cursor == "" {
			break
		}
	}
	if seen != manyJobs {
		b.Fatalf("the list shows %d jobs, want %d", seen, manyJobs)
	}
}
