package store

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func TestDirectory(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		ctx := t.Context()
		exists, err := s.AnyShop(ctx)
		same(t, "AnyShop before", exists, false, err)
		shops, err := s.Shops(ctx)
		same(t, "Shops before", shops, []domain.Shop{}, err)
		a, b := furnish(t, s, "a"), furnish(t, s, "b")
		exists, err = s.AnyShop(ctx)
		same(t, "AnyShop", exists, true, err)
		shops, err = s.Shops(ctx)
		bare := []domain.Shop{a.shop, b.shop}
		bare[0].PriceBook, bare[1].PriceBook = domain.PriceBook{}, domain.PriceBook{}
		same(t, "Shops", shops, bare, err)

		person, shop, err := s.PersonByEmail(ctx, " iDA@b.Example")
		same(t, "PersonByEmail", person, b.owner, err)
		same(t, "PersonByEmail shop", shop, "b", err)
		_, _, err = s.PersonByEmail(ctx, b.fitter.Email)
		refused(t, "somebody without a password", err, fault.NotFound, "person-not-found")
		_, _, err = s.PersonByEmail(ctx, "")
		refused(t, "nobody", err, fault.NotFound, "person-not-found")

		link, err := s.LinkByHash(ctx, b.access.TokenHash)
		same(t, "LinkByHash", link, b.access, err)
		refused(t, "unknown link", second(s.LinkByHash(ctx, "x")), fault.NotFound, "private-link-not-found")

		session, person, err := s.SessionByHash(ctx, b.session.TokenHash, at(10))
		same(t, "SessionByHash", session, b.session, err)
		same(t, "SessionByHash person", person, b.cl, err)
		_, _, err = s.SessionByHash(ctx, b.session.TokenHash, b.session.ExpiresAt)
		refused(t, "expired session", err, fault.NotFound, "session-not-found")
		same(t, "Ping", s.Ping(ctx), nil, nil)
	})
}

func TestSessionsEnd(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		ctx := t.Context()
		f := furnish(t, s, "a")
		furnish(t, s, "b")
		if err := s.TouchSession(ctx, f.session.ID, at(20), at(9000)); err != nil {
			t.Fatal(err)
		}
		touched := f.session
		touched.LastSeenAt, touched.ExpiresAt = at(20), at(9000)
		session, _, err := s.SessionByHash(ctx, f.session.TokenHash, at(8999))
		same(t, "touched", session, touched, err)
		refused(t, "touching nothing", s.TouchSession(ctx, "none", at(1), at(2)), fault.NotFound, "session-not-found")

		more := func(id domain.ID, link domain.ID, minute int) domain.Session {
			x := f.session
			x.ID, x.TokenHash, x.LinkID, x.CreatedAt, x.ExpiresAt = id, "hash "+id, link, at(minute), at(9000)
			return x
		}
		byLink, byPassword, kept := more("s2", f.access.ID, 30), more("s3", "", 31), more("s4", f.access.ID, 32)
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.AddSession(byLink), tx.AddSession(byPassword), tx.AddSession(kept), tx.EndSessions(f.cl.ID, f.access.ID, kept.ID))
		})
		left := func() []domain.Session {
			var rows []domain.Session
			view(t, s, "a", func(r app.Reader) {
				var err error
				if rows, err = r.Sessions(f.cl.ID, at(40)); err != nil {
					t.Error(err)
				}
			})
			return rows
		}
		same(t, "the link's ended but one", left(), []domain.Session{kept, byPassword}, nil)
		update(t, s, "a", func(tx app.Tx) error { return tx.EndSessions(f.cl.ID, "", byPassword.ID) })
		same(t, "all but one", left(), []domain.Session{byPassword}, nil)
		update(t, s, "a", func(tx app.Tx) error { return tx.EndSession(byPassword.ID) })
		same(t, "none", left(), []domain.Session{}, nil)
		_, _, err = s.SessionByHash(ctx, "b-session-hash", at(40))
		same(t, "the other shop's", err, nil, nil)
	})
}

func TestPrune(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		answered := func() (ok bool) {
			update(t, s, "a", func(tx app.Tx) (err error) { _, ok, err = tx.Answer(f.fitter.ID, "key"); return err })
			return ok
		}
		if err := s.Prune(t.Context(), at(3999), f.answer.At); err != nil {
			t.Fatal(err)
		}
		_, _, err := s.SessionByHash(t.Context(), f.session.TokenHash, at(10))
		same(t, "session before its end", err, nil, nil)
		same(t, "answer at the limit", answered(), true, nil)
		if err := s.Prune(t.Context(), f.session.ExpiresAt, f.answer.At.Add(1000)); err != nil {
			t.Fatal(err)
		}
		_, _, err = s.SessionByHash(t.Context(), f.session.TokenHash, at(10))
		refused(t, "session after its end", err, fault.NotFound, "session-not-found")
		same(t, "answer past the limit", answered(), false, nil)
	})
}
