package app

import (
	"context"
	"errors"
	"testing"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/paper"
)

func TestADocumentFromBeforeSheetsWereKeptHasNoPDF(t *testing.T) {
	a := New(Options{})
	old := domain.Document{ID: "d", ContentType: "text/html; charset=utf-8", Hash: "h", Body: []byte("<p>old</p>")}
	if _, err := a.inForm(t.Context(), old, AsPDF); err == nil || fault.As(err).Code != "no-pdf" || fault.As(err).Kind != fault.NotFound {
		t.Errorf("got %v, want not found, no-pdf", err)
	}
	if got, err := a.inForm(t.Context(), old, AsHTML); err != nil || string(got.Body) != "<p>old</p>" {
		t.Errorf("its text is %q, %v", got.Body, err)
	}
}

// Who waits for a turn to draw and goes away is let go.
func TestDrawingWaitsItsTurn(t *testing.T) {
	a := New(Options{})
	for range cap(a.drawing) {
		a.drawing <- struct{}{}
	}
	ctx, leave := context.WithCancel(t.Context())
	leave()
	if _, err := a.written(ctx, "d", paper.Sheet{Title: "T"}, AsPDF); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want canceled", err)
	}
	<-a.drawing
	if doc, err := a.written(t.Context(), "d", paper.Sheet{Title: "T", Name: "n"}, AsPDF); err != nil || doc.Name != "n.pdf" || len(a.drawing) != cap(a.drawing)-1 {
		t.Errorf("%s, %v, %d still drawing", doc.Name, err, len(a.drawing))
	}
}
