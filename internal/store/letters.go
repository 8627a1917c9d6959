package store

import (
	"time"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

type letterRecord struct {
	ShopID  string
	ID      string
	JobID   string
	Number  int
	Subject string
	Body    string
	SentAt  time.Time
	SentBy  string
	MailID  *string
}

// TableName names the table.
func (letterRecord) TableName() string { return "letters" }

func (r letterRecord) toDomain() domain.Letter {
	return domain.Letter{ID: r.ID, JobID: r.JobID, Number: r.Number, Subject: r.Subject, Text: r.Body, SentAt: r.SentAt.UTC(),
		SentBy: r.SentBy, MailID: orEmpty(r.MailID)}
}

type mailRecord struct {
	ShopID       string
	ID           string
	JobID        *string
	ToAddress    string
	Subject      string
	Body         string
	State        string
	Tries        int
	CreatedAt    time.Time `gorm:"autoCreateTime:false"`
	SentAt       *time.Time
	NextTryAt    *time.Time
	ClaimedUntil *time.Time
	LastError    string
}

// TableName names the table.
func (mailRecord) TableName() string { return "mail" }

func (r mailRecord) toDomain() domain.Mail {
	return domain.Mail{ID: r.ID, JobID: orEmpty(r.JobID), To: r.ToAddress, Subject: r.Subject, Text: r.Body, State: domain.MailState(r.State),
		Tries: r.Tries, CreatedAt: r.CreatedAt.UTC(), SentAt: utcOrNil(r.SentAt), NextTryAt: utcOrNil(r.NextTryAt),
		ClaimedUntil: utcOrNil(r.ClaimedUntil), LastError: r.LastError}
}

// Letters lists a job's progress letters, newest first.
func (r *reader) Letters(jobID domain.ID) ([]domain.Letter, error) {
	rows, err := list[letterRecord](r, "number DESC", 0, "job_id = ?", jobID)
	return domains(rows), err
}

// MailPage lists the shop's outgoing mail, newest first.
func (r *reader) MailPage(page app.Page) ([]domain.Mail, string, error) {
	condition, args := "1 = 1", []any{}
	if page.After != "" {
		var at time.Time
		var last string
		if err := resume("mail", page.After, &at, &last); err != nil {
			return nil, "", err
		}
		condition, args = "(created_at, id) < (?, ?)", append(args, at, last)
	}
	rows, err := list[mailRecord](r, "created_at DESC, id DESC", size(page)+1, condition, args...)
	rows, next := cut(rows, page, func(l mailRecord) string { return position("mail", l.CreatedAt.UTC(), l.ID) })
	return domains(rows), next, err
}

// Mail returns one message.
func (r *reader) Mail(id domain.ID) (domain.Mail, error) {
	row, err := one[mailRecord](r, "message", "id = ?", id)
	return row.toDomain(), err
}

// MailByID gives several messages; an unknown ID has no row.
func (r *reader) MailByID(ids []domain.ID) (map[domain.ID]domain.Mail, error) {
	out := make(map[domain.ID]domain.Mail, len(ids))
	if len(ids) == 0 {
		return out, nil
	}
	of, arg := r.among("id", ids)
	rows, err := list[mailRecord](r, "", 0, of, arg)
	for _, row := range rows {
		out[row.ID] = row.toDomain()
	}
	return out, err
}

// DueMail lists what is to be tried at an instant, longest due first.
func (r *reader) DueMail(now time.Time, limit int) ([]domain.Mail, error) {
	at := instant(now)
	rows, err := list[mailRecord](r, "next_try_at, id", limit,
		"state = 'waiting' AND next_try_at <= ? AND (claimed_until IS NULL OR claimed_until <= ?)", at, at)
	return domains(rows), err
}

// NextLetterNumber counts up within the job.
func (w *writer) NextLetterNumber(jobID domain.ID) (int, error) {
	numbers, err := column[int](&w.reader, "SELECT COALESCE(MAX(number), 0) + 1 FROM letters WHERE shop_id = ? AND job_id = ?", w.shop, jobID)
	if err != nil || len(numbers) == 0 {
		return 0, err
	}
	return numbers[0], nil
}

// AddLetter stores a letter that was sent.
func (w *writer) AddLetter(l domain.Letter) error {
	return add(w, []letterRecord{{ShopID: w.shop, ID: l.ID, JobID: l.JobID, Number: l.Number, Subject: l.Subject, Body: l.Text,
		SentAt: instant(l.SentAt), SentBy: l.SentBy, MailID: orNull(l.MailID)}})
}

// AddMail stores a message of the outbox.
func (w *writer) AddMail(m domain.Mail) error {
	return add(w, []mailRecord{{ShopID: w.shop, ID: m.ID, JobID: orNull(m.JobID), ToAddress: m.To, Subject: m.Subject, Body: m.Text, State: string(m.State),
		Tries: m.Tries, CreatedAt: instant(m.CreatedAt), SentAt: instantOrNil(m.SentAt), NextTryAt: instantOrNil(m.NextTryAt),
		ClaimedUntil: instantOrNil(m.ClaimedUntil), LastError: m.LastError}})
}

// SaveMail stores where a message stands; address and text stay.
func (w *writer) SaveMail(m domain.Mail) error {
	return w.exec("message", "UPDATE mail SET state = ?, tries = ?, sent_at = ?, next_try_at = ?, claimed_until = ?, last_error = ? WHERE shop_id = ? AND id = ?",
		string(m.State), m.Tries, instantOrNil(m.SentAt), instantOrNil(m.NextTryAt), instantOrNil(m.ClaimedUntil), m.LastError, w.shop, m.ID)
}
