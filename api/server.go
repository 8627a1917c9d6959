package api

import (
	"context"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// Server answers the contract's operations. Its methods stand in one file a tag.
type Server struct {
	app      *app.App
	version  string
	secure   bool // cookies only over TLS
	starting Starting
	hub      *Hub
}

var _ StrictServerInterface = (*Server)(nil)

type contextKey int

const (
	actorKey contextKey = iota
	placeKey
)

// actorOf returns who asks; the zero Actor is nobody.
func actorOf(ctx context.Context) domain.Actor {
	actor, _ := ctx.Value(actorKey).(domain.Actor)
	return actor
}

// placeOf returns where the request comes from.
func placeOf(ctx context.Context) app.Place {
	place, _ := ctx.Value(placeKey).(app.Place)
	return place
}
