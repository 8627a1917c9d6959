package api

import (
	"encoding/json"

	"bareframe/internal/domain"
)

func trailEntry(t domain.TrailEntry) TrailEntry {
	return TrailEntry{Seq: int(t.Seq), At: t.At.UTC(), Actor: t.ActorName, From: t.From, Action: t.Action, Subject: t.Subject,
		Before: kept(t.Before), After: kept(t.After), Hash: t.Hash}
}

// kept passes JSON on as it was stored, so that no number passes through a
// float; nil when there is none.
func kept(raw json.RawMessage) any {
	if len(raw) == 0 {
		return nil
	}
	return raw
}
