package store

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"github.com/shopspring/decimal"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

func amountThroughStore(t testing.TB, s *Store, f furniture, d decimal.Decimal) (decimal.Decimal, error) {
	t.Helper()
	j := f.job
	j.AuthorisedAmount = d
	if err := s.Update(t.Context(), f.shop.ID, func(tx app.Tx) error { return tx.SaveJob(j) }); err != nil {
		return decimal.Zero, err
	}
	var got domain.Job
	view(t, s, f.shop.ID, func(r app.Reader) {
		var err error
		if got, err = r.Job(j.ID); err != nil {
			t.Fatal(err)
		}
	})
	return got.AuthorisedAmount, nil
}

func TestDecimalsSurviveExactly(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		for _, text := range []string{"0", "0.10", "12345678901234.567890", "-0.000001", "999999999999999999.999999",
			"-999999999999999999.999999", "0.1000000000", "100", "1e3", "9007199254740993", "0.300000"} {
			got, err := amountThroughStore(t, s, f, dec(text))
			if err != nil || !got.Equal(dec(text)) || got.String() != dec(text).String() {
				t.Errorf("%s came back as %s (%v)", text, got, err)
			}
		}
		for text, code := range map[string]string{"0.0000001": "decimal-too-fine", "1.2345678": "decimal-too-fine",
			"1000000000000000000": "decimal-too-large", "-1e400": "decimal-too-large", "1e-400": "decimal-too-fine"} {
			_, err := amountThroughStore(t, s, f, dec(text))
			refused(t, text, err, fault.Invalid, code)
		}
		got, err := amountThroughStore(t, s, f, dec("7"))
		same(t, "after the refusals", got, dec("7"), err)
	})
}

// What the exactness above rests on, stated by the databases themselves.
func TestDecimalsAreNotFloatsInTheFile(t *testing.T) {
	s := newSQLite(t)
	furnish(t, s, "a")
	var kinds []string
	err := s.backend.read(t.Context(), dbScan(&kinds, "SELECT typeof(authorised_amount) FROM jobs UNION ALL SELECT typeof(quantity) FROM lines UNION ALL SELECT typeof(hours_to_go) FROM entries WHERE hours_to_go IS NOT NULL"))
	same(t, "storage classes", kinds, []string{"text", "text", "text"}, err)
}

func TestAnyDecimalSurvives(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		rapid.Check(t, func(r *rapid.T) {
			d := decimal.New(rapid.Int64().Draw(r, "digits"), -int32(rapid.IntRange(0, 6).Draw(r, "places")))
			if d.Abs().GreaterThanOrEqual(amountLimit) {
				r.Skip("larger than the column")
			}
			got, err := amountThroughStore(t, s, f, d)
			if err != nil || got.String() != d.String() {
				r.Fatalf("%s came back as %s (%v)", d, got, err)
			}
		})
	})
}

func TestInstantsComeBackEqual(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		zone := time.FixedZone("", -5*3600-1800)
		for _, c := range []struct{ in, want time.Time }{
			{time.Date(2027, 3, 28, 2, 30, 0, 999999999, zone), time.Date(2027, 3, 28, 8, 0, 0, 999999000, time.UTC)},
			{time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC)},
			{time.Date(2189, 12, 31, 23, 59, 59, 1000, time.UTC), time.Date(2189, 12, 31, 23, 59, 59, 1000, time.UTC)},
			{time.Date(1969, 12, 31, 23, 59, 59, 999999999, time.UTC), time.Date(1969, 12, 31, 23, 59, 59, 999999000, time.UTC)},
		} {
			l := f.access
			l.ExpiresAt, l.RevokedAt = c.in, &c.in
			update(t, s, "a", func(tx app.Tx) error { return tx.SaveLink(l) })
			view(t, s, "a", func(r app.Reader) {
				got, err := r.Link(l.ID)
				if err != nil || got.ExpiresAt != c.want || *got.RevokedAt != c.want || got.ExpiresAt.Location() != time.UTC {
					t.Errorf("%v: got %v and %v, want %v (%v)", c.in, got.ExpiresAt, got.RevokedAt, c.want, err)
				}
			})
		}
	})
}

// On SQLite instants are text; their order as text must be their order in time.
func TestInstantsKeepTheirOrder(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		base := time.Date(2027, 1, 1, 10, 0, 5, 0, time.UTC)
		steps := []time.Duration{0, 1000, 100 * time.Millisecond, 490 * time.Millisecond, 500 * time.Millisecond,
			510 * time.Millisecond, 999999 * time.Microsecond, time.Second, time.Minute, 24 * time.Hour, 9000 * 24 * time.Hour}
		var want []domain.ID
		update(t, s, "a", func(tx app.Tx) error {
			for i := len(steps) - 1; i >= 0; i-- {
				e := f.done
				e.ID = domain.ID(rune('a'+len(steps)-i)) + "-step"
				e.StartedAt, e.FinishedAt, e.TaskID = base.Add(steps[i]), ptr(base.Add(steps[i]+time.Hour)), "a-t2"
				if err := tx.AddEntry(e); err != nil {
					return err
				}
				want = append([]domain.ID{e.ID}, want...)
			}
			return nil
		})
		view(t, s, "a", func(r app.Reader) {
			rows, err := r.TaskEntries("a-t2")
			var got []domain.ID
			for _, e := range rows {
				got = append(got, e.ID)
			}
			same(t, "order", got, want, err)
		})
	})
}

// Text is data: nothing in it is read as SQL or markup, and nothing is trimmed.
func TestTextSurvives(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		for _, text := range []string{"", " ", "'; DROP TABLE jobs; --", "? $1 @name :x", "<script>", "Grüße 車 🚗", "a\tb\nc\x01\x7f", `\u0000 "quoted"`} {
			j := f.job
			j.Title, j.Vehicle.Serial = text, text
			update(t, s, "a", func(tx app.Tx) error { return tx.SaveJob(j) })
			view(t, s, "a", func(r app.Reader) {
				got, err := r.Job(j.ID)
				same(t, text, got, j, err)
			})
		}
		// PostgreSQL text has no place for NUL, so SQLite refuses it too.
		j := f.job
		j.Title = "a\x00b"
		err := s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.SaveJob(j) })
		refused(t, "NUL", err, fault.Invalid, "text-not-storable")
		j.Title = "a\xffb"
		err = s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.SaveJob(j) })
		refused(t, "not UTF-8", err, fault.Invalid, "text-not-storable")
	})
}
