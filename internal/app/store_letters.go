package app

import (
	"time"

	"bareframe/internal/domain"
)

// LetterReader reads progress letters and the outgoing mail.
type LetterReader interface {
	// Letters lists a job's, newest first.
	Letters(jobID domain.ID) ([]domain.Letter, error)
	// MailPage lists the shop's outgoing mail, newest first.
	MailPage(page Page) ([]domain.Mail, string, error)
	Mail(id domain.ID) (domain.Mail, error)
	MailByID(ids []domain.ID) (map[domain.ID]domain.Mail, error)
	// DueMail lists what is to be tried at an instant, longest due first.
	DueMail(now time.Time, limit int) ([]domain.Mail, error)
}

// LetterWriter writes them.
type LetterWriter interface {
	// NextLetterNumber counts up within the job.
	NextLetterNumber(jobID domain.ID) (int, error)
	AddLetter(l domain.Letter) error
	AddMail(m domain.Mail) error
	// SaveMail saves state, tries and times; address and text stay.
	SaveMail(m domain.Mail) error
}
