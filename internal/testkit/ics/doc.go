// Package ics reads calendars as RFC 5545 (2009) writes them, strictly: what the
// standard forbids is an error here, where other readers look away. It is written
// from the standard and shares nothing with what writes feeds. It knows what feeds
// use: VCALENDAR, VEVENT, texts, dates and instants in UTC.
package ics
