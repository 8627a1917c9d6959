package store

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"database/sql"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// BenchmarkDurableEntry is one committed transaction with the statements of an
// hours entry: look at key, person, job, running clock and overlap; write the
// entry, the trail and the answer. Compare with BenchmarkBareInsert in the same
// run; the budget is 500 in a second where the disk allows it.
func BenchmarkDurableEntry(b *testing.B) {
	s := newSQLite(b)
	f := furnish(b, s, "a")
	stop(b, s, f)
	for i := 0; b.Loop(); i++ {
		e := f.done
		e.ID = fmt.Sprintf("entry-%d", i)
		e.StartedAt, e.FinishedAt = at(100+2*i), ptr(at(101+2*i))
		err := s.Update(b.Context(), "a", func(tx app.Tx) error {
			if _, _, err := tx.Answer(f.fitter.ID, e.ID); err != nil {
				return err
			}
			if _, err := tx.Person(f.fitter.ID); err != nil {
				return err
			}
			if _, err := tx.Job(f.job.ID); err != nil {
				return err
			}
			if _, _, err := tx.RunningEntry(f.fitter.ID); err != nil {
				return err
			}
			around, err := tx.EntriesAround(f.fitter.ID, e.StartedAt, *e.FinishedAt)
			if err != nil || len(around) > 0 {
				return fmt.Errorf("%d entries overlap: %w", len(around), err)
			}
			return must(tx.AddEntry(e),
				tx.AppendTrail(domain.TrailEntry{At: at(i), ActorID: f.fitter.ID, Action: "hours.log", JobID: f.job.ID, After: []byte(`{"note":"x"}`)}),
				tx.KeepAnswer(f.fitter.ID, e.ID, f.answer))
		})
		if err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "entries/s")
}

// stop ends the clock that the fixture leaves running.
func stop(tb testing.TB, s *Store, f furniture) {
	e := f.runs
	e.FinishedAt = ptr(at(90))
	update(tb, s, f.shop.ID, func(tx app.Tx) error { return tx.FinishEntry(e) })
}

// BenchmarkBareInsert is what the disk and the database allow: one row through
// database/sql at synchronous=FULL.
func BenchmarkBareInsert(b *testing.B) {
	db, err := sql.Open("sqlite", sqliteDSN(filepath.Join(b.TempDir(), "bare.db"), false))
	if err != nil {
		b.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	if _, err := db.Exec("CREATE TABLE bare (id INTEGER PRIMARY KEY, note TEXT NOT NULL, at TIMESTAMP NOT NULL)"); err != nil {
		b.Fatal(err)
	}
	insert, err := db.Prepare("INSERT INTO bare (note, at) VALUES (?, ?)")
	if err != nil {
		b.Fatal(err)
	}
	defer insert.Close()
	for b.Loop() {
		if _, err := insert.Exec("x", time.Unix(0, 0)); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "inserts/s")
}

// bigJob stores a job of 200 tasks, 300 links and 100 lines.
func bigJob(b *testing.B, s *Store) domain.ID {
	f := furnish(b, s, "a")
	id := func(x string) domain.ID { return "big-" + x }
	j := f.job
	j.ID, j.Number = id("job"), 2
	e := describeEstimate(id, j.ID)
	task, link, line := e.Tasks[0], e.Links[0], e.Lines[0]
	e.Tasks, e.Links, e.Lines = nil, nil, nil
	for i := range 200 {
		task.ID, task.Position = fmt.Sprintf("big-t%03d", i), i
		e.Tasks = append(e.Tasks, task)
	}
	for i := range 300 {
		link.ID, link.FromID, link.ToID = fmt.Sprintf("big-l%03d", i), e.Tasks[i%199].ID, e.Tasks[i%199+1].ID
		e.Links = append(e.Links, link)
	}
	for i := range 100 {
		line.ID, line.Position, line.TaskID = fmt.Sprintf("big-x%03d", i), i, e.Tasks[i].ID
		e.Lines = append(e.Lines, line)
	}
	update(b, s, "a", func(tx app.Tx) error {
		return must(tx.AddJob(j), tx.AddPhases(e.Phases), tx.AddTasks(e.Tasks), tx.AddTaskLinks(e.Links), tx.AddLines(e.Lines))
	})
	return j.ID
}

// BenchmarkEstimates reads the estimate of a job of 200 tasks.
func BenchmarkEstimates(b *testing.B) {
	s := newSQLite(b)
	job := bigJob(b, s)
	for b.Loop() {
		view(b, s, "a", func(r app.Reader) {
			all, err := r.Estimates([]domain.ID{job})
			if err != nil || len(all[job].Tasks) != 200 {
				b.Fatalf("%d tasks: %v", len(all[job].Tasks), err)
			}
		})
	}
}

// BenchmarkSession is what each request pays before anything else.
func BenchmarkSession(b *testing.B) {
	s := newSQLite(b)
	f := furnish(b, s, "a")
	for b.Loop() {
		if _, _, err := s.SessionByHash(b.Context(), f.session.TokenHash, at(10)); err != nil {
			b.Fatal(err)
		}
	}
}
