package api

import (
	"context"
	"io"
	"net/http"
	"strconv"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// ListFrameLayouts lists the frames to start from.
func (s *Server) ListFrameLayouts(ctx context.Context, _ ListFrameLayoutsRequestObject) (ListFrameLayoutsResponseObject, error) {
	layouts, err := s.app.FrameLayouts(actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return ListFrameLayouts200JSONResponse{Items: each(layouts, func(l domain.FrameLayout) FrameLayout {
		return FrameLayout{Code: l.Code, Name: l.Name, Note: l.Note, ZoneCount: len(l.Zones)}
	})}, nil
}

// GetFrame shows a job's frame to the people of the shop.
func (s *Server) GetFrame(ctx context.Context, r GetFrameRequestObject) (GetFrameResponseObject, error) {
	body, tag, err := frameAnswer(s.app.Frame(ctx, actorOf(ctx), r.Job))
	if err != nil {
		return nil, err
	}
	return GetFrame200JSONResponse{Body: body, Headers: GetFrame200ResponseHeaders{ETag: tag}}, nil
}

// LayFrame copies a layout's zones to the job.
func (s *Server) LayFrame(ctx context.Context, r LayFrameRequestObject) (LayFrameResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := frameAnswer(s.app.LayFrame(ctx, actorOf(ctx), r.Job, made, r.Body.Layout))
	if err != nil {
		return nil, err
	}
	return LayFrame200JSONResponse{Body: body, Headers: LayFrame200ResponseHeaders{ETag: tag}}, nil
}

// AddZone adds a zone to the frame.
func (s *Server) AddZone(ctx context.Context, r AddZoneRequestObject) (AddZoneResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	zone, err := zoneFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := frameAnswer(s.app.AddZone(ctx, actorOf(ctx), r.Job, made, zone))
	if err != nil {
		return nil, err
	}
	return AddZone201JSONResponse{Body: body, Headers: AddZone201ResponseHeaders{ETag: tag}}, nil
}

// ChangeZone edits a zone.
func (s *Server) ChangeZone(ctx context.Context, r ChangeZoneRequestObject) (ChangeZoneResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	zone, err := zoneFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	body, tag, err := frameAnswer(s.app.ChangeZone(ctx, actorOf(ctx), r.Job, r.Zone, made, zone))
	if err != nil {
		return nil, err
	}
	return ChangeZone200JSONResponse{Body: body, Headers: ChangeZone200ResponseHeaders{ETag: tag}}, nil
}

// RemoveZone takes an unused zone out of the frame.
func (s *Server) RemoveZone(ctx context.Context, r RemoveZoneRequestObject) (RemoveZoneResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	body, tag, err := frameAnswer(s.app.RemoveZone(ctx, actorOf(ctx), r.Job, r.Zone, made))
	if err != nil {
		return nil, err
	}
	return RemoveZone200JSONResponse{Body: body, Headers: RemoveZone200ResponseHeaders{ETag: tag}}, nil
}

// Observe keeps what was seen on a zone.
func (s *Server) Observe(ctx context.Context, r ObserveRequestObject) (ObserveResponseObject, error) {
	seen, err := s.app.Observe(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey, observationFrom(*r.Body))
	if err != nil {
		return nil, err
	}
	return Observe201JSONResponse(observationView(seen.Observation, seen.Photos)), nil
}

// VoidObservation says that an observation does not stand.
func (s *Server) VoidObservation(ctx context.Context, r VoidObservationRequestObject) (VoidObservationResponseObject, error) {
	seen, err := s.app.VoidObservation(ctx, actorOf(ctx), r.Observation, r.Params.IdempotencyKey, r.Body.Reason)
	if err != nil {
		return nil, err
	}
	return VoidObservation200JSONResponse(observationView(seen.Observation, seen.Photos)), nil
}

// AddPhoto keeps the picture made from an upload.
func (s *Server) AddPhoto(ctx context.Context, r AddPhotoRequestObject) (AddPhotoResponseObject, error) {
	kept, err := s.app.AddPhoto(ctx, actorOf(ctx), r.Job, r.Params.IdempotencyKey, r.Body)
	if err != nil {
		return nil, err
	}
	return AddPhoto201JSONResponse(photoView(kept)), nil
}

// GetPhoto serves a picture.
func (s *Server) GetPhoto(ctx context.Context, r GetPhotoRequestObject) (GetPhotoResponseObject, error) {
	open, err := s.app.OpenPhoto(ctx, actorOf(ctx), r.Photo, r.Size == PhotoSizeThumb)
	if err != nil {
		return nil, err
	}
	return picture{open}, nil
}

// picture answers with the bytes of a photo. They never change under their
// address, so a browser may keep them for itself; who may no longer see them
// has seen them before.
type picture struct{ open app.Picture }

// VisitGetPhotoResponse writes the headers and the bytes.
func (p picture) VisitGetPhotoResponse(w http.ResponseWriter) error {
	defer p.open.Bytes.Close()
	size, err := p.open.Bytes.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	if _, err := p.open.Bytes.Seek(0, io.SeekStart); err != nil {
		return err
	}
	h := w.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Content-Length", strconv.FormatInt(size, 10))
	h.Set("Content-Disposition", "inline")
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	w.WriteHeader(http.StatusOK)
	_, err = io.Copy(w, p.open.Bytes)
	return err
}
