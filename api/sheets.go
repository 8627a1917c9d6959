package api

import (
	"context"

	"bareframe/internal/app"
	"bareframe/internal/fault"
)

// ListSheets lists the shop's judging sheets.
func (s *Server) ListSheets(ctx context.Context, _ ListSheetsRequestObject) (ListSheetsResponseObject, error) {
	all, err := s.app.Sheets(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return ListSheets200JSONResponse{Items: each(all, sheetSummary)}, nil
}

// AddSheet adds a sheet, or a copy of one.
func (s *Server) AddSheet(ctx context.Context, r AddSheetRequestObject) (AddSheetResponseObject, error) {
	n, err := newSheetFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	made, err := s.app.AddSheet(ctx, actorOf(ctx), n)
	if err != nil {
		return nil, err
	}
	return AddSheet201JSONResponse{Body: sheetView(made), Headers: AddSheet201ResponseHeaders{ETag: etag(made.Version)}}, nil
}

// GetSheet shows a version of a sheet.
func (s *Server) GetSheet(ctx context.Context, r GetSheetRequestObject) (GetSheetResponseObject, error) {
	p, err := s.app.Sheet(ctx, actorOf(ctx), r.Sheet, orZero(r.Params.Version))
	if err != nil {
		return nil, err
	}
	return GetSheet200JSONResponse{Body: sheetView(p), Headers: GetSheet200ResponseHeaders{ETag: etag(p.Version)}}, nil
}

// ChangeSheet makes a further version of a sheet.
func (s *Server) ChangeSheet(ctx context.Context, r ChangeSheetRequestObject) (ChangeSheetResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	p, err := s.app.ChangeSheet(ctx, actorOf(ctx), r.Sheet, made, sheetFrom(*r.Body))
	if err != nil {
		return nil, err
	}
	return ChangeSheet200JSONResponse{Body: sheetView(p), Headers: ChangeSheet200ResponseHeaders{ETag: etag(p.Version)}}, nil
}

// RetireSheet takes a sheet out of use, or back into it.
func (s *Server) RetireSheet(ctx context.Context, r RetireSheetRequestObject) (RetireSheetResponseObject, error) {
	p, err := s.app.RetireSheet(ctx, actorOf(ctx), r.Sheet, r.Body.Retired)
	if err != nil {
		return nil, err
	}
	return RetireSheet200JSONResponse{Body: sheetView(p), Headers: RetireSheet200ResponseHeaders{ETag: etag(p.Version)}}, nil
}

// SetJobSheet says by which version of which sheet a job is judged.
func (s *Server) SetJobSheet(ctx context.Context, r SetJobSheetRequestObject) (SetJobSheetResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := jobAnswer(s.app.SetJobSheet(ctx, actorOf(ctx), r.Job, made, orZero(r.Body.SheetID), orZero(r.Body.Version)))
	if err != nil {
		return nil, err
	}
	return SetJobSheet200JSONResponse{Body: body, Headers: SetJobSheet200ResponseHeaders{ETag: tag}}, nil
}

// GetJobPoints shows a job on its sheet.
func (s *Server) GetJobPoints(ctx context.Context, r GetJobPointsRequestObject) (GetJobPointsResponseObject, error) {
	p, err := s.app.JobPoints(ctx, actorOf(ctx), r.Job, orZero(r.Params.Budget))
	if err != nil {
		return nil, err
	}
	return GetJobPoints200JSONResponse(jobPoints(p)), nil
}

// GetClientPoints shows a client their own car on its sheet.
func (s *Server) GetClientPoints(ctx context.Context, r GetClientPointsRequestObject) (GetClientPointsResponseObject, error) {
	p, quoted, err := s.app.ClientPoints(ctx, actorOf(ctx), r.Job)
	if err != nil {
		return nil, err
	}
	return GetClientPoints200JSONResponse(clientPoints(p, quoted)), nil
}

func newSheetFrom(b SheetCreate) (app.NewSheet, error) {
	n := app.NewSheet{CopyOf: orZero(b.CopyOf), Name: orZero(b.Name)}
	var c fault.Collector
	if (b.CopyOf == nil) == (b.Sheet == nil) {
		c.Add("/sheet", "Send a sheet, or copy_of with a name.")
	}
	if b.CopyOf != nil && b.Name == nil {
		c.Add("/name", "A copy needs a name of its own.")
	}
	if b.Sheet != nil {
		n.Plan = sheetFrom(*b.Sheet)
	}
	return n, c.Err("sheet-invalid")
}
