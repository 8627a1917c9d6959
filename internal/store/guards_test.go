package store

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// What must be unique is, with a refusal that says what is taken.
func TestUniqueness(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		furnish(t, s, "b")
		for _, c := range []struct {
			name, code string
			try        func(tx app.Tx) error
		}{
			{"same ID", "already-there", func(tx app.Tx) error { return tx.AddPerson(f.fitter) }},
			{"address within the shop, other case", "email-taken", func(tx app.Tx) error {
				p := f.fitter
				p.Email, p.PasswordHash = " IDA@A.example", "h"
				return tx.SavePerson(p)
			}},
			{"address of another shop", "email-taken", func(tx app.Tx) error {
				p := f.cl
				p.ID, p.Email, p.PasswordHash = "a-new", "ida@b.example", "h"
				return tx.AddPerson(p)
			}},
			{"job number", "job-number-taken", func(tx app.Tx) error { j := f.job; j.ID = "a-new"; return tx.AddJob(j) }},
			{"revision", "quote-revision-taken", func(tx app.Tx) error {
				q := f.quote
				q.ID, q.State = "a-new", domain.QuoteSuperseded
				return tx.AddQuote(q, domain.Document{})
			}},
			{"two open quotes", "quote-open", func(tx app.Tx) error {
				q := f.quote
				q.ID, q.Revision = "a-new", 2
				return tx.AddQuote(q, domain.Document{})
			}},
			{"two accepted quotes", "quote-accepted", func(tx app.Tx) error {
				q := f.quote
				q.State = domain.QuoteAccepted
				if err := tx.SaveQuoteState(q); err != nil {
					t.Error(err)
				}
				q.ID, q.Revision = "a-new", 2
				return tx.AddQuote(q, domain.Document{})
			}},
			{"revision of a template", "template-revision-taken", func(tx app.Tx) error { x := f.template; x.ID = "a-new"; return tx.AddTemplate(x) }},
			{"zone code", "zone-code-taken", func(tx app.Tx) error { z := f.zone; z.ID = "a-new"; return tx.AddZones([]domain.Zone{z}) }},
			{"finding number", "finding-number-taken", func(tx app.Tx) error { x := f.found; x.ID = "a-new"; return tx.AddFinding(x) }},
			{"two running clocks", "clock-running", func(tx app.Tx) error { e := f.runs; e.ID = "a-new"; return tx.AddEntry(e) }},
			{"two corrections", "entry-corrected", func(tx app.Tx) error {
				e := f.done
				e.ID, e.CorrectsID = "a-new", f.done.ID
				if err := tx.AddEntry(e); err != nil {
					t.Error(err)
				}
				e.ID = "a-newer"
				return tx.AddEntry(e)
			}},
			{"idempotency key", "idempotency-key-used", func(tx app.Tx) error { return tx.KeepAnswer(f.fitter.ID, "key", f.answer) }},
			{"token of a link", "token-taken", func(tx app.Tx) error { l := f.access; l.ID = "a-new"; return tx.AddLink(l) }},
			{"token of a session", "token-taken", func(tx app.Tx) error { x := f.session; x.ID = "a-new"; return tx.AddSession(x) }},
		} {
			refused(t, c.name, s.Update(t.Context(), "a", c.try), fault.Conflict, c.code)
		}
		refused(t, "shop", s.CreateShop(t.Context(), f.shop, false, nil), fault.Conflict, "already-there")
	})
}

// What only looks alike may stand side by side.
func TestWhatNeedNotBeUnique(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		update(t, s, "a", func(tx app.Tx) error {
			p := f.cl // no password: the address signs nobody in
			p.ID, p.Email = "a-new", f.owner.Email
			void := f.runs // a void entry does not run
			void.ID, void.Void = "a-void", true
			stopped := f.runs
			stopped.FinishedAt = ptr(at(90))
			next := f.runs
			next.ID = "a-next"
			q := f.quote
			q.State = domain.QuoteSuperseded
			later := f.quote
			later.ID, later.Revision = "a-later", 2
			return must(tx.AddPerson(p), tx.AddEntry(void), tx.FinishEntry(stopped), tx.AddEntry(next),
				tx.SaveQuoteState(q), tx.AddQuote(later, domain.Document{}),
				tx.KeepAnswer(f.owner.ID, "key", f.answer), tx.KeepAnswer("console", "key", f.answer))
		})
	})
}

// Values outside the lists that the schema knows are refused.
func TestChecks(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		for name, try := range map[string]func(tx app.Tx) error{
			"role":         func(tx app.Tx) error { p := f.cl; p.Role = "guest"; return tx.SavePerson(p) },
			"job state":    func(tx app.Tx) error { j := f.job; j.State = "lost"; return tx.SaveJob(j) },
			"task kind":    func(tx app.Tx) error { x := f.estimate.Tasks[0]; x.Kind = "play"; return tx.SaveTask(x) },
			"scope":        func(tx app.Tx) error { return tx.SetScope(f.job.ID, []domain.ID{"a-t1"}, nil, "maybe") },
			"link type":    func(tx app.Tx) error { l := f.estimate.Links[0]; l.Type = "XX"; return tx.SaveTaskLink(l) },
			"lag kind":     func(tx app.Tx) error { l := f.estimate.Links[0]; l.LagKind = "no"; return tx.SaveTaskLink(l) },
			"line kind":    func(tx app.Tx) error { l := f.estimate.Lines[0]; l.Kind = "labour"; return tx.SaveLine(l) },
			"quote state":  func(tx app.Tx) error { q := f.quote; q.State = "half"; return tx.SaveQuoteState(q) },
			"entry kind":   func(tx app.Tx) error { e := f.done; e.ID, e.Kind = "a-x", "rest"; return tx.AddEntry(e) },
			"zone kind":    func(tx app.Tx) error { z := f.zone; z.Kind = "roof"; return tx.SaveZone(z) },
			"zone side":    func(tx app.Tx) error { z := f.zone; z.Side = "up"; return tx.SaveZone(z) },
			"share seen":   func(tx app.Tx) error { z := f.zone; z.VisiblePercent = 101; return tx.SaveZone(z) },
			"moment":       func(tx app.Tx) error { o := f.seen; o.ID, o.Moment = "a-x", "later"; return tx.AddObservation(o) },
			"condition":    func(tx app.Tx) error { o := f.seen; o.ID, o.Condition = "a-x", "e"; return tx.AddObservation(o) },
			"finding":      func(tx app.Tx) error { x := f.found; x.What = "gold"; return tx.SaveFinding(x) },
			"found state":  func(tx app.Tx) error { x := f.found; x.State = "lost"; return tx.SaveFinding(x) },
			"found count":  func(tx app.Tx) error { x := f.found; x.Count = 0; return tx.SaveFinding(x) },
			"found steel":  func(tx app.Tx) error { x := f.found; x.Condition = "z"; return tx.SaveFinding(x) },
			"waiting code": func(tx app.Tx) error { e := f.done; e.ID, e.WaitingCode = "a-x", "lunch"; return tx.AddEntry(e) },
			"times":        func(tx app.Tx) error { e := f.done; e.ID, e.FinishedAt = "a-x", &e.StartedAt; return tx.AddEntry(e) },
			"link purpose": func(tx app.Tx) error {
				l := f.access
				l.ID, l.TokenHash, l.Purpose = "a-x", "x", "any"
				return tx.AddLink(l)
			},
		} {
			refused(t, name, s.Update(t.Context(), "a", try), fault.Invalid, "value-not-allowed")
		}
	})
}

// The append-only tables refuse changes from whoever has the database.
func TestAppendOnlyTablesRefuse(t *testing.T) {
	statements := []string{
		"UPDATE trail_entries SET action = 'x'", "UPDATE trail_entries SET hash = ''", "DELETE FROM trail_entries",
		"UPDATE documents SET body = ''", "UPDATE documents SET hash = 'x'", "DELETE FROM documents",
		"UPDATE quotes SET total = '1'", "UPDATE quotes SET plan = '[]'", "UPDATE quotes SET terms = ''", "UPDATE quotes SET expires_at = issued_at",
		"UPDATE quotes SET document_hash = ''", "DELETE FROM quotes",
		"UPDATE entries SET started_at = logged_at", "UPDATE entries SET person_id = 'a-owner'", "UPDATE entries SET task_id = NULL",
		"UPDATE entries SET void = NOT void", "UPDATE entries SET reason = 'x'", "UPDATE entries SET logged_at = started_at",
		"UPDATE entries SET note = 'x' WHERE id = 'a-done'", "UPDATE entries SET done = NOT done WHERE id = 'a-done'",
		"UPDATE entries SET finished_at = NULL WHERE id = 'a-done'", "UPDATE entries SET hours_to_go = NULL WHERE id = 'a-done'",
		"DELETE FROM entries",
		"UPDATE observations SET condition = 'a'", "UPDATE observations SET photo_ids = '[]'", "UPDATE observations SET seen_at = NULL", "DELETE FROM observations",
		"UPDATE photos SET hash = 'x'", "UPDATE photos SET blob = 'x'", "DELETE FROM photos",
		"UPDATE findings SET number = 7", "UPDATE findings SET reported_at = NULL", "UPDATE findings SET by_name = 'x'", "DELETE FROM findings",
		"UPDATE change_orders SET number = 9", "UPDATE change_orders SET created_by = 'x'", "DELETE FROM change_orders",
		"UPDATE change_orders SET items = '[]' WHERE id = 'a-sent'", "UPDATE change_orders SET title = 'x' WHERE id = 'a-sent'",
		"UPDATE change_orders SET document_hash = 'x' WHERE id = 'a-sent'", "UPDATE change_orders SET expires_at = created_at WHERE id = 'a-sent'",
		"UPDATE change_orders SET state = 'sent' WHERE id = 'a-over'", "UPDATE change_orders SET decision = NULL WHERE id = 'a-over'",
		"UPDATE change_orders SET effect = '{}' WHERE id = 'a-over'", "UPDATE change_orders SET items = '[]' WHERE id = 'a-over'",
		"UPDATE order_messages SET text = 'x'", "DELETE FROM order_messages",
		"UPDATE order_documents SET body = ''", "UPDATE order_documents SET hash = 'x'", "DELETE FROM order_documents",
		"UPDATE templates SET plan = '{}'", "UPDATE templates SET retired = NOT retired", "UPDATE templates SET version = 9", "DELETE FROM templates",
	}
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		order(t, s, f)
		if !isSQLite(s) {
			statements := &statements
			*statements = append(*statements, "TRUNCATE trail_entries", "TRUNCATE documents", "TRUNCATE entries CASCADE", "TRUNCATE quotes CASCADE",
				"TRUNCATE observations", "TRUNCATE photos", "TRUNCATE findings",
				"TRUNCATE order_messages", "TRUNCATE order_documents", "TRUNCATE change_orders CASCADE", "TRUNCATE templates")
		}
		for _, statement := range statements {
			refused(t, statement, raw(t, s, statement), fault.Conflict, "append-only")
		}
		view(t, s, "a", func(r app.Reader) { readQuotes(t, r, f); readEntries(t, r, f) })
		checkTrail(t, s, "a", 2)
	})
}

// The columns that may move do, once.
func TestWhatMayMoveInAppendOnlyTables(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		stopped := f.runs
		stopped.FinishedAt, stopped.HoursToGo, stopped.Done, stopped.Note = ptr(at(95)), ptr(dec("0.10")), true, "n"
		corrects := f.done
		corrects.ID, corrects.CorrectsID, corrects.Reason = "a-new", f.done.ID, "typed wrong"
		decided := f.quote
		decided.State = domain.QuoteDeclined
		decided.Decision = &domain.Decision{Name: "Ada Ohm", How: domain.InPerson, Reason: "dear", DecidedAt: at(50), RecordedAt: at(51), Amount: dec("119.120000")}
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.FinishEntry(stopped), tx.AddEntry(corrects), tx.MarkCorrected(f.done.ID, corrects.ID), tx.SaveQuoteState(decided))
		})
		marked := f.done
		marked.CorrectedBy = corrects.ID
		view(t, s, "a", func(r app.Reader) {
			entries, err := r.Entries([]domain.ID{f.job.ID})
			same(t, "Entries", entries[f.job.ID], []domain.Entry{marked, corrects, stopped}, err)
			quote, err := r.Quote(decided.ID)
			same(t, "Quote", quote, decided, err)
		})
		again := func(try func(tx app.Tx) error) error { return s.Update(t.Context(), "a", try) }
		refused(t, "FinishEntry", again(func(tx app.Tx) error { return tx.FinishEntry(stopped) }), fault.Conflict, "entry-finished")
		refused(t, "MarkCorrected", again(func(tx app.Tx) error { return tx.MarkCorrected(f.done.ID, stopped.ID) }), fault.Conflict, "entry-corrected")
		refused(t, "a correction's mark", raw(t, s, "UPDATE entries SET corrected_by = NULL WHERE id = 'a-done'"), fault.Conflict, "append-only")
		refused(t, "a decision", again(func(tx app.Tx) error {
			q := decided
			q.Decision = &domain.Decision{Name: "somebody else"}
			return tx.SaveQuoteState(q)
		}), fault.Conflict, "append-only")
		// The state may still follow, with the decision read back and saved again.
		update(t, s, "a", func(tx app.Tx) error {
			q, err := tx.Quote(decided.ID)
			q.State = domain.QuoteSuperseded
			return must(err, tx.SaveQuoteState(q))
		})
	})
}

// A running entry may be corrected by one that runs: marked first, added after.
func TestCorrectionOfARunningEntry(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		earlier := f.runs
		earlier.ID, earlier.CorrectsID, earlier.StartedAt = "a-new", f.runs.ID, at(75)
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.MarkCorrected(f.runs.ID, earlier.ID), tx.AddEntry(earlier))
		})
		view(t, s, "a", func(r app.Reader) {
			running, ok, err := r.RunningEntry(f.fitter.ID)
			same(t, "RunningEntry", running, earlier, err)
			same(t, "RunningEntry is there", ok, true, nil)
		})
		err := s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.MarkCorrected("a-new", "never added") })
		refused(t, "an entry that is never added", err, fault.NotFound, "reference-not-found")
	})
}
