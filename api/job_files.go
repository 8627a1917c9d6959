package api

import (
	"bytes"
	"context"
	"fmt"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// ExportJob writes a job as a file.
func (s *Server) ExportJob(ctx context.Context, r ExportJobRequestObject) (ExportJobResponseObject, error) {
	f, err := s.app.ExportJob(ctx, actorOf(ctx), r.Job, orZero(r.Params.ClientName))
	if err != nil {
		return nil, err
	}
	disposition := fmt.Sprintf("attachment; filename=%q", f.Name)
	return ExportJob200ApplicationOctetStreamResponse{Body: bytes.NewReader(f.Body), ContentLength: int64(len(f.Body)),
		Headers: ExportJob200ResponseHeaders{ContentDisposition: &disposition}}, nil
}

// PreviewJobFile tells what a job file holds.
func (s *Server) PreviewJobFile(ctx context.Context, r PreviewJobFileRequestObject) (PreviewJobFileResponseObject, error) {
	p, err := s.app.PreviewJobFile(ctx, actorOf(ctx), r.Body)
	if err != nil {
		return nil, err
	}
	return PreviewJobFile200JSONResponse(jobFilePreview(p)), nil
}

// ImportJob makes a job of a job file.
func (s *Server) ImportJob(ctx context.Context, r ImportJobRequestObject) (ImportJobResponseObject, error) {
	body, tag, err := jobAnswer(s.app.ImportJob(ctx, actorOf(ctx), r.Params.IdempotencyKey, r.Body))
	if err != nil {
		return nil, err
	}
	return ImportJob201JSONResponse{Body: body, Headers: ImportJob201ResponseHeaders{ETag: tag}}, nil
}

func jobFilePreview(p app.JobFilePreview) JobFilePreview {
	k, e := p.Content, p.Content.Estimate
	vehicle := domain.Vehicle{Make: k.Job.Vehicle.Make, Model: k.Job.Vehicle.Model, Year: k.Job.Vehicle.Year}
	out := JobFilePreview{Title: k.Job.Title, Vehicle: vehicle.Label(), TemplateName: k.Job.Template.Name, Currency: k.Job.Currency,
		Phases: len(e.Phases), Tasks: len(e.Tasks), Links: len(e.Links), Lines: len(e.Lines), Options: len(e.Options),
		Zones: len(k.Frame.Zones), Observations: len(k.Frame.Observations),
		Skills: each(p.Skills, mappedKey), Stations: each(p.Stations, mappedKey), Settled: p.Total != nil,
		UnknownPrices: p.UnknownPrices, AddsTemplate: p.AddsTemplate, Finish: dayOrNil(p.Finish)}
	s := k.Source
	out.Source = JobFileSource{Shop: s.Shop, JobNumber: s.JobNumber, State: s.State, ExportedOn: s.ExportedOn, ClientName: textOrNil(s.ClientName),
		PhotosLeftOut: s.PhotosLeftOut, Total: s.Total, Finish: textOrNil(s.Finish), Quotes: []JobFileQuote{}}
	for _, q := range s.Quotes {
		out.Source.Quotes = append(out.Source.Quotes, JobFileQuote{Number: q.Number, State: q.State, IssuedOn: q.IssuedOn, Total: q.Total})
	}
	if p.Total != nil {
		total := moneyText(*p.Total, k.Job.Currency)
		out.Total = &total
	}
	return out
}

func mappedKey(k app.MappedKey) JobFileKey {
	return JobFileKey{Key: k.Key, Name: k.Name, Uses: k.Uses, Known: k.Known, Settled: k.Settled, Becomes: k.Becomes}
}
