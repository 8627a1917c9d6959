package api

import (
	"bytes"
	"context"
	"fmt"

	"bareframe/internal/app"
)

// workbook is a workbook to be kept, not shown.
func workbook(f app.WorkbookFile) WorkbookApplicationVndOpenxmlformatsOfficedocumentSpreadsheetmlSheetResponse {
	disposition := fmt.Sprintf("attachment; filename=%q", f.Name)
	return WorkbookApplicationVndOpenxmlformatsOfficedocumentSpreadsheetmlSheetResponse{
		Body: bytes.NewReader(f.Body), ContentLength: int64(len(f.Body)), Headers: WorkbookResponseHeaders{ContentDisposition: &disposition}}
}

// GetEstimateWorkbook writes a job's estimate as a workbook.
func (s *Server) GetEstimateWorkbook(ctx context.Context, r GetEstimateWorkbookRequestObject) (GetEstimateWorkbookResponseObject, error) {
	f, err := s.app.EstimateWorkbook(ctx, actorOf(ctx), r.Job, app.Edition(r.Edition))
	if err != nil {
		return nil, err
	}
	return GetEstimateWorkbook200ApplicationVndOpenxmlformatsOfficedocumentSpreadsheetmlSheetResponse{workbook(f)}, nil
}

// GetQuoteWorkbook writes the client's edition of a quote, for the owner.
func (s *Server) GetQuoteWorkbook(ctx context.Context, r GetQuoteWorkbookRequestObject) (GetQuoteWorkbookResponseObject, error) {
	f, err := s.app.QuoteWorkbook(ctx, actorOf(ctx), r.Quote)
	if err != nil {
		return nil, err
	}
	return GetQuoteWorkbook200ApplicationVndOpenxmlformatsOfficedocumentSpreadsheetmlSheetResponse{workbook(f)}, nil
}

// GetClientQuoteWorkbook writes it for the client.
func (s *Server) GetClientQuoteWorkbook(ctx context.Context, r GetClientQuoteWorkbookRequestObject) (GetClientQuoteWorkbookResponseObject, error) {
	f, err := s.app.ClientQuoteWorkbook(ctx, actorOf(ctx), r.Quote)
	if err != nil {
		return nil, err
	}
	return GetClientQuoteWorkbook200ApplicationVndOpenxmlformatsOfficedocumentSpreadsheetmlSheetResponse{workbook(f)}, nil
}
