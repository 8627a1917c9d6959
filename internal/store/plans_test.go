package store

import (
	"context"
	"strings"
	"sync"
	"testing"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/logger"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// recorder keeps the statements that it sees.
type recorder struct {
	logger.Interface
	mu   *sync.Mutex
	seen map[string]bool
}

func (r recorder) ParamsFilter(_ context.Context, text string, _ ...any) (string, []any) {
	return text, nil
}

func (r recorder) Trace(_ context.Context, _ time.Time, text func() (string, int64), _ error) {
	statement, _ := text()
	r.mu.Lock()
	defer r.mu.Unlock()
	r.seen[statement] = true
}

// Each statement of a use case finds its rows by an index, and no page sorts
// what it does not return. What SQLite plans says so; the statements are those
// that the methods really ran.
func TestNoStatementWalksATable(t *testing.T) {
	s := newSQLite(t)
	f := furnish(t, s, "a")
	base := s.backend.(*sqliteBackend).base
	rec := recorder{base.Logger, &sync.Mutex{}, map[string]bool{}}
	base.Logger = rec
	several := []domain.ID{f.job.ID, "other"}
	markers := map[string]string{"people": position("people", "a", "b"), "jobs": position("jobs", 5), "trail": position("trail", 5), "entries": position("entries", at(0), "x")}
	view(t, s, "a", func(r app.Reader) {
		for _, jobs := range [][]domain.ID{several[:1], several} {
			for _, err := range []error{second(r.Estimates(jobs)), second(r.Entries(jobs)), second(r.Quotes(jobs)), second(r.Baselines(jobs)),
				second(r.JobNumbers(jobs)), second(r.TaskNames(jobs)), second(r.PeopleByID(jobs))} {
				if err != nil {
					t.Fatal(err)
				}
			}
		}
		for _, on := range []bool{false, true} {
			after := func(kind string) app.Page {
				if on {
					return app.Page{After: markers[kind]}
				}
				return app.Page{}
			}
			for _, err := range []error{third(r.People("", after("people"))), third(r.People(domain.Client, after("people"))), third(r.Jobs(nil, "", after("jobs"))),
				third(r.Jobs(nil, f.cl.ID, after("jobs"))), third(r.Jobs([]domain.JobState{domain.Closed, domain.Quoted}, "", after("jobs"))),
				third(r.JobEntriesPage(f.job.ID, after("entries"))), third(r.PersonEntriesPage(f.fitter.ID, after("entries"))),
				third(r.Trail("", after("trail"))), third(r.Trail(f.job.ID, after("trail")))} {
				if err != nil {
					t.Fatal(err)
				}
			}
		}
		readPeople(t, r, f)
		readQuotes(t, r, f)
		readEntries(t, r, f)
		for _, err := range []error{second(r.Authorisers(f.job.ID)), second(r.Authoriser("x")), second(r.Payments(f.job.ID)), second(r.Payment("x")), second(r.Supplies(f.job.ID)), second(r.Expected([]domain.ID{f.job.ID})),
			second(r.WatchOverrides(f.job.ID)), second(r.Letters(f.job.ID)), second(r.Mail("x")), second(r.MailByID(several)), second(r.DueMail(noon, 5)),
			third(r.MailPage(app.Page{})), third(r.MailPage(app.Page{After: position("mail", at(0), "x")}))} {
			if err != nil && fault.KindOf(err) != fault.NotFound {
				t.Fatal(err)
			}
		}
		for _, kind := range []domain.CalendarKind{domain.CalendarOfPerson, domain.CalendarOfStation, domain.CalendarOfJob} {
			same(t, "calendars", must(second(r.CalendarLinks()), third(r.CalendarLinkOf(kind, "x"))), nil, nil)
		}
		_, err := r.EntriesAround(f.fitter.ID, at(0), at(1))
		_, inOrder := r.TrailFrom(1, 5)
		_, ofTask := r.JobOfTask("a-t1")
		same(t, "others", must(err, inOrder, ofTask), nil, nil)
	})
	update(t, s, "a", func(tx app.Tx) error {
		done := f.runs
		done.FinishedAt = ptr(at(90))
		_, _, err := tx.Answer("a", "b")
		return must(err, tx.FinishEntry(done), tx.SaveTask(f.estimate.Tasks[0]), tx.SaveJob(f.job), tx.SetScope(f.job.ID, []domain.ID{"a-t1", "a-t2"}, []domain.ID{"a-line"}, domain.Outside),
			tx.RemoveTask("a-t1", at(1)), tx.RemoveLine("a-line", at(1)), tx.EndSessions(f.cl.ID, f.access.ID, "x"), tx.SavePerson(f.cl),
			tx.AppendTrail(domain.TrailEntry{At: noon}), tx.SaveQuoteState(f.quote), tx.ReplaceBaseline(f.job.ID, nil))
	})
	_, _, _ = s.PersonByEmail(t.Context(), "x")
	_, _ = s.LinkByHash(t.Context(), "x")
	_, _ = s.CalendarLinkByHash(t.Context(), "x")
	_ = s.TouchCalendarLink(t.Context(), "a", "x", at(0))
	_, _, _ = s.SessionByHash(t.Context(), "x", at(0))
	_ = s.TouchSession(t.Context(), "x", at(0), at(1))
	if len(rec.seen) < 50 {
		t.Fatalf("only %d statements were seen", len(rec.seen))
	}
	base.Logger = rec.Interface
	for statement := range rec.seen {
		checkPlan(t, s, statement)
	}
}

func checkPlan(t *testing.T, s *Store, statement string) {
	t.Helper()
	if strings.HasPrefix(statement, "INSERT") {
		return
	}
	if strings.Contains(statement, "a-job") || strings.Contains(statement, "Kranz") {
		t.Errorf("values of parameters reach the log: %s", statement)
	}
	var steps []struct{ Detail string }
	err := s.backend.write(t.Context(), func(db *gorm.DB) error {
		marks := make([]any, strings.Count(statement, "?"))
		return db.Raw("EXPLAIN QUERY PLAN "+statement, marks...).Scan(&steps).Error
	})
	if err != nil || len(steps) == 0 {
		t.Errorf("no plan for %s: %v", statement, err)
	}
	paged := strings.Contains(statement, "LIMIT")
	for _, step := range steps {
		walks := strings.HasPrefix(step.Detail, "SCAN") && !strings.Contains(step.Detail, "json_each")
		// A list by name or number of one shop may start at the shop's first row,
		// but by an index; a search on the shop alone is a walk only when it then sorts.
		sorts := paged && strings.Contains(step.Detail, "TEMP B-TREE")
		if walks || sorts {
			t.Errorf("%s\n\t%s", step.Detail, statement)
		}
	}
}
