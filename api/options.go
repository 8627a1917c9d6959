package api

import (
	"context"
	"strings"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// CompareOptions lays out a job's options against a selection.
func (s *Server) CompareOptions(ctx context.Context, r CompareOptionsRequestObject) (CompareOptionsResponseObject, error) {
	ids := []domain.ID{}
	if text := orZero(r.Params.Selection); text != "" {
		ids = strings.Split(text, ",")
	}
	c, err := s.app.CompareOptions(ctx, actorOf(ctx), r.Job, ids, r.Params.Selection != nil)
	if err != nil {
		return nil, err
	}
	return CompareOptions200JSONResponse(OptionComparison{Version: c.Job.Version, Advised: texts(c.Advised),
		Selected: ownerSelection(c.Selected, c.Advised), Ordered: each(c.Ordered, func(o app.OptionOrdered) OptionOrdered {
			return OptionOrdered{OptionID: o.OptionID, Order: OrderRef{ID: o.Order.ID, Number: o.Order.Number}, State: OrderState(o.State)}
		})}), nil
}

// AddOption adds an option.
func (s *Server) AddOption(ctx context.Context, r AddOptionRequestObject) (AddOptionResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := optionFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.AddOption(ctx, actorOf(ctx), r.Job, made, draft))
	if err != nil {
		return nil, err
	}
	return AddOption201JSONResponse{Body: body, Headers: AddOption201ResponseHeaders{ETag: tag}}, nil
}

// ChangeOption edits an option.
func (s *Server) ChangeOption(ctx context.Context, r ChangeOptionRequestObject) (ChangeOptionResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	draft, err := optionFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.ChangeOption(ctx, actorOf(ctx), r.Job, r.Option, made, draft))
	if err != nil {
		return nil, err
	}
	return ChangeOption200JSONResponse{Body: body, Headers: ChangeOption200ResponseHeaders{ETag: tag}}, nil
}

// RemoveOption removes an option.
func (s *Server) RemoveOption(ctx context.Context, r RemoveOptionRequestObject) (RemoveOptionResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.RemoveOption(ctx, actorOf(ctx), r.Job, r.Option, made, orZero(r.Params.Keep)))
	if err != nil {
		return nil, err
	}
	return RemoveOption200JSONResponse{Body: body, Headers: RemoveOption200ResponseHeaders{ETag: tag}}, nil
}

// PreviewSelection computes a combination of a quote's options for the owner.
func (s *Server) PreviewSelection(ctx context.Context, r PreviewSelectionRequestObject) (PreviewSelectionResponseObject, error) {
	selected, err := s.app.PreviewSelection(ctx, actorOf(ctx), r.Quote, r.Body.OptionIds)
	if err != nil {
		return nil, err
	}
	return PreviewSelection200JSONResponse(ownerSelection(selected, selected.Advised)), nil
}

// PreviewQuote computes a combination of a quote's options for its client.
func (s *Server) PreviewQuote(ctx context.Context, r PreviewQuoteRequestObject) (PreviewQuoteResponseObject, error) {
	selected, err := s.app.PreviewQuote(ctx, actorOf(ctx), r.Quote, r.Body.OptionIds)
	if err != nil {
		return nil, err
	}
	return PreviewQuote200JSONResponse(clientSelection(selected)), nil
}
