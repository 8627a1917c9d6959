package domain

import "time"

// Letter is a progress letter that was sent to a job's client. It is never
// changed.
type Letter struct {
	ID      ID
	JobID   ID
	Number  int // counts up within the job
	Subject string
	Text    string
	SentAt  time.Time
	SentBy  string
	MailID  ID // empty when the client has no address
}

// MailState is where a message of the outgoing mail stands.
type MailState string

// The states of a message.
const (
	MailWaiting MailState = "waiting"
	MailSent    MailState = "sent"
	MailFailed  MailState = "failed" // given up; the owner may try again
	MailOff     MailState = "off"    // written while no mail server was configured
)

// Mail is one message of the outbox. It is written in the transaction of what it
// reports and sent afterwards, at least once: whoever receives it twice sees it
// by its Message-ID.
type Mail struct {
	ID           ID
	JobID        ID
	To           string
	Subject      string
	Text         string
	State        MailState
	Tries        int
	CreatedAt    time.Time
	SentAt       *time.Time
	NextTryAt    *time.Time // while waiting
	ClaimedUntil *time.Time // while an instance tries
	LastError    string
}

// Due reports whether the message is to be tried at an instant.
func (m Mail) Due(now time.Time) bool {
	return m.State == MailWaiting && m.NextTryAt != nil && !m.NextTryAt.After(now) &&
		(m.ClaimedUntil == nil || !m.ClaimedUntil.After(now))
}
