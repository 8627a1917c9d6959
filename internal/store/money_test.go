package store

import (
	"fmt"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
)

// cash is one of everything that has to do with money, letters and mail.
type cash struct {
	authoriser domain.Authoriser
	payment    domain.Payment
	ordered    domain.Supply
	fitted     domain.Supply
	override   domain.WatchOverride
	mail       domain.Mail
	letter     domain.Letter
}

func describeCash(f furniture) cash {
	id := func(s string) domain.ID { return f.shop.ID + "-" + s }
	line := f.estimate.Lines[0].ID
	return cash{
		authoriser: domain.Authoriser{ID: id("auth"), JobID: f.job.ID, Name: "Odra Ohm", Contact: "1", Note: "n", AddedAt: at(1), AddedBy: "Ida"},
		payment:    domain.Payment{ID: id("pay"), JobID: f.job.ID, Amount: dec("1234567890.12"), PaidOn: "2027-04-01", How: domain.ByCheque, Note: "n", RecordedBy: "Ida", At: at(2)},
		ordered:    domain.Supply{ID: id("s1"), JobID: f.job.ID, LineID: line, State: domain.SupplyOrdered, Returnable: true, RestockingFee: dec("0.10"), Note: "n", At: at(3), By: "Ida", ExpectedOn: "2027-06-01"},
		fitted:     domain.Supply{ID: id("s2"), JobID: f.job.ID, LineID: line, State: domain.SupplyFitted, RestockingFee: dec("0"), At: at(4), By: "bo"},
		override:   domain.WatchOverride{ID: id("over"), JobID: f.job.ID, UpTo: dec("99.5"), Reason: "r", By: "Ida", At: at(5)},
		mail:       domain.Mail{ID: id("mail"), JobID: f.job.ID, To: "ada@example.org", Subject: "s", Text: "t\n", State: domain.MailWaiting, CreatedAt: at(6), NextTryAt: ptr(at(6))},
		letter:     domain.Letter{ID: id("letter"), JobID: f.job.ID, Number: 1, Subject: "s", Text: "t", SentAt: at(6), SentBy: "Ida", MailID: id("mail")},
	}
}

func (c cash) store(tx app.Tx) error {
	return must(tx.AddAuthoriser(c.authoriser), tx.AddPayment(c.payment), tx.AddSupply(c.ordered), tx.AddSupply(c.fitted),
		tx.AddWatchOverride(c.override), tx.AddMail(c.mail), tx.AddLetter(c.letter))
}

func TestReadsTheMoneyThatWasWritten(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f, other := furnish(t, s, "a"), furnish(t, s, "b")
		c := describeCash(f)
		for _, x := range []furniture{f, other} {
			update(t, s, x.shop.ID, func(tx app.Tx) error { return describeCash(x).store(tx) })
		}
		ended, voided := c.authoriser, c.payment
		ended.EndedAt, ended.EndedBy, ended.EndReason = ptr(at(9)), "Ida", "asked"
		voided.VoidedAt, voided.VoidedBy, voided.VoidReason = ptr(at(9)), "Ida", "wrong job"
		view(t, s, "a", func(r app.Reader) { readCash(t, r, c) })
		update(t, s, "a", func(tx app.Tx) error { return must(tx.EndAuthoriser(ended), tx.VoidPayment(voided)) })
		c.authoriser, c.payment = ended, voided
		view(t, s, "a", func(r app.Reader) {
			readCash(t, r, c)
			for what, err := range map[string]error{"authoriser-not-found": second(r.Authoriser("b-auth")), "payment-not-found": second(r.Payment("b-pay")), "message-not-found": second(r.Mail("b-mail"))} {
				if e := fault.As(err); e == nil || e.Code != what {
					t.Errorf("another shop's: got %v, want %s", err, what)
				}
			}
			none, err := r.Payments("b-job")
			same(t, "another shop's payments", none, []domain.Payment{}, err)
		})
	})
}

func readCash(t *testing.T, r app.Reader, c cash) {
	t.Helper()
	job := c.payment.JobID
	authorisers, err := r.Authorisers(job)
	same(t, "Authorisers", authorisers, []domain.Authoriser{c.authoriser}, err)
	authoriser, err := r.Authoriser(c.authoriser.ID)
	same(t, "Authoriser", authoriser, c.authoriser, err)
	payments, err := r.Payments(job)
	same(t, "Payments", payments, []domain.Payment{c.payment}, err)
	payment, err := r.Payment(c.payment.ID)
	same(t, "Payment", payment, c.payment, err)
	supplies, err := r.Supplies(job)
	same(t, "Supplies", supplies, []domain.Supply{c.ordered, c.fitted}, err)
	expected, err := r.Expected([]domain.ID{job})
	same(t, "Expected: fitted by now", expected, map[domain.ID]map[domain.ID]domain.Day{job: {}}, err)
	overrides, err := r.WatchOverrides(job)
	same(t, "WatchOverrides", overrides, []domain.WatchOverride{c.override}, err)
	letters, err := r.Letters(job)
	same(t, "Letters", letters, []domain.Letter{c.letter}, err)
	mail, err := r.Mail(c.mail.ID)
	same(t, "Mail", mail, c.mail, err)
	byID, err := r.MailByID([]domain.ID{c.mail.ID, "b-mail"})
	same(t, "MailByID", byID, map[domain.ID]domain.Mail{c.mail.ID: c.mail}, err)
	page, next, err := r.MailPage(app.Page{})
	same(t, "MailPage", page, []domain.Mail{c.mail}, err)
	same(t, "MailPage next", next, "", nil)
}

// What was recorded is never rewritten, on neither dialect.
func TestMoneyAndLettersAreAppendOnly(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		c := describeCash(f)
		update(t, s, "a", func(tx app.Tx) error { return c.store(tx) })
		c.authoriser.EndedAt, c.payment.VoidedAt = ptr(at(9)), ptr(at(9))
		update(t, s, "a", func(tx app.Tx) error { return must(tx.EndAuthoriser(c.authoriser), tx.VoidPayment(c.payment)) })
		c.authoriser.EndedAt, c.payment.VoidedAt = nil, nil
		for name, again := range map[string]func(tx app.Tx) error{
			"authority ended twice": func(tx app.Tx) error { return tx.EndAuthoriser(c.authoriser) },
			"payment voided twice":  func(tx app.Tx) error { return tx.VoidPayment(c.payment) },
		} {
			err := s.Update(t.Context(), "a", again)
			if e := fault.As(err); e == nil || e.Code != "append-only" {
				t.Errorf("%s: got %v", name, err)
			}
		}
		for _, statement := range []string{
			"UPDATE authorisers SET name = 'x'", "DELETE FROM authorisers", "UPDATE payments SET amount = '1'", "DELETE FROM payments",
			"UPDATE supplies SET state = 'fitted'", "DELETE FROM supplies", "UPDATE watch_overrides SET up_to = '1'", "DELETE FROM watch_overrides",
			"UPDATE letters SET body = 'x'", "DELETE FROM letters", "UPDATE mail SET to_address = 'x'", "UPDATE mail SET body = 'x'", "DELETE FROM mail",
		} {
			if err := raw(t, s, statement); err == nil {
				t.Errorf("%s went through", statement)
			}
		}
	})
}

// Due mail comes longest due first; what is claimed, sent or not due yet stays out.
func TestDueMail(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		add := func(id string, state domain.MailState, next, claimed *time.Time) {
			m := describeCash(f).mail
			m.ID, m.State, m.NextTryAt, m.ClaimedUntil, m.CreatedAt = id, state, next, claimed, at(len(id))
			update(t, s, "a", func(tx app.Tx) error { return tx.AddMail(m) })
		}
		add("later", domain.MailWaiting, ptr(at(50)), nil)
		add("second", domain.MailWaiting, ptr(at(20)), nil)
		add("first", domain.MailWaiting, ptr(at(10)), ptr(at(29)))
		add("claimed", domain.MailWaiting, ptr(at(5)), ptr(at(31)))
		add("sent", domain.MailSent, nil, nil)
		add("off", domain.MailOff, nil, nil)
		view(t, s, "a", func(r app.Reader) {
			due, err := r.DueMail(at(30), 10)
			var got []string
			for _, m := range due {
				got = append(got, m.ID)
			}
			same(t, "due", got, []string{"first", "second"}, err)
			one, err := r.DueMail(at(30), 1)
			same(t, "at most one", fmt.Sprint(len(one), one[0].ID), "1first", err)
			ids := walk(t, 2, func(m domain.Mail) string { return m.ID }, r.MailPage)
			same(t, "pages", len(ids), 6, nil)
		})
		m := describeCash(f).mail
		m.ID, m.State, m.Tries, m.LastError, m.NextTryAt, m.ClaimedUntil, m.SentAt, m.CreatedAt = "first", domain.MailSent, 3, "e", nil, nil, ptr(at(40)), at(5)
		update(t, s, "a", func(tx app.Tx) error { return tx.SaveMail(m) })
		view(t, s, "a", func(r app.Reader) {
			got, err := r.Mail("first")
			same(t, "saved", got, m, err)
		})
	})
}

func TestLetterNumbersCountUpWithinTheJob(t *testing.T) {
	onBoth(t, func(t *testing.T, s *Store) {
		f := furnish(t, s, "a")
		update(t, s, "a", func(tx app.Tx) error {
			for want := 1; want <= 3; want++ {
				n, err := tx.NextLetterNumber(f.job.ID)
				same(t, "number", n, want, err)
				l := describeCash(f).letter
				l.ID, l.Number, l.MailID = fmt.Sprint("l", n), n, ""
				if err := tx.AddLetter(l); err != nil {
					return err
				}
			}
			return nil
		})
		view(t, s, "a", func(r app.Reader) {
			letters, err := r.Letters(f.job.ID)
			same(t, "newest first", fmt.Sprint(len(letters), letters[0].Number), "3 3", err)
		})
	})
}
