package store

import (
	"encoding/base64"
	"fmt"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// walk follows a list to its end and returns the IDs of all its pages.
func walk[T any](t *testing.T, limit int, id func(T) string, load func(app.Page) ([]T, string, error)) []string {
	t.Helper()
	var out []string
	page := app.Page{Limit: limit}
	for {
		rows, next, err := load(page)
		if err != nil {
			t.Fatal(err)
		}
		if len(rows) > limit || (next != "" && len(rows) < limit) {
			t.Fatalf("a page of at most %d has %d rows and goes on at %q", limit, len(rows), next)
		}
		for _, row := range rows {
			out = append(out, id(row))
		}
		if next == "" {
			return out
		}
		page.After = next
	}
}

// fill adds people, jobs and entries, many with the same sort key.
func fill(t *testing.T, s *Store, f furniture) {
	update(t, s, f.shop.ID, func(tx app.Tx) error {
		for i := range 12 {
			p := f.cl
			p.ID, p.Name = fmt.Sprintf("p%02d", i), []string{"Zoe", "adam", "Özil", "Bea"}[i%4]
			j := f.job
			j.ID, j.Number, j.State = fmt.Sprintf("j%02d", i), 10+i, []domain.JobState{domain.Enquiry, domain.Closed, domain.Quoted}[i%3]
			if i%2 == 1 {
				j.ClientID = p.ID
			}
			e := f.done
			e.ID, e.LoggedAt = fmt.Sprintf("e%02d", i), at(200+i/5)
			if err := must(tx.AddPerson(p), tx.AddJob(j), tx.AddEntry(e)); err != nil {
				return err
			}
		}
		return nil
	})
}

func TestPagesCoverEachRowOnce(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		furnish(t, s, "b")
		fill(t, s, f)
		person := func(p domain.Person) string { return p.ID }
		job := func(j domain.Job) string { return j.ID }
		entry := func(e domain.Entry) string { return e.ID }
		everyone := []string{"a-client", "p01", "p05", "p09", "p03", "p07", "p11", "a-fitter", "a-owner", "p00", "p04", "p08", "p02", "p06", "p10"}
		entries := []string{"e11", "e10", "e09", "e08", "e07", "e06", "e05", "e04", "e03", "e02", "e01", "e00", "a-runs", "a-done"}
		for _, limit := range []int{1, 2, 5, 14, 15, 100} {
			view(t, s, "a", func(r app.Reader) {
				same(t, "People", walk(t, limit, person, func(p app.Page) ([]domain.Person, string, error) { return r.People("", p) }), everyone, nil)
				same(t, "Jobs", walk(t, limit, job, func(p app.Page) ([]domain.Job, string, error) { return r.Jobs(nil, "", p) }),
					[]string{"j11", "j10", "j09", "j08", "j07", "j06", "j05", "j04", "j03", "j02", "j01", "j00", "a-job"}, nil)
				same(t, "Jobs by state", walk(t, limit, job, func(p app.Page) ([]domain.Job, string, error) {
					return r.Jobs([]domain.JobState{domain.Closed, domain.Quoted}, "", p)
				}), []string{"j11", "j10", "j08", "j07", "j05", "j04", "j02", "j01"}, nil)
				same(t, "Jobs of a client", walk(t, limit, job, func(p app.Page) ([]domain.Job, string, error) {
					return r.Jobs([]domain.JobState{domain.Closed}, "p07", p)
				}), []string{"j07"}, nil)
				same(t, "JobEntriesPage", walk(t, limit, entry, func(p app.Page) ([]domain.Entry, string, error) { return r.JobEntriesPage(f.job.ID, p) }), entries, nil)
				same(t, "PersonEntriesPage", walk(t, limit, entry, func(p app.Page) ([]domain.Entry, string, error) { return r.PersonEntriesPage(f.fitter.ID, p) }), entries, nil)
				same(t, "Trail", walk(t, limit, func(e domain.TrailEntry) string { return fmt.Sprint(e.Seq) },
					func(p app.Page) ([]domain.TrailEntry, string, error) { return r.Trail("", p) }), []string{"2", "1"}, nil)
			})
		}
	})
}

// A page that was read keeps its place although rows come in before it.
func TestPagesDoNotShift(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		fill(t, s, f)
		var next string
		view(t, s, "a", func(r app.Reader) {
			var err error
			if _, next, err = r.Jobs(nil, "", app.Page{Limit: 3}); err != nil {
				t.Fatal(err)
			}
		})
		update(t, s, "a", func(tx app.Tx) error { j := f.job; j.ID, j.Number = "new", 500; return tx.AddJob(j) })
		view(t, s, "a", func(r app.Reader) {
			rows, _, err := r.Jobs(nil, "", app.Page{Limit: 1, After: next})
			same(t, "fourth job", rows[0].ID, "j08", err)
		})
	})
}

func TestBadPageMarkers(t *testing.T) {
	coded := func(text string) string { return base64.RawURLEncoding.EncodeToString([]byte(text)) }
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		fill(t, s, f)
		view(t, s, "a", func(r app.Reader) {
			_, ofPeople, _ := r.People("", app.Page{Limit: 1})
			for _, after := range []string{"x", "!!", coded("null"), coded("[]"), coded(`["jobs"]`), coded(`["jobs","1"]`), coded(`["jobs",null]`),
				coded(`["jobs",1.5]`), coded(`["jobs",1e99]`), coded(`["people","a"]`), coded(`["people",1,2]`), coded(`["entries","never","x"]`),
				coded(`["trail",{}]`), coded(`["entries","2027-01-01T00:00:00Z",null]`)} {
				p := app.Page{After: after}
				for name, err := range map[string]error{
					"People": third(r.People("", p)), "Jobs": third(r.Jobs(nil, "", p)), "Trail": third(r.Trail("", p)),
					"JobEntriesPage": third(r.JobEntriesPage("a-job", p)), "PersonEntriesPage": third(r.PersonEntriesPage("a-fitter", p)),
				} {
					refused(t, name+" after "+after, err, fault.Invalid, "cursor-not-readable")
				}
			}
			refused(t, "another list's marker", third(r.Jobs(nil, "", app.Page{After: ofPeople})), fault.Invalid, "cursor-not-readable")
		})
	})
}

func third[A, B any](_ A, _ B, err error) error { return err }

func FuzzPageMarker(f *testing.F) {
	f.Add(position("people", "a", "b"))
	f.Add("W10")
	f.Fuzz(func(t *testing.T, after string) {
		var name, id string
		if err := resume("people", after, &name, &id); err != nil {
			refused(t, after, err, fault.Invalid, "cursor-not-readable")
			return
		}
		var nameAgain, idAgain string
		if err := resume("people", position("people", name, id), &nameAgain, &idAgain); err != nil || nameAgain != name || idAgain != id {
			t.Errorf("%q reads as %q, %q and then as %q, %q (%v)", after, name, id, nameAgain, idAgain, err)
		}
	})
}
