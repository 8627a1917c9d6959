package api

import (
	"bytes"
	"context"
	"fmt"
	"strings"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// formOf reads in which form a document is asked for.
func formOf(as *DocumentForm) app.Form {
	if as != nil && *as == DocumentFormPdf {
		return app.AsPDF
	}
	return app.AsHTML
}

func isPDF(doc domain.Document) bool { return strings.HasPrefix(doc.ContentType, "application/pdf") }

// fileName names the file for who keeps it; names are made of letters, digits
// and hyphens.
func fileName(doc domain.Document) DocumentResponseHeaders {
	shown := fmt.Sprintf("inline; filename=%q", doc.Name)
	return DocumentResponseHeaders{ContentDisposition: &shown}
}

// documentPage is a document as it was stored or written, byte for byte.
func documentPage(doc domain.Document) DocumentTextHTMLResponse {
	return DocumentTextHTMLResponse{Body: bytes.NewReader(doc.Body), ContentLength: int64(len(doc.Body)), Headers: fileName(doc)}
}

func documentPDF(doc domain.Document) DocumentApplicationPdfResponse {
	return DocumentApplicationPdfResponse{Body: bytes.NewReader(doc.Body), ContentLength: int64(len(doc.Body)), Headers: fileName(doc)}
}

// GetQuoteDocument returns the exact document that was issued.
func (s *Server) GetQuoteDocument(ctx context.Context, r GetQuoteDocumentRequestObject) (GetQuoteDocumentResponseObject, error) {
	read := s.app.QuoteDocument
	if orZero(r.Params.Agreed) {
		read = s.app.AgreedDocument
	}
	doc, err := read(ctx, actorOf(ctx), r.Quote, formOf(r.Params.As))
	if err != nil {
		return nil, err
	}
	if isPDF(doc) {
		return GetQuoteDocument200ApplicationPdfResponse{documentPDF(doc)}, nil
	}
	return GetQuoteDocument200TextHTMLResponse{documentPage(doc)}, nil
}

// GetClientQuoteDocument returns the exact document to its client.
func (s *Server) GetClientQuoteDocument(ctx context.Context, r GetClientQuoteDocumentRequestObject) (GetClientQuoteDocumentResponseObject, error) {
	read := s.app.ClientQuoteDocument
	if orZero(r.Params.Agreed) {
		read = s.app.ClientAgreedDocument
	}
	doc, err := read(ctx, actorOf(ctx), r.Quote, formOf(r.Params.As))
	if err != nil {
		return nil, err
	}
	if isPDF(doc) {
		return GetClientQuoteDocument200ApplicationPdfResponse{documentPDF(doc)}, nil
	}
	return GetClientQuoteDocument200TextHTMLResponse{documentPage(doc)}, nil
}

// GetOrderDocument returns the exact document as decided, else as sent; of a
// draft how it would read.
func (s *Server) GetOrderDocument(ctx context.Context, r GetOrderDocumentRequestObject) (GetOrderDocumentResponseObject, error) {
	doc, err := s.app.OrderDocument(ctx, actorOf(ctx), r.Order, formOf(r.Params.As))
	if err != nil {
		return nil, err
	}
	if isPDF(doc) {
		return GetOrderDocument200ApplicationPdfResponse{documentPDF(doc)}, nil
	}
	return GetOrderDocument200TextHTMLResponse{documentPage(doc)}, nil
}

// GetClientOrderDocument returns the exact document to its client.
func (s *Server) GetClientOrderDocument(ctx context.Context, r GetClientOrderDocumentRequestObject) (GetClientOrderDocumentResponseObject, error) {
	doc, err := s.app.ClientOrderDocument(ctx, actorOf(ctx), r.Order, formOf(r.Params.As))
	if err != nil {
		return nil, err
	}
	if isPDF(doc) {
		return GetClientOrderDocument200ApplicationPdfResponse{documentPDF(doc)}, nil
	}
	return GetClientOrderDocument200TextHTMLResponse{documentPage(doc)}, nil
}

// GetStopNowDocument writes the bill if the work stopped now.
func (s *Server) GetStopNowDocument(ctx context.Context, r GetStopNowDocumentRequestObject) (GetStopNowDocumentResponseObject, error) {
	doc, err := s.app.StopNowDocument(ctx, actorOf(ctx), r.Job, formOf(r.Params.As))
	if err != nil {
		return nil, err
	}
	if isPDF(doc) {
		return GetStopNowDocument200ApplicationPdfResponse{documentPDF(doc)}, nil
	}
	return GetStopNowDocument200TextHTMLResponse{documentPage(doc)}, nil
}

// GetInspectionReport writes what was found on a frame, for the owner.
func (s *Server) GetInspectionReport(ctx context.Context, r GetInspectionReportRequestObject) (GetInspectionReportResponseObject, error) {
	doc, err := s.app.InspectionReport(ctx, actorOf(ctx), r.Job, formOf(r.Params.As))
	if err != nil {
		return nil, err
	}
	if isPDF(doc) {
		return GetInspectionReport200ApplicationPdfResponse{documentPDF(doc)}, nil
	}
	return GetInspectionReport200TextHTMLResponse{documentPage(doc)}, nil
}

// GetClientInspectionReport writes it for the client of the job.
func (s *Server) GetClientInspectionReport(ctx context.Context, r GetClientInspectionReportRequestObject) (GetClientInspectionReportResponseObject, error) {
	doc, err := s.app.ClientInspectionReport(ctx, actorOf(ctx), r.Job, formOf(r.Params.As))
	if err != nil {
		return nil, err
	}
	if isPDF(doc) {
		return GetClientInspectionReport200ApplicationPdfResponse{documentPDF(doc)}, nil
	}
	return GetClientInspectionReport200TextHTMLResponse{documentPage(doc)}, nil
}

// GetJobCard writes the card of a phase for the bench.
func (s *Server) GetJobCard(ctx context.Context, r GetJobCardRequestObject) (GetJobCardResponseObject, error) {
	doc, err := s.app.JobCard(ctx, actorOf(ctx), r.Job, r.Phase, formOf(r.Params.As))
	if err != nil {
		return nil, err
	}
	if isPDF(doc) {
		return GetJobCard200ApplicationPdfResponse{documentPDF(doc)}, nil
	}
	return GetJobCard200TextHTMLResponse{documentPage(doc)}, nil
}
