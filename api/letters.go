package api

import (
	"context"

	"bareframe/internal/app"
)

// ListLetters lists a job's letters with a draft of the next.
func (s *Server) ListLetters(ctx context.Context, r ListLettersRequestObject) (ListLettersResponseObject, error) {
	letters, err := s.app.Letters(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return ListLetters200JSONResponse{Items: each(letters.Sent, letterView), Draft: LetterDraft{Subject: letters.Draft.Subject, Text: letters.Draft.Text}}, nil
}

// SendLetter sends a letter.
func (s *Server) SendLetter(ctx context.Context, r SendLetterRequestObject) (SendLetterResponseObject, error) {
	l, err := s.app.SendLetter(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey, app.LetterDraft{Subject: r.Body.Subject, Text: r.Body.Text})
	if err != nil {
		return nil, err
	}
	return SendLetter201JSONResponse(letterView(l)), nil
}

// ListMail lists the shop's outgoing mail.
func (s *Server) ListMail(ctx context.Context, r ListMailRequestObject) (ListMailResponseObject, error) {
	list, err := s.app.Mail(ctx, actorOf(ctx), pageOf(r.Params.Limit, r.Params.Cursor))
	if err != nil {
		return nil, err
	}
	return ListMail200JSONResponse{Configured: list.Configured, Items: each(list.Items, mailView), NextCursor: list.Next}, nil
}

// RetryMail has a message tried again at once.
func (s *Server) RetryMail(ctx context.Context, r RetryMailRequestObject) (RetryMailResponseObject, error) {
	m, err := s.app.RetryMail(ctx, actorOf(ctx), r.Mail)
	if err != nil {
		return nil, err
	}
	return RetryMail200JSONResponse(mailView(m)), nil
}
