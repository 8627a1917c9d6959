package demo_test

import (
	"testing"
	"time"
)

// The demo shows money and a letter: a deposit that is the quote's first draw,
// things that were ordered and fitted, and a letter whose mail is off.
func TestTheDemoShowsMoneyAndALetter(t *testing.T) {
	s := load(t, time.Date(2027, 6, 9, 10, 0, 0, 0, time.UTC))
	p := s.pages["Solvane"]
	m, err := s.app.JobMoney(t.Context(), s.owner, p.Job.ID)
	if err != nil {
		t.Fatal(err)
	}
	q, _ := p.Accepted()
	if m.Paid.String() != q.Offer.Draws[0].Amount || m.Watch.Exposure.Sign() <= 0 || m.Watch.Ordered.Sign() <= 0 {
		t.Errorf("paid %s of a deposit of %s, exposure %s, ordered %s", m.Paid, q.Offer.Draws[0].Amount, m.Watch.Exposure, m.Watch.Ordered)
	}
	letters, err := s.app.Letters(t.Context(), s.owner, p.Job.ID)
	if err != nil {
		t.Fatal(err)
	}
	if len(letters.Sent) != 1 || letters.Sent[0].Mail != "off" || letters.Draft.Text == "" {
		t.Errorf("letters: %+v", letters)
	}
	t.Logf("the watch: %s of %s, %s", m.Watch.Exposure, m.Watch.Authorised, m.Watch.State)
}
