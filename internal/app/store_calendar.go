package app

import (
	"time"

	"bareframe/internal/domain"
)

// CalendarReader reads the links at which calendars read the plan.
type CalendarReader interface {
	// CalendarLinks lists those that work, newest first.
	CalendarLinks() ([]domain.CalendarLink, error)
	// CalendarLinkOf returns the one that works for a person, station or job; ok
	// is false when there is none.
	CalendarLinkOf(kind domain.CalendarKind, of string) (link domain.CalendarLink, ok bool, err error)
	// CalendarLink returns one, stopped or not.
	CalendarLink(id domain.ID) (domain.CalendarLink, error)
}

// CalendarWriter writes them.
type CalendarWriter interface {
	// AddCalendarLink fails with Conflict while another works for the same.
	AddCalendarLink(l domain.CalendarLink) error
	// StopCalendarLink makes one worthless; NotFound when none works by that ID.
	StopCalendarLink(id domain.ID, at time.Time) error
}
