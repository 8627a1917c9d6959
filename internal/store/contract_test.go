package store

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// Whatever is written is read back the same, by every getter.
func TestReadsWhatWasWritten(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		furnish(t, s, "b") // so that a getter that forgets the shop shows
		f := furnish(t, s, "a")
		job := []domain.ID{f.job.ID}
		view(t, s, "a", func(r app.Reader) {
			shop, err := r.Shop()
			same(t, "Shop", shop, f.shop, err)
			readPeople(t, r, f)
			templates, err := r.Templates()
			same(t, "Templates", templates, []domain.Template{f.template}, err)
			template, err := r.Template(f.template.ID)
			same(t, "Template", template, f.template, err)
			jobs, next, err := r.Jobs(nil, "", app.Page{})
			same(t, "Jobs", jobs, []domain.Job{f.job}, err)
			same(t, "Jobs next", next, "", nil)
			one, err := r.Job(f.job.ID)
			same(t, "Job", one, f.job, err)
			estimates, err := r.Estimates(job)
			same(t, "Estimates", estimates, map[domain.ID]domain.Estimate{f.job.ID: f.estimate}, err)
			of, err := r.JobOfTask(f.estimate.Tasks[0].ID)
			same(t, "JobOfTask", of, f.job.ID, err)
			numbers, err := r.JobNumbers([]domain.ID{f.job.ID, "b-job", "none"})
			same(t, "JobNumbers", numbers, map[domain.ID]int{f.job.ID: 1}, err)
			names, err := r.TaskNames([]domain.ID{"a-t1", "a-t2", "b-t1"})
			same(t, "TaskNames", names, map[domain.ID]app.TaskName{"a-t1": {Code: "t1", Name: "Lift"}, "a-t2": {Code: "t2", Name: "Lift"}}, err)
			readQuotes(t, r, f)
			readEntries(t, r, f)
			readFrame(t, r, f)
			readTakeoff(t, r, f)
		})
		update(t, s, "a", func(tx app.Tx) error {
			answer, ok, err := tx.Answer(f.fitter.ID, "key")
			same(t, "Answer", answer, f.answer, err)
			same(t, "Answer is there", ok, true, nil)
			_, ok, err = tx.Answer(f.owner.ID, "key")
			same(t, "another's Answer", ok, false, err)
			return nil
		})
	})
}

func readPeople(t *testing.T, r app.Reader, f furniture) {
	t.Helper()
	people, next, err := r.People("", app.Page{})
	same(t, "People by name", people, []domain.Person{f.cl, f.fitter, f.owner}, err)
	same(t, "People next", next, "", nil)
	people, _, err = r.People(domain.Technician, app.Page{})
	same(t, "People of a role", people, []domain.Person{f.fitter}, err)
	byID, err := r.PeopleByID([]domain.ID{f.owner.ID, f.cl.ID, "b-owner"})
	same(t, "PeopleByID", byID, map[domain.ID]domain.Person{f.owner.ID: f.owner, f.cl.ID: f.cl}, err)
	person, err := r.Person(f.fitter.ID)
	same(t, "Person", person, f.fitter, err)
	links, err := r.Links(f.cl.ID)
	same(t, "Links", links, []domain.PrivateLink{f.access}, err)
	link, err := r.Link(f.access.ID)
	same(t, "Link", link, f.access, err)
	sessions, err := r.Sessions(f.cl.ID, at(100))
	same(t, "Sessions", sessions, []domain.Session{f.session}, err)
	sessions, err = r.Sessions(f.cl.ID, f.session.ExpiresAt)
	same(t, "expired Sessions", sessions, []domain.Session{}, err)
}

func readQuotes(t *testing.T, r app.Reader, f furniture) {
	t.Helper()
	job := []domain.ID{f.job.ID}
	quotes, err := r.Quotes(job)
	same(t, "Quotes", quotes, map[domain.ID][]domain.Quote{f.job.ID: {f.quote}}, err)
	quote, err := r.Quote(f.quote.ID)
	same(t, "Quote", quote, f.quote, err)
	document, err := r.Document(f.quote.ID)
	same(t, "Document", document, f.document, err)
	baselines, err := r.Baselines(job)
	same(t, "Baselines", baselines, map[domain.ID][]domain.Baseline{f.job.ID: {f.baseline}}, err)
}

func readEntries(t *testing.T, r app.Reader, f furniture) {
	t.Helper()
	entries, err := r.Entries([]domain.ID{f.job.ID, "none"})
	same(t, "Entries", entries, map[domain.ID][]domain.Entry{f.job.ID: {f.done, f.runs}, "none": {}}, err)
	ofTask, err := r.TaskEntries(f.done.TaskID)
	same(t, "TaskEntries", ofTask, []domain.Entry{f.done}, err)
	page, _, err := r.JobEntriesPage(f.job.ID, app.Page{})
	same(t, "JobEntriesPage", page, []domain.Entry{f.runs, f.done}, err)
	page, _, err = r.PersonEntriesPage(f.fitter.ID, app.Page{})
	same(t, "PersonEntriesPage", page, []domain.Entry{f.runs, f.done}, err)
	entry, err := r.Entry(f.done.ID)
	same(t, "Entry", entry, f.done, err)
	running, ok, err := r.RunningEntry(f.fitter.ID)
	same(t, "RunningEntry", running, f.runs, err)
	same(t, "RunningEntry is there", ok, true, nil)
	_, ok, err = r.RunningEntry(f.owner.ID)
	same(t, "nobody's RunningEntry", ok, false, err)
}

// Another shop's rows are simply not there.
func TestAnotherShopsRowsAreNotFound(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		a := furnish(t, s, "a")
		b := describe("b")
		if err := s.CreateShop(t.Context(), b.shop, false, nil); err != nil {
			t.Fatal(err)
		}
		view(t, s, "b", func(r app.Reader) {
			for what, err := range map[string]error{
				"person":       second(r.Person(a.owner.ID)),
				"private-link": second(r.Link(a.access.ID)),
				"template":     second(r.Template(a.template.ID)),
				"job":          second(r.Job(a.job.ID)),
				"task":         second(r.JobOfTask("a-t1")),
				"quote":        second(r.Quote(a.quote.ID)),
				"document":     second(r.Document(a.quote.ID)),
				"entry":        second(r.Entry(a.done.ID)),
				"observation":  second(r.Observation(a.seen.ID)),
				"photo":        second(r.Photo(a.photo.ID)),
				"remainder":    second(r.StockMove(a.took.ID)),
				"finding":      second(r.Finding(a.found.ID)),
			} {
				refused(t, what, err, fault.NotFound, what+"-not-found")
			}
			readsNothing(t, r, a)
		})
		update(t, s, "b", func(tx app.Tx) error {
			_, ok, err := tx.Answer(a.fitter.ID, "key")
			same(t, "Answer", ok, false, err)
			return nil
		})
		for _, shop := range []domain.ID{"", "none"} {
			refused(t, "unknown shop", s.Update(t.Context(), shop, func(app.Tx) error { return nil }), fault.NotFound, "shop-not-found")
			view(t, s, shop, func(r app.Reader) {
				_, err := r.Shop()
				refused(t, "unknown shop", err, fault.NotFound, "shop-not-found")
				readsNothing(t, r, a)
			})
		}
	})
}

func second[T any](_ T, err error) error { return err }

func readsNothing(t *testing.T, r app.Reader, a furniture) {
	t.Helper()
	job := []domain.ID{a.job.ID}
	people, _, err := r.People("", app.Page{})
	same(t, "People", people, []domain.Person{}, err)
	byID, err := r.PeopleByID([]domain.ID{a.owner.ID, a.cl.ID})
	same(t, "PeopleByID", len(byID), 0, err)
	links, err := r.Links(a.cl.ID)
	same(t, "Links", links, []domain.PrivateLink{}, err)
	sessions, err := r.Sessions(a.cl.ID, at(0))
	same(t, "Sessions", sessions, []domain.Session{}, err)
	templates, err := r.Templates()
	same(t, "Templates", templates, []domain.Template{}, err)
	jobs, _, err := r.Jobs(nil, a.cl.ID, app.Page{})
	same(t, "Jobs", jobs, []domain.Job{}, err)
	estimates, err := r.Estimates(job)
	same(t, "Estimates", estimates[a.job.ID], domain.Estimate{Phases: []domain.Phase{}, Tasks: []domain.Task{}, Links: []domain.Link{}, Lines: []domain.Line{}, Options: []domain.Option{}}, err)
	numbers, err := r.JobNumbers(job)
	same(t, "JobNumbers", len(numbers), 0, err)
	names, err := r.TaskNames([]domain.ID{"a-t1"})
	same(t, "TaskNames", len(names), 0, err)
	baselines, err := r.Baselines(job)
	same(t, "Baselines", baselines[a.job.ID], []domain.Baseline{}, err)
	quotes, err := r.Quotes(job)
	same(t, "Quotes", quotes[a.job.ID], []domain.Quote{}, err)
	entries, err := r.Entries(job)
	same(t, "Entries", entries[a.job.ID], []domain.Entry{}, err)
	ofTask, err := r.TaskEntries("a-t1")
	same(t, "TaskEntries", ofTask, []domain.Entry{}, err)
	page, _, err := r.JobEntriesPage(a.job.ID, app.Page{})
	same(t, "JobEntriesPage", page, []domain.Entry{}, err)
	page, _, err = r.PersonEntriesPage(a.fitter.ID, app.Page{})
	same(t, "PersonEntriesPage", page, []domain.Entry{}, err)
	_, ok, err := r.RunningEntry(a.fitter.ID)
	same(t, "RunningEntry", ok, false, err)
	around, err := r.EntriesAround(a.fitter.ID, at(-1000), at(1000))
	same(t, "EntriesAround", around, []domain.Entry{}, err)
	readsNoFrame(t, r, a)
	readsNoTakeoff(t, r, a)
	trail, _, err := r.Trail("", app.Page{})
	same(t, "Trail", trail, []domain.TrailEntry{}, err)
	trail, _, err = r.Trail(a.job.ID, app.Page{})
	same(t, "Trail of the job", trail, []domain.TrailEntry{}, err)
	trail, err = r.TrailFrom(1, 10)
	same(t, "TrailFrom", trail, []domain.TrailEntry{}, err)
}

// No write reaches into another shop or refers to its rows, and none of the
// attempts changes a thing.
func TestAnotherShopsRowsAreNotWritten(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		a := furnish(t, s, "a")
		b := furnish(t, s, "b")
		type attempt struct {
			code string
			try  func(tx app.Tx) error
		}
		intoA := b.job
		intoA.ID, intoA.Number, intoA.ClientID = "b-new", 99, a.cl.ID
		task := b.estimate.Tasks[0]
		task.ID, task.PhaseID = "b-new", "a-phase"
		entry := b.done
		entry.ID, entry.TaskID = "b-new", "a-t1"
		quote := b.quote
		quote.ID, quote.JobID, quote.State, quote.Revision = "b-new", a.job.ID, domain.QuoteWithdrawn, 9
		for name, c := range map[string]attempt{
			"SavePerson":     {"person-not-found", func(tx app.Tx) error { return tx.SavePerson(a.cl) }},
			"SaveLink":       {"private-link-not-found", func(tx app.Tx) error { return tx.SaveLink(a.access) }},
			"EndSession":     {"session-not-found", func(tx app.Tx) error { return tx.EndSession(a.session.ID) }},
			"SaveJob":        {"job-not-found", func(tx app.Tx) error { return tx.SaveJob(a.job) }},
			"SavePhase":      {"phase-not-found", func(tx app.Tx) error { return tx.SavePhase(a.estimate.Phases[0]) }},
			"SaveTask":       {"task-not-found", func(tx app.Tx) error { return tx.SaveTask(a.estimate.Tasks[0]) }},
			"SaveTaskLink":   {"link-not-found", func(tx app.Tx) error { return tx.SaveTaskLink(a.estimate.Links[0]) }},
			"SaveLine":       {"line-not-found", func(tx app.Tx) error { return tx.SaveLine(a.estimate.Lines[0]) }},
			"RemovePhase":    {"phase-not-found", func(tx app.Tx) error { return tx.RemovePhase("a-phase", at(1)) }},
			"RemoveTask":     {"task-not-found", func(tx app.Tx) error { return tx.RemoveTask("a-t1", at(1)) }},
			"RemoveTaskLink": {"link-not-found", func(tx app.Tx) error { return tx.RemoveTaskLink("a-tl", at(1)) }},
			"RemoveLine":     {"line-not-found", func(tx app.Tx) error { return tx.RemoveLine("a-line", at(1)) }},
			"SetScope tasks": {"task-not-found", func(tx app.Tx) error { return tx.SetScope(a.job.ID, []domain.ID{"a-t1"}, nil, domain.Outside) }},
			"SetScope lines": {"line-not-found", func(tx app.Tx) error {
				return tx.SetScope(b.job.ID, []domain.ID{"b-t1"}, []domain.ID{"b-line", "a-line"}, domain.Outside)
			}},
			"SaveZone":        {"zone-not-found", func(tx app.Tx) error { return tx.SaveZone(a.zone) }},
			"RemoveZone":      {"zone-not-found", func(tx app.Tx) error { return tx.RemoveZone(a.zone.ID, at(1)) }},
			"VoidObservation": {"observation-not-found", func(tx app.Tx) error { o := a.seen; o.VoidedAt = ptr(at(90)); return tx.VoidObservation(o) }},
			"SaveFinding":     {"finding-not-found", func(tx app.Tx) error { return tx.SaveFinding(a.found) }},
			"seen on zone of A": {"reference-not-found", func(tx app.Tx) error {
				o := b.seen
				o.ID, o.ZoneID = "b-new", a.zone.ID
				return tx.AddObservation(o)
			}},
			"found on zone of A": {"reference-not-found", func(tx app.Tx) error {
				f := b.found
				f.ID, f.Number, f.ZoneID = "b-new", 9, a.zone.ID
				return tx.AddFinding(f)
			}},
			"found in task of A": {"reference-not-found", func(tx app.Tx) error {
				f := b.found
				f.ID, f.Number, f.TaskID = "b-new", 9, "a-t1"
				return tx.AddFinding(f)
			}},
			"photo of A's job": {"reference-not-found", func(tx app.Tx) error { p := b.photo; p.ID, p.JobID = "b-new", a.job.ID; return tx.AddPhoto(p) }},
			"zone of A's job": {"reference-not-found", func(tx app.Tx) error {
				z := b.zone
				z.ID, z.JobID = "b-new", a.job.ID
				return tx.AddZones([]domain.Zone{z})
			}},
			"SaveQuoteState":  {"quote-not-found", func(tx app.Tx) error { return tx.SaveQuoteState(a.quote) }},
			"FinishEntry":     {"entry-not-found", func(tx app.Tx) error { e := a.runs; e.FinishedAt = ptr(at(90)); return tx.FinishEntry(e) }},
			"MarkCorrected":   {"entry-not-found", func(tx app.Tx) error { return tx.MarkCorrected(a.done.ID, b.done.ID) }},
			"client of A":     {"reference-not-found", func(tx app.Tx) error { return tx.AddJob(intoA) }},
			"phase of A":      {"reference-not-found", func(tx app.Tx) error { return tx.AddTasks([]domain.Task{task}) }},
			"task of A":       {"reference-not-found", func(tx app.Tx) error { return tx.AddEntry(entry) }},
			"job of A":        {"reference-not-found", func(tx app.Tx) error { return tx.AddQuote(quote, domain.Document{}) }},
			"corrected by A":  {"reference-not-found", func(tx app.Tx) error { return tx.MarkCorrected(b.done.ID, a.done.ID) }},
			"trail of A's":    {"reference-not-found", func(tx app.Tx) error { return tx.AppendTrail(domain.TrailEntry{At: noon, JobID: a.job.ID}) }},
			"baseline of A's": {"reference-not-found", func(tx app.Tx) error { return tx.ReplaceBaseline(b.job.ID, []domain.Baseline{a.baseline}) }},
		} {
			refused(t, name, s.Update(t.Context(), "b", c.try), fault.NotFound, c.code)
		}
		update(t, s, "b", func(tx app.Tx) error {
			return must(tx.EndSessions(a.cl.ID, "", ""), tx.ReplaceBaseline(a.job.ID, nil), tx.SaveShop(a.shop))
		})
		view(t, s, "a", func(r app.Reader) {
			shop, err := r.Shop()
			same(t, "Shop", shop, a.shop, err)
			readPeople(t, r, a)
			readQuotes(t, r, a)
			readEntries(t, r, a)
			readFrame(t, r, a)
			readTakeoff(t, r, a)
			estimates, err := r.Estimates([]domain.ID{a.job.ID})
			same(t, "Estimates", estimates[a.job.ID], a.estimate, err)
			trail, err := r.TrailFrom(1, 100)
			same(t, "trail", len(trail), 2, err)
		})
	})
}
