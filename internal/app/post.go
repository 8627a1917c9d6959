package app

import (
	"context"
	"fmt"
	"net/mail"
	"strings"
	"time"
	"unicode"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/paper"
)

// Outgoing is one message on its way.
type Outgoing struct {
	MessageID string // the same at every try
	FromName  string // the shop's
	To        string
	Subject   string
	Text      string
	Date      time.Time
}

// Sender hands a message to a mail server. An error of kind fault.Invalid says
// that the message will never be taken; any other that it may be later.
type Sender interface {
	Send(ctx context.Context, m Outgoing) error
}

// Times of the outgoing mail.
const (
	mailLease    = 5 * time.Minute // for one try; afterwards another instance may try
	firstPause   = time.Minute     // doubled after each try
	longestPause = 4 * time.Hour
	giveUpAfter  = 24 * time.Hour
	mailAtOnce   = 20
)

// post writes a message to a job's client into the outbox, in the transaction of
// what it reports. Without an address it writes none and returns an empty ID:
// then the owner copies the link.
func (w *work) post(job domain.Job, subject, text string) (domain.ID, error) {
	client, err := w.Person(job.ClientID)
	if err != nil {
		return "", err
	}
	to, ok := address(client.Email)
	if !ok {
		return "", nil
	}
	m := domain.Mail{ID: w.app.newID(), JobID: job.ID, To: to, Subject: oneLine(subject), Text: text, State: domain.MailOff, CreatedAt: w.now}
	if w.app.mail {
		m.State, m.NextTryAt = domain.MailWaiting, &w.now
	}
	return m.ID, w.AddMail(m)
}

// Mail to a client names what waits and where to read it. Figures stay in the
// portal, where the client is known.

func (w *work) postQuote(p JobPage, q domain.Quote) error {
	values := paper.QuoteValues(paper.QuoteData{Shop: p.Shop, Job: p.Job, Client: p.Client, Quote: q})
	subject, text := mailOf(p.Shop.Settings, domain.QuoteMailSubject, domain.QuoteMailBody, values)
	return w.posted(p.Job, subject, text, "/client/quotes/"+q.ID)
}

func (w *work) postOrder(b *orderBase, o domain.ChangeOrder) error {
	client, err := w.Person(b.job.ClientID)
	if err != nil {
		return err
	}
	values := paper.OrderValues(paper.OrderData{Shop: b.shop, Job: b.job, Client: client, Order: o}, w.now)
	subject, text := mailOf(b.shop.Settings, domain.OrderMailSubject, domain.OrderMailBody, values)
	return w.posted(b.job, subject, text, "/client/orders/"+o.ID)
}

func (w *work) postAnswer(job domain.Job, o domain.ChangeOrder, answer string) error {
	return w.posted(job, fmt.Sprintf("Answer about change order %d", o.Number),
		fmt.Sprintf("About change order %d, %s:\n\n%s", o.Number, o.Title, answer), "/client/orders/"+o.ID)
}

func (w *work) posted(job domain.Job, subject, text, path string) error {
	_, err := w.post(job, subject, text+"\n\n"+w.app.portal(path)+"\n")
	return err
}

// address reads one plain e-mail address. What is more than that, a name, a list
// or a line break, is none.
func address(text string) (string, bool) {
	a, err := mail.ParseAddress(text)
	if err != nil || a.Name != "" || a.Address != strings.TrimSpace(text) || strings.ContainsFunc(a.Address, unicode.IsControl) {
		return "", false
	}
	return a.Address, true
}

// oneLine makes a header's text of a title: no control character is left that
// could begin another header.
func oneLine(text string) string {
	clean := strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, text)
	return strings.Join(strings.Fields(clean), " ")
}

// portal names a page of the client's portal. The private link itself is not
// known here, only its hash; a browser that has opened it once is let in.
func (a *App) portal(path string) string {
	if a.baseURL == "" {
		return "Open the link that you have from us to read more and to answer."
	}
	return fmt.Sprintf("Read more and answer at %s%s; on a new device, open the link that you have from us first.", a.baseURL, path)
}

// DeliverMail tries every message that is due, in every shop, and returns how
// many went out. A message is claimed before it is tried and marked afterwards,
// each in a transaction of its own, so that several instances do not send it
// twice at once; when one ends in between, the message goes out again after the
// lease, with the same Message-ID.
func (a *App) DeliverMail(ctx context.Context, to Sender) (sent int, err error) {
	shops, err := a.store.Shops(ctx)
	if err != nil {
		return 0, err
	}
	for _, shop := range shops {
		n, err := a.deliverFor(ctx, shop, to)
		sent += n
		if err != nil {
			return sent, err
		}
	}
	return sent, nil
}

func (a *App) deliverFor(ctx context.Context, shop domain.Shop, to Sender) (sent int, err error) {
	var due []domain.Mail
	look := func(r Reader) (err error) { due, err = r.DueMail(a.now(), mailAtOnce); return err }
	if err := a.store.View(ctx, shop.ID, look); err != nil || len(due) == 0 {
		return 0, err
	}
	for _, m := range due {
		claimed, ok, err := a.claim(ctx, shop.ID, m.ID)
		if err != nil {
			return sent, err
		}
		if !ok {
			continue
		}
		failure := to.Send(ctx, Outgoing{MessageID: m.ID + "@" + domainOf(a.baseURL), FromName: oneLine(shop.Settings.Name), To: m.To,
			Subject: m.Subject, Text: m.Text, Date: m.CreatedAt})
		if ctx.Err() != nil && failure != nil {
			return sent, ctx.Err() // the lease runs out and the message is tried again
		}
		if err := a.mark(ctx, shop.ID, claimed, failure); err != nil {
			return sent, err
		}
		if failure == nil {
			sent++
		}
	}
	return sent, nil
}

// domainOf is what stands after the @ of a Message-ID.
func domainOf(baseURL string) string {
	_, host, _ := strings.Cut(baseURL, "://")
	host, _, _ = strings.Cut(host, "/")
	host, _, _ = strings.Cut(host, ":")
	if host == "" {
		return "bareframe.invalid"
	}
	return host
}

// claim takes a message for one try, unless somebody else did.
func (a *App) claim(ctx context.Context, shopID, id domain.ID) (m domain.Mail, ok bool, err error) {
	err = a.store.Update(ctx, shopID, func(tx Tx) error {
		var err error
		if m, err = tx.Mail(id); err != nil {
			return err
		}
		if ok = m.Due(a.now()); !ok {
			return nil
		}
		until := a.now().Add(mailLease)
		m.ClaimedUntil = &until
		m.Tries++
		return tx.SaveMail(m)
	})
	return m, ok, err
}

// mark keeps how a try went.
func (a *App) mark(ctx context.Context, shopID domain.ID, claimed domain.Mail, failure error) error {
	return a.store.Update(ctx, shopID, func(tx Tx) error {
		m, err := tx.Mail(claimed.ID)
		if err != nil {
			return err
		}
		if m.State != domain.MailWaiting || m.Tries != claimed.Tries {
			return nil // the lease ran out and another instance went on
		}
		now := a.now()
		m.ClaimedUntil, m.NextTryAt, m.LastError = nil, nil, ""
		if failure == nil {
			m.State, m.SentAt = domain.MailSent, &now
			return tx.SaveMail(m)
		}
		m.LastError = shortened(oneLine(failure.Error()), 300)
		next := now.Add(pauseAfter(m.Tries))
		if fault.KindOf(failure) == fault.Invalid || next.Sub(m.CreatedAt) > giveUpAfter {
			m.State = domain.MailFailed
			return tx.SaveMail(m)
		}
		m.NextTryAt = &next
		return tx.SaveMail(m)
	})
}

// pauseAfter is how long a message waits after so many tries.
func pauseAfter(tries int) time.Duration {
	pause := firstPause
	for i := 1; i < tries && pause < longestPause; i++ {
		pause *= 2
	}
	return min(pause, longestPause)
}

func shortened(text string, most int) string {
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most-1]) + "…"
	}
	return text
}

// MailList is a page of the outgoing mail.
type MailList struct {
	Configured bool
	Items      []domain.Mail
	Next       string
}

// Mail lists the shop's outgoing mail, newest first.
func (a *App) Mail(ctx context.Context, actor domain.Actor, page Page) (out MailList, err error) {
	err = a.view(ctx, actor, "listMail", func(r Reader) (err error) {
		out.Configured = a.mail
		out.Items, out.Next, err = r.MailPage(page)
		return err
	})
	return out, err
}

// RetryMail has a message tried again at once that failed, waits, or was written
// while no mail server was configured.
func (a *App) RetryMail(ctx context.Context, actor domain.Actor, id domain.ID) (m domain.Mail, err error) {
	err = a.change(ctx, actor, "retryMail", func(w *work) error {
		if m, err = w.Tx.Mail(id); err != nil {
			return err
		}
		if m.State == domain.MailSent {
			return fault.New(fault.Conflict, "mail-sent", "This message went out already.")
		}
		if !a.mail {
			return fault.New(fault.Conflict, "mail-off", "No mail server is configured, so nothing can be sent; copy the client's link instead.")
		}
		before := m.State
		m.State, m.NextTryAt = domain.MailWaiting, &w.now
		if err := w.SaveMail(m); err != nil {
			return err
		}
		return w.trail("mail "+id, m.JobID, map[string]any{"state": before}, map[string]any{"state": m.State})
	})
	return m, err
}
