package api

import (
	"context"

	"bareframe/internal/domain"
)

// ListTexts shows what the shop can word itself.
func (s *Server) ListTexts(ctx context.Context, _ ListTextsRequestObject) (ListTextsResponseObject, error) {
	shop, kinds, err := s.app.Texts(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return ListTexts200JSONResponse{Items: each(kinds, textKindView(shop.Settings))}, nil
}

// PreviewText shows how a draft would read.
func (s *Server) PreviewText(ctx context.Context, r PreviewTextRequestObject) (PreviewTextResponseObject, error) {
	p, err := s.app.PreviewText(ctx, actorOf(ctx), domain.TextKey(r.Body.Key), r.Body.Draft)
	if err != nil {
		return nil, err
	}
	return PreviewText200JSONResponse{Key: TextKey(p.Kind.Key), Text: p.Text}, nil
}
