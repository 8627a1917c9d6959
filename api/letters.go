package api

import (
	"context"

	"bareframe/internal/fault"
)

// ListLetters is not built yet.
func (s *Server) ListLetters(_ context.Context, _ ListLettersRequestObject) (ListLettersResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// SendLetter is not built yet.
func (s *Server) SendLetter(_ context.Context, _ SendLetterRequestObject) (SendLetterResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ListMail is not built yet.
func (s *Server) ListMail(_ context.Context, _ ListMailRequestObject) (ListMailResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// RetryMail is not built yet.
func (s *Server) RetryMail(_ context.Context, _ RetryMailRequestObject) (RetryMailResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}
