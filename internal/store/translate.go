package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"errors"
	"io"
	"net"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"bareframe/internal/fault"
)

// refusals says what it means that a unique index is violated. The key is the
// name of the index, which is what PostgreSQL reports; SQLite reports the
// columns.
var refusals = map[string]struct{ columns, code, detail string }{
	"people_sign_in_email":        {"people.sign_in_email", "email-taken", "Another person already signs in with this e-mail address."},
	"jobs_number":                 {"jobs.shop_id, jobs.number", "job-number-taken", "Another job already has this number."},
	"quotes_revision":             {"quotes.shop_id, quotes.job_id, quotes.revision", "quote-revision-taken", "This revision of the quote was already issued."},
	"quotes_one_open":             {"quotes.shop_id, quotes.job_id", "quote-open", "This job already has an open quote; replace or withdraw it first."},
	"quotes_one_accepted":         {"quotes.shop_id, quotes.job_id, quotes.state", "quote-accepted", "A quote of this job was already accepted."},
	"change_orders_number":        {"change_orders.shop_id, change_orders.job_id, change_orders.number", "order-number-taken", "Another order of this job already has this number."},
	"templates_revision":          {"templates.shop_id, templates.key, templates.version", "template-revision-taken", "This revision of the template is already stored."},
	"zones_code":                  {"zones.shop_id, zones.job_id, zones.code", "zone-code-taken", "Another zone of this frame already has this code."},
	"findings_number":             {"findings.shop_id, findings.job_id, findings.number", "finding-number-taken", "Another finding of this job already has this number."},
	"entries_one_running":         {"entries.shop_id, entries.person_id", "clock-running", "This person's clock already runs on another entry."},
	"entries_one_correction":      {"entries.shop_id, entries.corrects_id", "entry-corrected", "This entry was already corrected."},
	"answers_pkey":                {"answers.shop_id, answers.actor_id, answers.key", "idempotency-key-used", "This idempotency key was already used."},
	"private_links_token":         {"private_links.token_hash", "token-taken", "This secret is already in use."},
	"calendar_links_live_person":  {"calendar_links.shop_id, calendar_links.person_id", "calendar-link-there", "A calendar link of the same is made at this moment; try again."},
	"calendar_links_live_station": {"calendar_links.shop_id, calendar_links.station", "calendar-link-there", "A calendar link of the same is made at this moment; try again."},
	"calendar_links_live_job":     {"calendar_links.shop_id, calendar_links.job_id", "calendar-link-there", "A calendar link of the same is made at this moment; try again."},
	"calendar_links_token":        {"calendar_links.token_hash", "token-taken", "This secret is already in use."},
	"sessions_token":              {"sessions.token_hash", "token-taken", "This secret is already in use."},
	"trail_entries_pkey":          {"trail_entries.shop_id, trail_entries.seq", "trail-moved", "The trail has moved on; try again."},
}

func unavailable(err error) error {
	return fault.New(fault.Unavailable, "store-unavailable", "The store does not answer or cannot write; nothing was saved. Try again.").Because(err)
}

func notUnique(index string, err error) error {
	if r, ok := refusals[index]; ok {
		return fault.New(fault.Conflict, r.code, r.detail).Because(err)
	}
	return fault.New(fault.Conflict, "already-there", "This is already there.").Because(err)
}

func missingReference(err error) error {
	return fault.New(fault.NotFound, "reference-not-found", "Something that this refers to is not there.").Because(err)
}

func notAllowed(err error) error {
	return fault.New(fault.Invalid, "value-not-allowed", "A value is not one of those that can be stored here.").Because(err)
}

func textNotStorable(err error) error {
	return fault.New(fault.Invalid, "text-not-storable", "A text holds a character that cannot be stored.").Because(err)
}

func appendOnly(err error) error {
	return fault.New(fault.Conflict, "append-only", "What was issued or logged is not changed; it is followed by a further entry.").Because(err)
}

// translateSQLite turns an error of the SQLite driver into a refusal. See
// https://sqlite.org/rescode.html for the codes.
func translateSQLite(err error) error {
	if err == nil || fault.As(err) != nil || ended(err) {
		return err
	}
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	text := e.Error()
	switch e.Code() {
	case sqlite3.SQLITE_CONSTRAINT_UNIQUE, sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY:
		return notUnique(indexOf(text), err)
	case sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY:
		return missingReference(err)
	case sqlite3.SQLITE_CONSTRAINT_CHECK, sqlite3.SQLITE_CONSTRAINT_NOTNULL:
		return notAllowed(err)
	case sqlite3.SQLITE_CONSTRAINT_TRIGGER:
		if strings.Contains(text, "append-only:") {
			return appendOnly(err)
		}
	}
	switch e.Code() & 0xff {
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_IOERR,
		sqlite3.SQLITE_FULL, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM, sqlite3.SQLITE_NOMEM,
		sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_PROTOCOL:
		return unavailable(err)
	case sqlite3.SQLITE_INTERRUPT:
		return context.Canceled
	}
	return err
}

// locked reports that another connection has the file to itself.
func locked(err error) bool {
	var e *sqlite.Error
	return errors.As(err, &e) && e.Code()&0xff == sqlite3.SQLITE_BUSY
}

// indexOf finds the index from "UNIQUE constraint failed: people.sign_in_email (2067)".
func indexOf(text string) string {
	_, columns, _ := strings.Cut(text, "UNIQUE constraint failed: ")
	columns, _, _ = strings.Cut(columns, " (")
	for index, r := range refusals {
		if r.columns == columns {
			return index
		}
	}
	return ""
}

// translatePostgres turns an error of the PostgreSQL driver into a refusal.
// The classes are those of the PostgreSQL manual, appendix A.
func translatePostgres(err error) error {
	if err == nil || fault.As(err) != nil || ended(err) {
		return err
	}
	var e *pgconn.PgError
	if !errors.As(err, &e) {
		return outage(err)
	}
	switch e.Code {
	case "23505":
		return notUnique(e.ConstraintName, err)
	case "23503":
		return missingReference(err)
	case "23514", "23502":
		return notAllowed(err)
	case "22021", "22P05": // a character that PostgreSQL text cannot hold
		return textNotStorable(err)
	case "23000", "P0001":
		if strings.Contains(e.Message, "append-only:") {
			return appendOnly(err)
		}
	case "25006", "55P03", "57P01", "57P02", "57P03", "57P05", "40001", "40P01":
		return unavailable(err)
	}
	switch e.Code[:min(2, len(e.Code))] {
	case "08", "53", "58", "28", "3D":
		return unavailable(err)
	}
	return err
}

// outage recognises a connection that was refused or lost.
func outage(err error) error {
	var connect *pgconn.ConnectError
	var network net.Error
	if errors.As(err, &connect) || errors.As(err, &network) || errors.Is(err, io.EOF) ||
		errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, sql.ErrConnDone) || errors.Is(err, driver.ErrBadConn) || err.Error() == "sql: database is closed" || errors.Is(err, net.ErrClosed) || pgconn.SafeToRetry(err) {
		return unavailable(err)
	}
	return err
}

// ended reports whether the caller gave up.
func ended(err error) bool {
	return errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded)
}
