package store

import (
	"encoding/base64"
	"encoding/json"
	"time"

	"bareframe/internal/app"
	"bareframe/internal/fault"
)

// How many rows a page has.
const (
	usualPage = 50
	mostOfAll = 1000
)

// size is the number of rows of a page.
func size(p app.Page) int {
	if p.Limit <= 0 {
		return usualPage
	}
	return min(p.Limit, mostOfAll)
}

// position writes where a page ended: the kind of list and the keys of its
// last row.
func position(kind string, keys ...any) string {
	text, err := json.Marshal(append([]any{kind}, keys...))
	if err != nil {
		panic("store: " + err.Error()) // keys are strings, numbers and instants
	}
	return base64.RawURLEncoding.EncodeToString(text)
}

// resume reads what position wrote into keys. It fails with Invalid
// "cursor-not-readable".
func resume(kind, after string, keys ...any) error {
	bad := fault.InvalidField("cursor-not-readable", "/query/cursor", "This page marker is not one that this list gave; start from the first page.")
	text, err := base64.RawURLEncoding.DecodeString(after)
	if err != nil {
		return bad.Because(err)
	}
	var parts []json.RawMessage
	if err := json.Unmarshal(text, &parts); err != nil {
		return bad.Because(err)
	}
	var of string
	if len(parts) != len(keys)+1 || json.Unmarshal(parts[0], &of) != nil || of != kind {
		return bad
	}
	for i, key := range keys {
		if err := json.Unmarshal(parts[i+1], key); err != nil || string(parts[i+1]) == "null" {
			return bad.Because(err)
		}
		if t, ok := key.(*time.Time); ok {
			*t = instant(*t)
		}
	}
	return nil
}

// cut takes a page from rows that were loaded with one row more, and says
// where it ended: empty when nothing follows.
func cut[R any](rows []R, p app.Page, end func(last R) string) ([]R, string) {
	n := size(p)
	if len(rows) <= n {
		return rows, ""
	}
	return rows[:n], end(rows[n-1])
}
