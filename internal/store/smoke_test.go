package store

import (
	"context"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

func TestSmoke(t *testing.T) {
	ctx := context.Background()
	s, err := Open(ctx, Options{SQLitePath: filepath.Join(t.TempDir(), "a b?c%d#e", "shop.db")})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if err := s.Migrate(ctx); err != nil {
		t.Fatal(err)
	}
	now := time.Now()
	err = s.CreateShop(ctx, domain.Shop{ID: "s1", CreatedAt: now}, true, func(tx app.Tx) error {
		n, err := tx.NextJobNumber()
		if err != nil || n != 1 {
			return errors.Join(err, errors.New("number"))
		}
		for _, err := range []error{
			tx.AddPerson(domain.Person{ID: "p1", Name: "A", Role: domain.Owner, Email: "A@x.example", PasswordHash: "h", CreatedAt: now, CostRate: decimal.RequireFromString("0.10")}),
			tx.AddJob(domain.Job{ID: "j1", Number: n, State: domain.Enquiry, ClientID: "p1", AuthorisedAmount: decimal.RequireFromString("12345678901234.567890"), CreatedAt: now}),
			tx.AppendTrail(domain.TrailEntry{At: now, Action: "x"}),
		} {
			if err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	err = s.View(ctx, "s1", func(r app.Reader) error {
		j, err := r.Job("j1")
		t.Logf("%+v %v", j, err)
		p, err := r.Person("p1")
		t.Logf("%+v %v", p, err)
		js, next, err := r.Jobs([]domain.JobState{"enquiry", "closed"}, "", app.Page{})
		t.Logf("%d %q %v", len(js), next, err)
		e, err := r.Estimates([]string{"j1", "j2"})
		t.Logf("%+v %v", e, err)
		return nil
	})
	t.Log(err)
}
