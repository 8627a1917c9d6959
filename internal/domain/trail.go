package domain

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"strconv"
	"time"
)

// TrailEntry is one line of the append-only audit trail of a shop. Each
// carries the hash of the one before, so that a changed or missing line shows.
type TrailEntry struct {
	Seq       int64
	At        time.Time
	ActorID   ID
	ActorName string
	From      string // address, or console
	Action    string
	Subject   string // kind and ID of what changed
	JobID     ID     // when it belongs to a job
	Before    json.RawMessage
	After     json.RawMessage
	PrevHash  string
	Hash      string
}

// Seal returns the hash of the entry over its content and the hash before it:
// SHA-256 of the fields, each preceded by its length, so that no two different
// entries share an encoding.
func (t TrailEntry) Seal() string {
	h := sha256.New()
	for _, field := range []string{
		t.PrevHash, strconv.FormatInt(t.Seq, 10), t.At.UTC().Format(time.RFC3339Nano),
		t.ActorID, t.ActorName, t.From, t.Action, t.Subject, t.JobID, string(t.Before), string(t.After),
	} {
		h.Write([]byte(strconv.Itoa(len(field)) + ":" + field))
	}
	return hex.EncodeToString(h.Sum(nil))
}
