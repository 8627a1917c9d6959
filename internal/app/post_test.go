package app_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/pricing"
)

// letterbox stands for a mail server.
type letterbox struct {
	mu   sync.Mutex
	got  []app.Outgoing
	then func() error // after the server took it
}

func (l *letterbox) Send(_ context.Context, m app.Outgoing) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.got = append(l.got, m)
	if l.then != nil {
		return l.then()
	}
	return nil
}

func (b *bench) letterSent(p app.JobPage, text string) app.SentLetter {
	b.t.Helper()
	l, err := b.app.SendLetter(b.t.Context(), b.owner, p.Job.ID, b.key(), app.LetterDraft{Subject: "Your car", Text: text})
	b.ok("letter", err)
	return l
}

// ofLetters leaves out the mail about quotes.
func (l *letterbox) ofLetters() (out []app.Outgoing) {
	for _, m := range l.got {
		if m.Subject == "Your car" {
			out = append(out, m)
		}
	}
	return out
}

func (b *bench) mailOf(l app.SentLetter) domain.Mail {
	b.t.Helper()
	list, err := b.app.Mail(b.t.Context(), b.owner, app.Page{})
	b.ok("mail", err)
	for _, m := range list.Items {
		if m.ID == l.MailID {
			return m
		}
	}
	b.t.Fatalf("no mail %s", l.MailID)
	return domain.Mail{}
}

// A failure is tried again with growing pauses, 1, 2, 4, 8 minutes and so on up
// to four hours, and given up when a day has passed; a refusal for good at once.
func TestMailIsTriedAgain(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	l := b.letterSent(b.soldJob(), "It is clean.")
	fails := fault.New(fault.Unavailable, "mail-unreachable", "The mail server did not answer.")
	box := &letterbox{then: func() error { return fails }}
	start := b.now()
	for i, pause := range []time.Duration{1, 2, 4, 8, 16, 32, 64, 128, 240} {
		_, err := b.app.DeliverMail(t.Context(), box)
		b.ok("delivering", err)
		m := b.mailOf(l)
		if m.State != domain.MailWaiting || m.Tries != i+1 || m.NextTryAt == nil || !m.NextTryAt.Equal(b.now().Add(pause*time.Minute)) || !strings.Contains(m.LastError, "did not answer") {
			t.Fatalf("after try %d: %+v, want a pause of %d min", i+1, m, pause)
		}
		b.set(m.NextTryAt.Add(-time.Second))
		before := len(box.got)
		if _, err := b.app.DeliverMail(t.Context(), box); err != nil || len(box.got) != before {
			t.Fatalf("tried before its time (%v)", err)
		}
		b.set(*m.NextTryAt)
	}
	for b.mailOf(l).State == domain.MailWaiting {
		_, err := b.app.DeliverMail(t.Context(), box)
		b.ok("delivering", err)
		if b.pass(4 * time.Hour); b.now().Sub(start) > 48*time.Hour {
			t.Fatal("it is never given up")
		}
	}
	m := b.mailOf(l)
	if m.State != domain.MailFailed || m.NextTryAt != nil {
		t.Errorf("given up: %+v", m)
	}
	again, err := b.app.RetryMail(t.Context(), b.owner, m.ID)
	b.ok("retry", err)
	if again.State != domain.MailWaiting {
		t.Errorf("retried: %+v", again)
	}
	box.then = nil
	_, err = b.app.DeliverMail(t.Context(), box)
	b.ok("delivering", err)
	if m = b.mailOf(l); m.State != domain.MailSent || m.SentAt == nil || m.LastError != "" {
		t.Errorf("sent: %+v", m)
	}
	_, err = b.app.RetryMail(t.Context(), b.owner, m.ID)
	refused(t, "a message that went out", err, "mail-sent")
	for _, out := range box.got {
		if out.Subject == "Your car" && out.MessageID != box.ofLetters()[0].MessageID {
			t.Errorf("another Message-ID at a later try: %s", out.MessageID)
		}
	}
	l = b.letterSent(b.soldJob(), "To nobody.")
	box.then = func() error { return fault.New(fault.Invalid, "mail-refused", "Refused for good.") }
	_, err = b.app.DeliverMail(t.Context(), box)
	b.ok("delivering", err)
	if m = b.mailOf(l); m.State != domain.MailFailed || m.Tries != 1 {
		t.Errorf("refused for good: %+v", m)
	}
}

// An instance that ends after the server took a message and before it is marked
// leaves it claimed; after the lease it goes out again, the same to its receiver.
func TestACrashBetweenSendingAndMarking(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	l := b.letterSent(b.soldJob(), "It is clean.")
	ctx, crash := context.WithCancel(t.Context())
	box := &letterbox{then: func() error { crash(); return errors.New("gone") }}
	if _, err := b.app.DeliverMail(ctx, box); !errors.Is(err, context.Canceled) {
		t.Fatalf("got %v, want the end", err)
	}
	first := box.got[0]
	box.then = nil
	b.pass(4 * time.Minute)
	_, err := b.app.DeliverMail(t.Context(), box)
	b.ok("delivering", err)
	for _, m := range box.got[1:] {
		if m.MessageID == first.MessageID {
			t.Error("it went out while another instance may still be at it")
		}
	}
	b.pass(2 * time.Minute)
	_, err = b.app.DeliverMail(t.Context(), box)
	b.ok("delivering", err)
	last := box.got[len(box.got)-1]
	if last != first {
		t.Errorf("again: got %+v, want %+v", last, first)
	}
	if m := b.mailOf(l); m.State != domain.MailSent {
		t.Errorf("the letter: %+v", m)
	}
}

// Several instances at once send each message once.
func TestSeveralInstancesSendEachMessageOnce(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	p := b.soldJob()
	for range 8 {
		b.letterSent(p, "It is clean.")
	}
	box := &letterbox{}
	other := app.New(app.Options{Store: b.store, Passwords: plainPasswords{}, Now: b.now, NewID: counter("%08d-2222-7000-8000-%012d"), Secret: counter("s-%d-%d"), Mail: true, BaseURL: "https://portal.example"})
	var group sync.WaitGroup
	for _, instance := range []*app.App{b.app, other, b.app, other} {
		group.Go(func() {
			if _, err := instance.DeliverMail(t.Context(), box); err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	seen := map[string]int{}
	for _, m := range box.ofLetters() {
		seen[m.MessageID]++
	}
	if len(seen) != 8 {
		t.Errorf("%d of 8 messages went out", len(seen))
	}
	for id, n := range seen {
		if n != 1 {
			t.Errorf("%s went out %d times", id, n)
		}
	}
}

// Mail is written in the transaction of what it reports, to whom it concerns, and
// no title can begin another header.
func TestWhatMailIsWritten(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	p := b.soldJob()
	d := patch(t, p)
	d.Title = "Left rail\u2028is thin"
	sent := b.send(b.draft(p.Job.ID, d), 14)
	_, err := b.app.AskAboutOrder(t.Context(), b.client, sent.Order.ID, b.key(), "Will it hold?")
	b.ok("asking", err)
	_, err = b.app.AnswerAboutOrder(t.Context(), b.owner, sent.Order.ID, b.key(), "It will.")
	b.ok("answering", err)
	list, err := b.app.Mail(t.Context(), b.owner, app.Page{})
	b.ok("mail", err)
	want := []struct{ subject, holds string }{
		{"Answer about change order 1", "It will."}, {"Change order 1: Left rail is thin", "waits for your decision"}, {"Quote 1-1", "waits for your decision"}}
	if len(list.Items) != len(want) {
		t.Fatalf("%d messages, want %d: %+v", len(list.Items), len(want), list.Items)
	}
	for i, w := range want {
		m := list.Items[i]
		if m.Subject != w.subject || !strings.Contains(m.Text, w.holds) || m.To != "sorei@example.com" || !strings.Contains(m.Text, "https://portal.example/client/") {
			t.Errorf("message %d: %+v, want %+v", i, m, w)
		}
		if strings.Contains(m.Text, p.Job.AuthorisedAmount.StringFixed(2)) {
			t.Errorf("a figure goes by mail: %s", m.Text)
		}
	}
	off := app.New(app.Options{Store: b.store, Passwords: plainPasswords{}, Now: b.now, NewID: counter("%08d-3333-7000-8000-%012d"), Secret: counter("s-%d-%d")})
	l, err := off.SendLetter(t.Context(), b.owner, p.Job.ID, b.key(), app.LetterDraft{Subject: "Your car", Text: "x"})
	b.ok("letter", err)
	if l.Mail != domain.MailOff {
		t.Errorf("without a mail server: %s", l.Mail)
	}
	_, err = off.RetryMail(t.Context(), b.owner, l.MailID)
	refused(t, "retrying without a mail server", err, "mail-off")
}

// A draft tells what happened since the last letter, and no figure of money.
func TestTheDraftOfALetter(t *testing.T) {
	b := open(t, settings("EUR", pricing.PerDocument))
	p := b.soldJob()
	strip := taskCalled(t, p, "A10")
	from := monday.AddDate(0, 0, -3)
	log := func(minutes int, done bool) {
		t.Helper()
		to := from.Add(time.Duration(minutes) * time.Minute)
		_, err := b.app.LogHours(t.Context(), b.marik, b.key(), app.Log{On: app.Target{TaskID: strip.ID}, StartedAt: from, FinishedAt: to, Done: done})
		b.ok("logging", err)
		from = to
	}
	log(90, false)
	drafted := func() app.LetterDraft {
		t.Helper()
		l, err := b.app.Letters(t.Context(), b.owner, p.Job.ID)
		b.ok("letters", err)
		return l.Draft
	}
	d := drafted()
	for _, part := range []string{"Dear Sorei Vantesse,", "So far we worked 1.5 hours on your car: Stripping 1.5.", "We promised", "Selvane Frame & Body"} {
		if !strings.Contains(d.Text, part) {
			t.Errorf("the draft lacks %q:\n%s", part, d.Text)
		}
	}
	if strings.Contains(d.Text, "Finished:") {
		t.Errorf("nothing is finished yet:\n%s", d.Text)
	}
	b.letterSent(p, d.Text)
	from = b.now().Add(time.Hour)
	b.pass(10 * time.Hour)
	log(30, true)
	sent := b.send(b.draft(p.Job.ID, patch(t, p)), 14)
	d = drafted()
	for _, part := range []string{"Since our letter of 3 March 2031 we worked 0.5 hours on your car: Stripping 0.5.", "Finished: Strip.", "Next: ",
		"Change order 1, Left rail is thin, waits for your decision until 17 March 2031."} {
		if !strings.Contains(d.Text, part) {
			t.Errorf("the second draft lacks %q:\n%s", part, d.Text)
		}
	}
	for _, figure := range []string{p.Job.AuthorisedAmount.StringFixed(2), sent.Order.Effect.Amount.StringFixed(2), "EUR", "68.35", "31.17"} {
		if strings.Contains(d.Text, figure) {
			t.Errorf("the draft holds %s:\n%s", figure, d.Text)
		}
	}
	letters, err := b.app.ClientLetters(t.Context(), b.client, p.Job.ID)
	b.ok("client", err)
	if len(letters) != 1 || letters[0].Number != 1 {
		t.Errorf("the client reads %+v", letters)
	}
	_, err = b.app.ClientLetters(t.Context(), b.other, p.Job.ID)
	refused(t, "another client", err, "not-found")
}
