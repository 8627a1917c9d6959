// Package icalendar writes a feed that calendars on phones and desks subscribe to.
//
// # Terms
//
// A feed is a VCALENDAR object with one VEVENT for each event. An event has an
// identity (UID) that stays while it moves, a revision (SEQUENCE), and either two
// instants or, all day, a first day and the day after the last.
//
// # Method and source
//
// Internet Calendaring and Scheduling Core Object Specification, RFC 5545 (2009);
// NAME and REFRESH-INTERVAL by RFC 7986 (2016); X-WR-CALNAME is common practice,
// read by calendars that are older. Instants are written in UTC (section 3.3.5,
// form 2), so that no time zone definition has to travel along and none can be
// wrong. No METHOD is given: without one DTSTAMP says when the event was last
// revised (section 3.8.7.2), and none of the rules of RFC 5546 for publishing, an
// organizer among them, applies.
//
// Folding and escaping are those of github.com/arran4/golang-ical. It escapes no
// carriage return and no control character and takes a string that is not UTF-8
// for one, so texts are cleaned here first: ends of lines of every kind become a
// line feed, and what section 3.1 calls CONTROL goes.
//
// # Left out
//
// Alarms, recurrences, attendees and time zones: whoever reads a feed sets alarms,
// a plan repeats nothing, and nobody is asked to reply.
package icalendar
