package app

import (
	"errors"

	"bareframe/internal/fault"
)

// What takes long to work out of the whole floor is reckoned on a snapshot, beside the
// transaction that needs it: on SQLite everybody who writes waits for that one. Inside,
// it is only seen whether what it was reckoned from still stands.

// reckonTries is how often it is reckoned anew on a floor that keeps changing.
const reckonTries = 3

var errReckonAnew = errors.New("what was reckoned beside the transaction does not stand in it")

// reckoning runs do, which reckons and then writes, until what was reckoned stands. A
// floor that keeps changing is fault.Conflict "floor-busy", and nothing is written.
func reckoning(do func() error) error {
	for range reckonTries {
		if err := do(); !errors.Is(err, errReckonAnew) {
			return err
		}
	}
	return fault.New(fault.Conflict, "floor-busy", "The shop's floor changed each time while the dates were worked out; try again in a moment.")
}

// lastSeq is the number of the trail's newest row. Whatever changes what the floor
// follows from writes there, so with the same number the floor is the same.
func lastSeq(r Reader) (int64, error) {
	rows, _, err := r.Trail("", Page{Limit: 1})
	if err != nil || len(rows) == 0 {
		return 0, err
	}
	return rows[0].Seq, nil
}
