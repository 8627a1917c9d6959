package domain

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var trailAt = time.Date(2031, 3, 4, 5, 6, 7, 123456000, time.UTC)

func fullTrail() TrailEntry {
	return TrailEntry{Seq: 12, At: trailAt, ActorID: "a1", ActorName: "Ilvane Torresk", From: "192.0.2.7", Action: "changeTask",
		Subject: "task 9", JobID: "j1", Before: json.RawMessage(`{"x":1}`), After: json.RawMessage(`{"x":2}`), PrevHash: "00ff"}
}

// The encoding as the comment of Seal states it, written out by hand and
// hashed by the standard library.
func TestSealIsTheHashOfTheStatedText(t *testing.T) {
	const text = `4:00ff` + `2:12` + `27:2031-03-04T05:06:07.123456Z` + `2:a1` + `14:Ilvane Torresk` + `9:192.0.2.7` +
		`10:changeTask` + `6:task 9` + `2:j1` + `7:{"x":1}` + `7:{"x":2}`
	sum := sha256.Sum256([]byte(text))
	if got, want := fullTrail().Seal(), hex.EncodeToString(sum[:]); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func TestEveryFieldIsSealed(t *testing.T) {
	base := fullTrail().Seal()
	for name, change := range map[string]func(e *TrailEntry){
		"seq":    func(e *TrailEntry) { e.Seq++ },
		"at":     func(e *TrailEntry) { e.At = e.At.Add(time.Nanosecond) },
		"actor":  func(e *TrailEntry) { e.ActorID = "a2" },
		"name":   func(e *TrailEntry) { e.ActorName = "Ilvane Torresl" },
		"from":   func(e *TrailEntry) { e.From = "192.0.2.8" },
		"action": func(e *TrailEntry) { e.Action = "changeTasK" },
		"about":  func(e *TrailEntry) { e.Subject = "task 8" },
		"job":    func(e *TrailEntry) { e.JobID = "" },
		"before": func(e *TrailEntry) { e.Before = json.RawMessage(`{"x":1 }`) },
		"after":  func(e *TrailEntry) { e.After = nil },
		"prev":   func(e *TrailEntry) { e.PrevHash = "00fe" },
	} {
		e := fullTrail()
		change(&e)
		if e.Seal() == base {
			t.Errorf("a change of %s leaves the seal as it was", name)
		}
	}
	same := fullTrail()
	same.At = same.At.In(time.FixedZone("elsewhere", 3600))
	same.Hash = "whatever stands here"
	if same.Seal() != base {
		t.Error("the zone of an instant, or the stored hash, changes the seal")
	}
}

// Text that moves across the border of two fields makes another entry.
func TestFieldBordersAreSealed(t *testing.T) {
	seen := map[string]TrailEntry{}
	for _, e := range []TrailEntry{
		{ActorID: "ab", ActorName: ""}, {ActorID: "a", ActorName: "b"}, {ActorID: "", ActorName: "ab"},
		{From: "ab"}, {From: "a", Action: "b"},
		{ActorID: "1:a", ActorName: ""}, {ActorID: "", ActorName: "1:a"}, {ActorID: "0:", ActorName: ""}, {ActorID: "", ActorName: "0:"},
		{Before: json.RawMessage(`{}`)}, {After: json.RawMessage(`{}`)}, {Before: json.RawMessage(`{}2:{}`)},
		{Subject: "task", JobID: "1"}, {Subject: "task1", JobID: ""}, {PrevHash: "1"}, {PrevHash: "", Seq: 1}, {PrevHash: "1", Seq: 1},
	} {
		if other, clash := seen[e.Seal()]; clash {
			t.Errorf("%+v and %+v share a seal", e, other)
		}
		seen[e.Seal()] = e
	}
}

func TestEntriesThatDifferInOneByteDifferInTheirSeal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.SliceOfN(rapid.Byte(), 1, 40)
		fields := [8][]byte{}
		for i := range fields {
			fields[i] = text.Draw(t, "field")
		}
		entry := func() TrailEntry {
			return TrailEntry{At: trailAt, ActorID: string(fields[0]), ActorName: string(fields[1]), From: string(fields[2]), Action: string(fields[3]),
				Subject: string(fields[4]), JobID: string(fields[5]), Before: append([]byte(nil), fields[6]...), After: append([]byte(nil), fields[7]...)}
		}
		before := entry().Seal()
		field := fields[rapid.IntRange(0, 7).Draw(t, "which")]
		field[rapid.IntRange(0, len(field)-1).Draw(t, "where")] ^= rapid.Byte().Filter(func(b byte) bool { return b != 0 }).Draw(t, "flip")
		if entry().Seal() == before {
			t.Fatalf("one byte of %q changed and the seal did not", field)
		}
	})
}
