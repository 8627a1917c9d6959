package api

import (
	"bareframe/internal/app"
	"bareframe/internal/domain"
)

func letterView(l app.SentLetter) Letter {
	out := Letter{ID: l.ID, Number: l.Number, Subject: l.Subject, Text: l.Text, SentAt: l.SentAt.UTC(), SentBy: l.SentBy}
	if l.Mail != "" {
		state := MailState(l.Mail)
		out.Mail = &state
	}
	return out
}

func clientLetterView(l domain.Letter) ClientLetter {
	return ClientLetter{Number: l.Number, Subject: l.Subject, Text: l.Text, SentAt: l.SentAt.UTC()}
}

func mailView(m domain.Mail) Mail {
	return Mail{ID: m.ID, To: m.To, Subject: m.Subject, State: MailState(m.State), Tries: m.Tries, CreatedAt: m.CreatedAt.UTC(),
		SentAt: instantOrNil(m.SentAt), NextTryAt: instantOrNil(m.NextTryAt), LastError: m.LastError, JobID: textOrNil(m.JobID)}
}
