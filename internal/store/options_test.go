package store

import (
	"testing"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// What a quote with options keeps is read back the same, belongs to its shop, and
// is written once.
func TestWhatAQuoteWithOptionsKeeps(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		furnish(t, s, "b")
		want := domain.Snapshot{From: at(8), NotBefore: f.job.NotBefore, Promise: f.job.Promise, TimeZone: "Europe/Berlin", CalendarVersion: 4, Calendar: f.shop.Calendar}
		want.Keep(f.estimate)
		decided := domain.Document{ID: f.quote.ID, ContentType: "text/html", Hash: "as decided", Body: []byte("<p>\x00\xfe"), Sheet: "{}"}
		agreed := f.quote
		agreed.State = domain.QuoteAccepted
		agreed.Decision = &domain.Decision{Accepted: true, Name: "Ada Ohm", How: domain.InPerson, DecidedAt: at(50), RecordedAt: at(51), Amount: dec("99.1")}
		agreed.Agreed = &domain.Agreed{OptionIDs: []domain.ID{"a-option"}, Net: dec("83.28"), Tax: dec("15.82"), Total: dec("99.1"), Cost: dec("44"),
			Offer: domain.Offer{Phases: []domain.OfferPhase{{Name: "Removal", Net: "83.28"}}, Finish: "2027-10-05",
				Options: []domain.OfferOption{{ID: "a-option", Group: "Rear frame", Name: "Repair", Taken: true, Net: "12.00", Difference: "-3.40", Days: -2, Hours: "3.17",
					Points: []domain.PointEffect{}, Originality: dec("-0.5"), Condition: dec("1.25"), Lines: []domain.OfferLine{}}}},
			Plan: f.quote.Plan, DocumentHash: "as decided"}
		update(t, s, "a", func(tx app.Tx) error {
			return must(tx.AddSnapshot(f.quote.ID, want), tx.AddAgreedDocument(f.quote.ID, decided), tx.SaveQuoteState(agreed))
		})
		view(t, s, "a", func(r app.Reader) {
			got, err := r.Snapshot(f.quote.ID)
			same(t, "Snapshot", got, want, err)
			doc, err := r.AgreedDocument(f.quote.ID)
			same(t, "AgreedDocument", doc, decided, err)
			quote, err := r.Quote(f.quote.ID)
			same(t, "Quote", quote, agreed, err)
		})
		view(t, s, "b", func(r app.Reader) {
			refused(t, "another shop's snapshot", second(r.Snapshot(f.quote.ID)), fault.NotFound, "snapshot-not-found")
			refused(t, "another shop's document", second(r.AgreedDocument(f.quote.ID)), fault.NotFound, "document-not-found")
		})
		refused(t, "a second snapshot", s.Update(t.Context(), "a", func(tx app.Tx) error { return tx.AddSnapshot(f.quote.ID, want) }), fault.Conflict, "already-there")
		refused(t, "another shop's option", s.Update(t.Context(), "b", func(tx app.Tx) error { return tx.SaveOption(f.estimate.Options[0]) }), fault.NotFound, "option-not-found")
		statements := []string{"UPDATE quotes SET agreed = NULL", "UPDATE quotes SET agreed = '{}'", "UPDATE quote_snapshots SET body = '{}'", "DELETE FROM quote_snapshots",
			"UPDATE agreed_documents SET body = ''", "UPDATE agreed_documents SET hash = 'x'", "DELETE FROM agreed_documents"}
		if !isSQLite(s) {
			statements = append(statements, "TRUNCATE quote_snapshots", "TRUNCATE agreed_documents")
		}
		for _, statement := range statements {
			refused(t, statement, raw(t, s, statement), fault.Conflict, "append-only")
		}
	})
}
