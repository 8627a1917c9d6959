package api

import (
	"context"

	"bareframe/internal/domain"
)

// GetShop shows the shop's settings.
func (s *Server) GetShop(ctx context.Context, _ GetShopRequestObject) (GetShopResponseObject, error) {
	shop, err := s.app.Shop(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	return GetShop200JSONResponse{Body: shopView(shop), Headers: GetShop200ResponseHeaders{ETag: etag(shop.Version)}}, nil
}

// ChangeShop replaces the settings.
func (s *Server) ChangeShop(ctx context.Context, r ChangeShopRequestObject) (ChangeShopResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	settings, err := settingsFrom(*r.Body)
	if err != nil {
		return nil, err
	}
	shop, err := s.app.ChangeShop(ctx, actorOf(ctx), made, settings)
	if err != nil {
		return nil, err
	}
	return ChangeShop200JSONResponse{Body: shopView(shop), Headers: ChangeShop200ResponseHeaders{ETag: etag(shop.Version)}}, nil
}

// GetCalendar shows when the shop works.
func (s *Server) GetCalendar(ctx context.Context, _ GetCalendarRequestObject) (GetCalendarResponseObject, error) {
	shop, err := s.app.Shop(ctx, actorOf(ctx))
	if err != nil {
		return nil, err
	}
	body, err := s.calendarOf(shop)
	if err != nil {
		return nil, err
	}
	return GetCalendar200JSONResponse{Body: body, Headers: GetCalendar200ResponseHeaders{ETag: etag(shop.CalendarVersion)}}, nil
}

// ChangeCalendar replaces when the shop works.
func (s *Server) ChangeCalendar(ctx context.Context, r ChangeCalendarRequestObject) (ChangeCalendarResponseObject, error) {
	made, err := precondition(r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	shop, err := s.app.ChangeCalendar(ctx, actorOf(ctx), made, calendarFrom(*r.Body))
	if err != nil {
		return nil, err
	}
	body, err := s.calendarOf(shop)
	if err != nil {
		return nil, err
	}
	return ChangeCalendar200JSONResponse{Body: body, Headers: ChangeCalendar200ResponseHeaders{ETag: etag(shop.CalendarVersion)}}, nil
}

func (s *Server) calendarOf(shop domain.Shop) (ShopCalendar, error) {
	closed, err := s.app.ClosedAhead(shop)
	if err != nil {
		return ShopCalendar{}, err
	}
	return calendarView(shop, closed), nil
}
