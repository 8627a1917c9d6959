package api

import (
	"context"

	"bareframe/internal/fault"
)

// ListFrameLayouts is not built yet.
func (s *Server) ListFrameLayouts(_ context.Context, _ ListFrameLayoutsRequestObject) (ListFrameLayoutsResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetFrame is not built yet.
func (s *Server) GetFrame(_ context.Context, _ GetFrameRequestObject) (GetFrameResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// LayFrame is not built yet.
func (s *Server) LayFrame(_ context.Context, _ LayFrameRequestObject) (LayFrameResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// Observe is not built yet.
func (s *Server) Observe(_ context.Context, _ ObserveRequestObject) (ObserveResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// AddPhoto is not built yet.
func (s *Server) AddPhoto(_ context.Context, _ AddPhotoRequestObject) (AddPhotoResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// AddZone is not built yet.
func (s *Server) AddZone(_ context.Context, _ AddZoneRequestObject) (AddZoneResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// RemoveZone is not built yet.
func (s *Server) RemoveZone(_ context.Context, _ RemoveZoneRequestObject) (RemoveZoneResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// ChangeZone is not built yet.
func (s *Server) ChangeZone(_ context.Context, _ ChangeZoneRequestObject) (ChangeZoneResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// VoidObservation is not built yet.
func (s *Server) VoidObservation(_ context.Context, _ VoidObservationRequestObject) (VoidObservationResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}

// GetPhoto is not built yet.
func (s *Server) GetPhoto(_ context.Context, _ GetPhotoRequestObject) (GetPhotoResponseObject, error) {
	return nil, fault.New(fault.Unavailable, "not-built", "This is not built yet.")
}
