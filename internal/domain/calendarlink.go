package domain

import "time"

// CalendarKind says of what a calendar link shows the plan.
type CalendarKind string

// What a calendar link may be for.
const (
	CalendarOfPerson  CalendarKind = "person"
	CalendarOfStation CalendarKind = "station"
	CalendarOfJob     CalendarKind = "job"
)

// CalendarLink is a secret address at which a calendar reads the agreed plan of
// one person, station or job. Only its hash is stored. It has no end of its own:
// it works until it is stopped or made anew.
type CalendarLink struct {
	ID         ID
	ShopID     ID
	Kind       CalendarKind
	PersonID   ID     // of a person's
	Station    string // key, of a station's
	JobID      ID     // of a job's
	TokenHash  string `json:"-"` // never leaves the store
	CreatedAt  time.Time
	CreatedBy  string
	RevokedAt  *time.Time
	LastReadAt *time.Time // within some minutes
}

// Of returns the person's or job's ID, or the station's key.
func (l CalendarLink) Of() string {
	switch l.Kind {
	case CalendarOfPerson:
		return l.PersonID
	case CalendarOfStation:
		return l.Station
	}
	return l.JobID
}

// SetOf names whom or what the link is for.
func (l *CalendarLink) SetOf(kind CalendarKind, of string) {
	l.Kind, l.PersonID, l.Station, l.JobID = kind, "", "", ""
	switch kind {
	case CalendarOfPerson:
		l.PersonID = of
	case CalendarOfStation:
		l.Station = of
	case CalendarOfJob:
		l.JobID = of
	}
}
