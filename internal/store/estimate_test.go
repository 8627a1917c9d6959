package store

import (
	"context"
	"fmt"
	"sync/atomic"
	"testing"
	"time"

	"gorm.io/gorm"
	"gorm.io/gorm/logger"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func estimateOf(t *testing.T, s *Store, f furniture) domain.Estimate {
	t.Helper()
	var e domain.Estimate
	view(t, s, f.shop.ID, func(r app.Reader) {
		all, err := r.Estimates([]domain.ID{f.job.ID})
		if err != nil {
			t.Fatal(err)
		}
		e = all[f.job.ID]
	})
	return e
}

func TestSavesChangeTheWholeRow(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		e := f.estimate
		phase, task, link, line := e.Phases[0], e.Tasks[0], e.Links[0], e.Lines[0]
		phase.Name, phase.Position = "", 0
		task.OpenedAt, task.ReleasedAt, task.OpenedBy, task.HoldPoint, task.Cautions = nil, nil, "", "", nil
		task.Hours, task.Position, task.Kind = domain.ThreePoint{}, 9, domain.Cure
		link.LagHours, link.Type = dec("0"), "FF"
		line.TaskID, line.Quantity, line.Position = "", dec("0"), 0
		option := e.Options[0]
		option.Group, option.Taken, option.Points = "", false, nil
		task.OptionID, line.OptionID = "", ""
		person, job, access, shop := f.fitter, f.job, f.access, f.shop
		person.Phone, person.Skills, person.Active, person.CostRate = "", nil, false, dec("0")
		job.Vehicle, job.NotBefore, job.Cautions, job.State = domain.Vehicle{}, "", nil, domain.Surveyed
		access.RevokedAt, access.LastUsedAt = ptr(at(1)), nil
		shop.Settings, shop.Version, shop.Demo = domain.ShopSettings{}, 9, false
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.SavePhase(phase), tx.SaveTask(task), tx.SaveTaskLink(link), tx.SaveLine(line), tx.SaveOption(option),
				tx.SavePerson(person), tx.SaveJob(job), tx.SaveLink(access), tx.SaveShop(shop))
		})
		want := domain.Estimate{Phases: []domain.Phase{phase}, Tasks: []domain.Task{e.Tasks[1], task}, Links: []domain.Link{link}, Lines: []domain.Line{line}, Options: []domain.Option{option, e.Options[1]}}
		same(t, "Estimate", estimateOf(t, s, f), want, nil)
		view(t, s, "a", func(r app.Reader) {
			p, err := r.Person(person.ID)
			same(t, "Person", p, person, err)
			j, err := r.Job(job.ID)
			same(t, "Job", j, job, err)
			l, err := r.Link(access.ID)
			same(t, "Link", l, access, err)
			x, err := r.Shop()
			same(t, "Shop", x, shop, err)
		})
		update(t, s, "a", func(tx app.Tx) error { // what SaveShop must not touch
			n, err := tx.NextJobNumber()
			same(t, "next number", n, 2, err)
			return err
		})
	})
}

func TestRemovedRowsStayStoredAndUnseen(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		update(t, s, "a", func(tx app.Tx) error { return tx.RemoveTask("a-t2", at(5)) })
		want := f.estimate
		want.Tasks, want.Links = want.Tasks[:1], []domain.Link{}
		same(t, "without a task", estimateOf(t, s, f), want, nil)
		gone := func(name, code string, try func(tx app.Tx) error) {
			refused(t, name, s.Update(t.Context(), "a", try), fault.NotFound, code)
		}
		gone("RemoveTask again", "task-not-found", func(tx app.Tx) error { return tx.RemoveTask("a-t2", at(6)) })
		gone("SaveTask", "task-not-found", func(tx app.Tx) error { return tx.SaveTask(f.estimate.Tasks[1]) })
		gone("SaveTaskLink", "link-not-found", func(tx app.Tx) error { return tx.SaveTaskLink(f.estimate.Links[0]) })
		gone("SetScope", "task-not-found", func(tx app.Tx) error { return tx.SetScope(f.job.ID, []domain.ID{"a-t2"}, nil, domain.Outside) })
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.RemoveLine("a-line", at(5)), tx.RemoveTask("a-t1", at(5)), tx.RemovePhase("a-phase", at(5)),
				tx.RemoveOption("a-option", at(5)), tx.RemoveOption("a-extra", at(5)))
		})
		same(t, "with nothing left", estimateOf(t, s, f),
			domain.Estimate{Phases: []domain.Phase{}, Tasks: []domain.Task{}, Links: []domain.Link{}, Lines: []domain.Line{}, Options: []domain.Option{}}, nil)
		view(t, s, "a", func(r app.Reader) {
			names, err := r.TaskNames([]domain.ID{"a-t2"})
			same(t, "name of a removed task", names, map[domain.ID]app.TaskName{"a-t2": {Code: "t2", Name: "Lift"}}, err)
			entries, err := r.TaskEntries("a-t1")
			same(t, "hours of a removed task", len(entries), 1, err)
		})
		var count int
		err := s.backend.read(t.Context(), dbScan(&count, "SELECT (SELECT COUNT(*) FROM tasks WHERE removed_at IS NOT NULL) + (SELECT COUNT(*) FROM task_links WHERE removed_at IS NOT NULL)"))
		same(t, "rows that stay", count, 3, err)
	})
}

func TestScopeAndBaseline(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		update(t, s, "a", func(tx app.Tx) error {
			return tx.SetScope(f.job.ID, []domain.ID{"a-t2", "a-t1", "a-t2"}, []domain.ID{"a-line"}, domain.Authorised)
		})
		e := estimateOf(t, s, f)
		for what, got := range map[string]domain.Scope{"t1": e.Tasks[0].Scope, "t2": e.Tasks[1].Scope, "line": e.Lines[0].Scope} {
			same(t, what, got, domain.Authorised, nil)
		}
		rows := []domain.Baseline{{JobID: f.job.ID, TaskID: "a-t2", Hours: dec("0.10"), Start: at(1), Finish: at(2)},
			{JobID: f.job.ID, TaskID: "a-t1", Hours: dec("2"), Start: at(3), Finish: at(4)}}
		update(t, s, "a", func(tx app.Tx) error { return tx.ReplaceBaseline(f.job.ID, rows) })
		view(t, s, "a", func(r app.Reader) {
			got, err := r.Baselines([]domain.ID{f.job.ID})
			same(t, "Baselines by start", got[f.job.ID], rows, err)
		})
	})
}

// Entries that share time with a span: the table has one entry from minute 10
// to 70 and one that runs since minute 80.
func TestEntriesAround(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		for _, c := range []struct {
			from, to int
			want     []domain.Entry
		}{
			{-50, 10, []domain.Entry{}}, {-50, 11, []domain.Entry{f.done}}, {20, 30, []domain.Entry{f.done}},
			{69, 80, []domain.Entry{f.done}}, {70, 80, []domain.Entry{}}, {70, 81, []domain.Entry{f.runs}},
			{5000, 6000, []domain.Entry{f.runs}}, {-50, 100, []domain.Entry{f.done, f.runs}},
		} {
			view(t, s, "a", func(r app.Reader) {
				got, err := r.EntriesAround(f.fitter.ID, at(c.from), at(c.to))
				same(t, fmt.Sprintf("minutes %d to %d", c.from, c.to), got, c.want, err)
			})
		}
		fixed := f.done
		fixed.ID, fixed.CorrectsID, fixed.Void = "a-void", f.done.ID, true
		update(t, s, "a", func(tx app.Tx) error { return must(tx.AddEntry(fixed), tx.MarkCorrected(f.done.ID, fixed.ID)) })
		view(t, s, "a", func(r app.Reader) {
			got, err := r.EntriesAround(f.fitter.ID, at(0), at(79))
			same(t, "after it was voided", got, []domain.Entry{}, err)
		})
	})
}

// counter counts statements instead of logging them.
type counter struct {
	logger.Interface
	n *atomic.Int64
}

func (c counter) Trace(context.Context, time.Time, func() (string, int64), error) { c.n.Add(1) }

func countStatements(s *Store) *atomic.Int64 {
	var n atomic.Int64
	var base *gorm.DB
	switch b := s.backend.(type) {
	case *sqliteBackend:
		base = b.base
	case *postgresBackend:
		base = b.base
	}
	base.Config.Logger = counter{base.Config.Logger, &n}
	return &n
}

// The number of statements does not grow with the number of rows.
func TestListsTakeAConstantNumberOfQueries(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		var ids []domain.ID
		update(t, s, "a", func(tx app.Tx) error {
			for i := range 20 {
				id := func(x string) domain.ID { return fmt.Sprintf("%d-%s", i, x) }
				j := f.job
				j.ID, j.Number = id("job"), 100+i
				e := describeEstimate(id, j.ID)
				entry := f.done
				entry.ID, entry.JobID, entry.TaskID = id("entry"), j.ID, e.Tasks[0].ID
				if err := must(tx.AddJob(j), tx.AddPhases(e.Phases), tx.AddTasks(e.Tasks), tx.AddTaskLinks(e.Links), tx.AddLines(e.Lines), tx.AddEntry(entry)); err != nil {
					return err
				}
				ids = append(ids, j.ID)
			}
			return nil
		})
		n := countStatements(s)
		for _, c := range []struct {
			name string
			want int64
			load func(r app.Reader, ids []domain.ID) (int, error)
		}{
			{"Estimates", 5, func(r app.Reader, ids []domain.ID) (int, error) {
				all, err := r.Estimates(ids)
				tasks := 0
				for _, e := range all {
					tasks += len(e.Tasks)
				}
				return tasks / 2, err
			}},
			{"Entries", 1, func(r app.Reader, ids []domain.ID) (int, error) {
				all, err := r.Entries(ids)
				entries := 0
				for _, e := range all {
					entries += len(e)
				}
				return entries, err
			}},
			{"Quotes", 1, func(r app.Reader, ids []domain.ID) (int, error) { all, err := r.Quotes(ids); return len(all), err }},
			{"Baselines", 1, func(r app.Reader, ids []domain.ID) (int, error) { all, err := r.Baselines(ids); return len(all), err }},
			{"JobNumbers", 1, func(r app.Reader, ids []domain.ID) (int, error) { all, err := r.JobNumbers(ids); return len(all), err }},
			{"Jobs", 1, func(r app.Reader, ids []domain.ID) (int, error) {
				rows, _, err := r.Jobs(nil, "", app.Page{Limit: len(ids)})
				return len(rows), err
			}},
		} {
			for _, some := range [][]domain.ID{ids[:1], ids[:2], ids} {
				view(t, s, "a", func(r app.Reader) {
					before := n.Load()
					rows, err := c.load(r, some)
					same(t, c.name+" rows", rows, len(some), err)
					same(t, fmt.Sprintf("%s of %d jobs: statements", c.name, len(some)), n.Load()-before, c.want, nil)
				})
			}
		}
	})
}
