package app

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"

	"bareframe/internal/domain"
	"bareframe/internal/fault"
	"bareframe/internal/paper"
)

// Form is how a document is had.
type Form string

// The forms of a document.
const (
	AsHTML Form = "html"
	AsPDF  Form = "pdf"
)

// issued writes the exact document with its hash and keeps what it was drawn
// from, so that its PDF can be drawn from the same for ever.
func issued(id domain.ID, s paper.Sheet) (domain.Document, error) {
	body, err := paper.HTML(s)
	if err != nil {
		return domain.Document{}, err
	}
	kept, err := json.Marshal(s)
	if err != nil {
		return domain.Document{}, fmt.Errorf("keeping what %s was drawn from: %w", s.Name, err)
	}
	sum := sha256.Sum256(body)
	return domain.Document{ID: id, ContentType: "text/html; charset=utf-8", Hash: hex.EncodeToString(sum[:]), Body: body, Sheet: string(kept)}, nil
}

// inForm turns a document into the form that is asked for. The PDF of one that
// was issued names the hash of the text that was.
func (a *App) inForm(ctx context.Context, doc domain.Document, form Form) (domain.Document, error) {
	if doc.Sheet == "" {
		doc.Name = "document.html"
		if form == AsPDF {
			return doc, fault.New(fault.NotFound, "no-pdf", "This document was issued before PDFs were kept; open it and print it.")
		}
		return doc, nil
	}
	var s paper.Sheet
	if err := json.Unmarshal([]byte(doc.Sheet), &s); err != nil {
		return doc, fmt.Errorf("reading what document %s was drawn from: %w", doc.ID, err)
	}
	doc.Name = s.Name + ".html"
	if form != AsPDF {
		return doc, nil
	}
	return a.drawn(ctx, doc, s)
}

// drawn draws a document as PDF; few at a time, because each takes some 20 MB
// while it is drawn.
func (a *App) drawn(ctx context.Context, doc domain.Document, s paper.Sheet) (domain.Document, error) {
	select {
	case a.drawing <- struct{}{}:
		defer func() { <-a.drawing }()
	case <-ctx.Done():
		return doc, ctx.Err()
	}
	body, err := paper.PDF(s, doc.Hash)
	doc.Name, doc.ContentType, doc.Body = s.Name+".pdf", "application/pdf", body
	return doc, err
}

// written is a document that is written afresh and kept nowhere.
func (a *App) written(ctx context.Context, id domain.ID, s paper.Sheet, form Form) (domain.Document, error) {
	doc := domain.Document{ID: id, Name: s.Name + ".html", ContentType: "text/html; charset=utf-8"}
	if form == AsPDF {
		return a.drawn(ctx, doc, s)
	}
	var err error
	doc.Body, err = paper.HTML(s)
	return doc, err
}
