package network

import (
	"testing"

	"pgregory.net/rapid"
)

// The table is only faster: it reads what the axis reads, inside and outside.
func TestTableReadsLikeTheAxis(t *testing.T) {
	slow, err := newRuler(berlin, monday, 0)
	if err != nil {
		t.Fatal(err)
	}
	fast, err := newRuler(berlin, monday, tableSize)
	if err != nil {
		t.Fatal(err)
	}
	if slow.table != nil || fast.table == nil {
		t.Fatal("one ruler must have a table and one not")
	}
	const years = 6 * 366 * 24 * 60
	compare := func(t *rapid.T, m, w int64) {
		for what, pair := range map[string][2]int64{
			"worked":    {fast.worked(m), slow.worked(m)},
			"firstEnd":  {fast.firstEnd(m), slow.firstEnd(m)},
			"lastStart": {fast.lastStart(m), slow.lastStart(m)},
			"earliest":  {fast.earliest(w), slow.earliest(w)},
			"latest":    {fast.latest(w), slow.latest(w)},
		} {
			if pair[0] != pair[1] {
				t.Fatalf("%s at minute %d, worked %d: table %d, axis %d", what, m, w, pair[0], pair[1])
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.Int64Range(-years/30, years).Draw(t, "minute")
		w := rapid.Int64Range(-years/100, years/3).Draw(t, "worked")
		compare(t, m, w)
		// And around a closing, where readings differ most.
		k := rapid.IntRange(0, len(fast.table.open)-1).Draw(t, "stretch")
		for d := int64(-2); d <= 2; d++ {
			compare(t, fast.table.open[k]+d, fast.table.worked[k]+d)
			compare(t, fast.table.shut[k]+d, fast.table.worked[k]+d)
		}
	})
}

// Where no minute is left to work, a reading is pinned to the end of the known
// years and noted, from whichever side it comes.
func TestReadingsBeyondTheKnownYearsAreNoted(t *testing.T) {
	for name, read := range map[string]func(*ruler, int64) int64{
		"earliest": (*ruler).earliest, "latest": (*ruler).latest,
	} {
		r, err := newRuler(berlin, monday, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := read(r, r.worked(r.hi)+1); got != r.hi || !r.above {
			t.Errorf("%s: minute %d, noted %v; want %d, noted", name, got, r.above, r.hi)
		}
	}
}
