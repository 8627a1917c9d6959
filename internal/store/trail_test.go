package store

import (
	"encoding/json"
	"strings"
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// firstBroken walks a shop's trail as a verifier does: numbers without gaps,
// each hash over the content and the hash before. It returns the number of the
// first entry that does not hold, or 0, and how many there are.
func firstBroken(t *testing.T, s *Store, shop domain.ID) (broken int64, count int) {
	t.Helper()
	prev, next := "", int64(1)
	for {
		var part []domain.TrailEntry
		view(t, s, shop, func(r app.Reader) {
			var err error
			if part, err = r.TrailFrom(next, 7); err != nil {
				t.Fatal(err)
			}
		})
		if len(part) == 0 {
			return 0, count
		}
		for _, e := range part {
			if e.Seq != next || e.PrevHash != prev || e.Hash != e.Seal() {
				return next, count
			}
			prev, next, count = e.Hash, next+1, count+1
		}
	}
}

func checkTrail(t *testing.T, s *Store, shop domain.ID, want int) {
	t.Helper()
	if broken, count := firstBroken(t, s, shop); broken != 0 || count != want {
		t.Errorf("trail of %s: %d entries hold, broken at %d; want %d", shop, count, broken, want)
	}
}

func TestTrailKeepsExactBytesAndHolds(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		furnish(t, s, "a")
		furnish(t, s, "b")
		texts := []string{`{"b":1,"a":2}`, `{ "a" : 1.0, "a": 1.00 }`, `"é\u00e9\/\u0000"`, `null`, ``, "[\n]"}
		for i, text := range texts {
			update(t, s, "a", func(tx app.Tx) error {
				e := domain.TrailEntry{At: noon.Add(987654321), ActorID: "x", Action: "edit", Before: json.RawMessage(text), After: json.RawMessage(text)}
				if i%2 == 0 {
					e.JobID = "a-job"
				}
				return must(tx.AppendTrail(e), tx.AppendTrail(domain.TrailEntry{At: noon, Action: "second in the same transaction"}))
			})
		}
		checkTrail(t, s, "a", 2+2*len(texts))
		checkTrail(t, s, "b", 2)
		view(t, s, "a", func(r app.Reader) {
			for i, text := range texts {
				rows, err := r.TrailFrom(int64(3+2*i), 1)
				if len(rows) == 1 && !rows[0].At.Equal(noon.Add(987654000)) {
					t.Errorf("the instant came back as %v: not whole microseconds", rows[0].At)
				}
				if err != nil || len(rows) != 1 || string(rows[0].Before) != text || string(rows[0].After) != text {
					t.Errorf("%q came back as %+v (%v)", text, rows, err)
				}
			}
			rows, _, err := r.Trail("a-job", app.Page{})
			var seqs []int64
			for _, e := range rows {
				seqs = append(seqs, e.Seq)
			}
			same(t, "trail of the job, newest first", seqs, []int64{11, 7, 3, 2}, err)
		})
	})
}

// Whoever gets past the triggers is still found out.
func TestTamperedTrailIsFound(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		for _, c := range []struct {
			name, change string
			broken       int64
		}{
			{"content", "UPDATE trail_entries SET actor_name = 'nobody' WHERE shop_id = ? AND seq = 5", 5},
			{"time", "UPDATE trail_entries SET at = (SELECT MIN(created_at) FROM shops) WHERE shop_id = ? AND seq = 4", 4},
			{"missing", "DELETE FROM trail_entries WHERE shop_id = ? AND seq = 6", 6},
			{"hash", "UPDATE trail_entries SET hash = 'x' WHERE shop_id = ? AND seq = 3", 3},
			{"swapped", "UPDATE trail_entries SET subject = CASE seq WHEN 4 THEN '5' ELSE '4' END WHERE shop_id = ? AND seq IN (4, 5)", 4},
		} {
			shop := domain.ID(c.name)
			furnish(t, s, shop)
			update(t, s, shop, func(tx app.Tx) error {
				for _, subject := range strings.Fields("3 4 5 6 7 8 9 10") {
					if err := tx.AppendTrail(domain.TrailEntry{At: noon.Add(1e9), Action: "edit", Subject: subject}); err != nil {
						return err
					}
				}
				return nil
			})
			checkTrail(t, s, shop, 10)
			withoutTriggers(t, s, func() {
				if err := raw(t, s, c.change, shop); err != nil {
					t.Fatal(err)
				}
			})
			if broken, _ := firstBroken(t, s, shop); broken != c.broken {
				t.Errorf("%s: broken at %d, want %d", c.name, broken, c.broken)
			}
		}
	})
}

// withoutTriggers takes the guards of the trail away, as somebody with the
// database could.
func withoutTriggers(t *testing.T, s *Store, fn func()) {
	t.Helper()
	suffix := ""
	if !isSQLite(s) {
		suffix = " ON trail_entries"
	}
	for _, name := range []string{"trail_entries_written", "trail_entries_kept"} {
		if err := raw(t, s, "DROP TRIGGER IF EXISTS "+name+suffix); err != nil {
			t.Fatal(err)
		}
	}
	fn()
}
