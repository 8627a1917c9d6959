package api

import (
	"bytes"
	"context"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// GetPriceBook shows rates, materials and vendors as they hold on a day.
func (s *Server) GetPriceBook(ctx context.Context, r GetPriceBookRequestObject) (GetPriceBookResponseObject, error) {
	book, version, on, err := s.app.PricesOn(ctx, actorOf(ctx), domain.Day(orZero(r.Params.On)), orZero(r.Params.Job))
	if err != nil {
		return nil, err
	}
	return GetPriceBook200JSONResponse{Body: priceBookView(book, version, on), Headers: GetPriceBook200ResponseHeaders{ETag: etag(version)}}, nil
}

// ListPrices shows the price book key by key.
func (s *Server) ListPrices(ctx context.Context, r ListPricesRequestObject) (ListPricesResponseObject, error) {
	page := pageOf(r.Params.Limit, nil)
	page.After = orZero(r.Params.After)
	list, err := s.app.Prices(ctx, actorOf(ctx), domain.PriceKind(orZero(r.Params.Kind)), orZero(r.Params.Find), page)
	if err != nil {
		return nil, err
	}
	return ListPrices200JSONResponse{Body: priceListView(list), Headers: ListPrices200ResponseHeaders{ETag: etag(list.Version)}}, nil
}

// SetPrices writes dated rows.
func (s *Server) SetPrices(ctx context.Context, r SetPricesRequestObject) (SetPricesResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	change, err := priceChangeFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	shop, err := s.app.SetPrices(ctx, actorOf(ctx), made, change)
	if err != nil {
		return nil, err
	}
	today := domain.DayOf(s.app.Now(), shop.Zone())
	return SetPrices200JSONResponse{Body: priceBookView(shop.PriceBook.On(today), shop.PriceBookVersion, today), Headers: SetPrices200ResponseHeaders{ETag: etag(shop.PriceBookVersion)}}, nil
}

// PreviewPrices tells what a price list would do.
func (s *Server) PreviewPrices(ctx context.Context, r PreviewPricesRequestObject) (PreviewPricesResponseObject, error) {
	report, err := s.app.PreviewPrices(ctx, actorOf(ctx), domain.Day(orZero(r.Params.ValidFrom)), r.Body)
	if err != nil {
		return nil, err
	}
	return PreviewPrices200JSONResponse(priceImportView(report)), nil
}

// ImportPrices writes a price list.
func (s *Server) ImportPrices(ctx context.Context, r ImportPricesRequestObject) (ImportPricesResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	report, err := s.app.ImportPrices(ctx, actorOf(ctx), made, domain.Day(orZero(r.Params.ValidFrom)), r.Body)
	if err != nil {
		return nil, err
	}
	return ImportPrices200JSONResponse{Body: priceImportView(report), Headers: ImportPrices200ResponseHeaders{ETag: etag(report.Version)}}, nil
}

// ExportPrices writes the price book as a file.
func (s *Server) ExportPrices(ctx context.Context, r ExportPricesRequestObject) (ExportPricesResponseObject, error) {
	body, name, err := s.app.ExportPrices(ctx, actorOf(ctx), app.TableFormat(r.Format))
	if err != nil {
		return nil, err
	}
	disposition := `attachment; filename="` + name + `"`
	headers := ExportPrices200ResponseHeaders{ContentDisposition: &disposition}
	if r.Format == TableFormatXLSX {
		return ExportPrices200ApplicationVndOpenxmlformatsOfficedocumentSpreadsheetmlSheetResponse{Body: bytes.NewReader(body), Headers: headers, ContentLength: int64(len(body))}, nil
	}
	return ExportPrices200TextCsvResponse{Body: bytes.NewReader(body), Headers: headers, ContentLength: int64(len(body))}, nil
}

// GetMovedPrices shows what has moved since a job's prices were taken.
func (s *Server) GetMovedPrices(ctx context.Context, r GetMovedPricesRequestObject) (GetMovedPricesResponseObject, error) {
	moved, err := s.app.MovedPrices(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetMovedPrices200JSONResponse(movedPricesView(moved)), nil
}

// TakeTodaysPrices prices what was not sold at today's price book.
func (s *Server) TakeTodaysPrices(ctx context.Context, r TakeTodaysPricesRequestObject) (TakeTodaysPricesResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.TakeTodaysPrices(ctx, actorOf(ctx), r.Job, made))
	if err != nil {
		return nil, err
	}
	return TakeTodaysPrices200JSONResponse{Body: body, Headers: TakeTodaysPrices200ResponseHeaders{ETag: tag}}, nil
}
