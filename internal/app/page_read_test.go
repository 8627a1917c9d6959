package app_test

import (
	"context"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/pricing"
)

// tallied counts what is read of entries and people.
type tallied struct {
	app.Store
	entries, people *int
}

type tallyReader struct {
	app.Reader
	tallied
}

func (s tallied) View(ctx context.Context, shop domain.ID, fn func(r app.Reader) error) error {
	return s.Store.View(ctx, shop, func(r app.Reader) error { return fn(tallyReader{r, s}) })
}

func (r tallyReader) Entries(ids []domain.ID) (map[domain.ID][]domain.Entry, error) {
	*r.entries++
	return r.Reader.Entries(ids)
}

func (r tallyReader) People(role domain.Role, page app.Page) ([]domain.Person, string, error) {
	*r.people++
	return r.Reader.People(role, page)
}

// A job's hours and who works are read once for its page and once for the health of its
// schedule; people are two lists, by their role.
func TestAJobIsReadOnce(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	job := b.soldJob()
	entries, people := 0, 0
	counted := app.New(app.Options{Store: tallied{b.store, &entries, &people}, Now: b.now, NewID: b.id})
	for name, read := range map[string]func() error{
		"page":   func() error { _, err := counted.JobPage(t.Context(), b.owner, job.Job.ID); return err },
		"health": func() error { _, err := counted.ScheduleHealth(t.Context(), b.owner, job.Job.ID); return err },
	} {
		entries, people = 0, 0
		if err := read(); err != nil || entries != 1 || people != 2 {
			t.Errorf("%s: entries read %d times, people %d times (%v); want 1 and 2", name, entries, people, err)
		}
	}
}
