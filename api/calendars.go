package api

import (
	"bytes"
	"context"
	"strings"

	"bareframe/internal/app"
	"bareframe/internal/domain"
)

// calendarPath is where calendars read feeds. A calendar sends no fragment, so
// the token has to stand in the path; the log names only the route.
const calendarPath = "/calendar/"

const (
	feedEnding = ".ics"
	// feedCache lets only the reader's own device keep a feed, and not show it
	// unasked: what was stopped is gone at the next look.
	feedCache = "private, no-cache"
	feedName  = `inline; filename="plan.ics"`
)

func calendarLinkView(l domain.CalendarLink) CalendarLink {
	return CalendarLink{ID: l.ID, Kind: CalendarKind(l.Kind), Of: l.Of(), CreatedAt: l.CreatedAt.UTC(), CreatedBy: l.CreatedBy, LastReadAt: instantOrNil(l.LastReadAt)}
}

// ListCalendarLinks lists the links that work, without their tokens.
func (s *Server) ListCalendarLinks(ctx context.Context, r ListCalendarLinksRequestObject) (ListCalendarLinksResponseObject, error) {
	of := app.CalendarOf{Kind: domain.CalendarKind(orZero(r.Params.Kind)), Of: orZero(r.Params.Of)}
	links, err := s.app.CalendarLinks(ctx, actorOf(ctx), of)
	if err != nil {
		return nil, err
	}
	return ListCalendarLinks200JSONResponse{Items: each(links, calendarLinkView)}, nil
}

// MakeCalendarLink makes a link and shows its address, once.
func (s *Server) MakeCalendarLink(ctx context.Context, r MakeCalendarLinkRequestObject) (MakeCalendarLinkResponseObject, error) {
	made, err := s.app.MakeCalendarLink(ctx, actorOf(ctx), app.CalendarOf{Kind: domain.CalendarKind(r.Body.Kind), Of: orZero(r.Body.Of)})
	if err != nil {
		return nil, err
	}
	return MakeCalendarLink201JSONResponse{Link: calendarLinkView(made.Link), Path: calendarPath + made.Token + feedEnding, Token: made.Token}, nil
}

// StopCalendarLink makes a link worthless.
func (s *Server) StopCalendarLink(ctx context.Context, r StopCalendarLinkRequestObject) (StopCalendarLinkResponseObject, error) {
	if err := s.app.StopCalendarLink(ctx, actorOf(ctx), r.Link); err != nil {
		return nil, err
	}
	return StopCalendarLink204Response{}, nil
}

// GetCalendarFeed answers with a calendar, or says that the reader has it.
func (s *Server) GetCalendarFeed(ctx context.Context, r GetCalendarFeedRequestObject) (GetCalendarFeedResponseObject, error) {
	feed, tag, err := s.calendar(ctx, r.Feed)
	if err != nil {
		return nil, err
	}
	if has(r.Params.IfNoneMatch, tag) {
		return GetCalendarFeed304Response{Headers: GetCalendarFeed304ResponseHeaders{ETag: &tag, CacheControl: new(feedCache)}}, nil
	}
	return GetCalendarFeed200TextCalendarResponse{Body: bytes.NewReader(feed.Body), ContentLength: int64(len(feed.Body)),
		Headers: GetCalendarFeed200ResponseHeaders{ETag: &tag, CacheControl: new(feedCache), ContentDisposition: new(feedName)}}, nil
}

// HeadCalendarFeed answers like GetCalendarFeed, without the calendar.
func (s *Server) HeadCalendarFeed(ctx context.Context, r HeadCalendarFeedRequestObject) (HeadCalendarFeedResponseObject, error) {
	feed, tag, err := s.calendar(ctx, r.Feed)
	if err != nil {
		return nil, err
	}
	if has(r.Params.IfNoneMatch, tag) {
		return HeadCalendarFeed304Response{Headers: HeadCalendarFeed304ResponseHeaders{ETag: &tag, CacheControl: new(feedCache)}}, nil
	}
	return HeadCalendarFeed200TextCalendarResponse{Body: bytes.NewReader(nil), ContentLength: int64(len(feed.Body)),
		Headers: HeadCalendarFeed200ResponseHeaders{ETag: &tag, CacheControl: new(feedCache), ContentDisposition: new(feedName)}}, nil
}

// calendar reads the feed of a file name; any name that no token fits leads to the
// same refusal.
func (s *Server) calendar(ctx context.Context, name string) (app.CalendarFeed, string, error) {
	token, _ := strings.CutSuffix(name, feedEnding)
	if token == name {
		token = ""
	}
	feed, err := s.app.ReadCalendar(ctx, token, placeOf(ctx))
	return feed, `"` + feed.Tag + `"`, err
}

// has reports whether an If-None-Match names a tag, by weak comparison (RFC 9110,
// 13.1.2).
func has(list *string, tag string) bool {
	for one := range strings.SplitSeq(orZero(list), ",") {
		one = strings.TrimPrefix(strings.TrimSpace(one), "W/")
		if one == tag || one == "*" {
			return true
		}
	}
	return false
}
