package app

import (
	"context"

	"bareframe/internal/domain"
	"bareframe/internal/policy"
)

// SentLetter is a letter with where its mail stands; empty without one.
type SentLetter struct {
	domain.Letter
	Mail domain.MailState
}

// LetterDraft is a letter that nobody has sent yet.
type LetterDraft struct{ Subject, Text string }

// Letters are a job's progress letters, newest first, and a fresh draft.
type Letters struct {
	Sent  []SentLetter
	Draft LetterDraft
}

// Letters lists a job's letters for the owner, with a draft of the next from
// what happened since the last.
func (a *App) Letters(ctx context.Context, actor domain.Actor, jobID domain.ID) (out Letters, err error) {
	err = a.view(ctx, actor, "listLetters", func(r Reader) error {
		letters, err := r.Letters(jobID)
		if err != nil {
			return err
		}
		page, err := a.loadPage(r, jobID)
		if err != nil {
			return err
		}
		if out.Sent, err = withMail(r, letters); err != nil {
			return err
		}
		out.Draft, err = draftLetter(r, page, letters)
		return err
	})
	return out, err
}

func withMail(r Reader, letters []domain.Letter) ([]SentLetter, error) {
	var ids []domain.ID
	for _, l := range letters {
		ids = append(ids, l.MailID)
	}
	mail, err := r.MailByID(unique(ids))
	if err != nil {
		return nil, err
	}
	out := make([]SentLetter, len(letters))
	for i, l := range letters {
		out[i] = SentLetter{l, mail[l.MailID].State}
	}
	return out, nil
}

// SendLetter keeps a letter, which the client reads in the portal, and writes it
// to the client's address if there is one.
func (a *App) SendLetter(ctx context.Context, actor domain.Actor, jobID domain.ID, key string, d LetterDraft) (SentLetter, error) {
	id, err := once(ctx, a, actor, "sendLetter", key, []any{jobID, d}, func(w *work) (domain.ID, error) {
		job, err := w.Job(jobID)
		if err != nil {
			return "", err
		}
		l := domain.Letter{ID: a.newID(), JobID: jobID, Subject: d.Subject, Text: d.Text, SentAt: w.now, SentBy: actor.Name}
		if l.Number, err = w.NextLetterNumber(jobID); err != nil {
			return "", err
		}
		if l.MailID, err = w.post(job, d.Subject, d.Text+"\n\n"+a.portal("/client/jobs/"+jobID)+"\n"); err != nil {
			return "", err
		}
		if err := w.AddLetter(l); err != nil {
			return "", err
		}
		w.tell(job, "letter")
		return l.ID, w.trail("letter "+l.ID, jobID, nil, map[string]any{"number": l.Number, "subject": l.Subject, "text": l.Text, "mail": l.MailID})
	})
	if err != nil {
		return SentLetter{}, err
	}
	return a.letter(ctx, actor, jobID, id)
}

func (a *App) letter(ctx context.Context, actor domain.Actor, jobID, id domain.ID) (out SentLetter, err error) {
	err = a.store.View(ctx, actor.ShopID, func(r Reader) error {
		letters, err := r.Letters(jobID)
		if err != nil {
			return err
		}
		sent, err := withMail(r, letters)
		for _, l := range sent {
			if l.ID == id {
				out = l
			}
		}
		return err
	})
	return out, err
}

// ClientLetters lists a job's letters for its client, newest first.
func (a *App) ClientLetters(ctx context.Context, actor domain.Actor, jobID domain.ID) (out []domain.Letter, err error) {
	err = a.view(ctx, actor, "listClientLetters", func(r Reader) error {
		job, err := r.Job(jobID)
		if err != nil {
			return err
		}
		if err := policy.AllowOn(actor, "listClientLetters", policy.Subject{JobID: job.ID, ClientID: job.ClientID}); err != nil {
			return err
		}
		out, err = r.Letters(jobID)
		return err
	})
	return out, err
}
