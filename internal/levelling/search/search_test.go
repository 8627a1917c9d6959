package search

import (
	"context"
	"testing"
	"time"
)

// odd decodes nothing, and panics where it is told to.
type odd struct{ panics bool }

func (odd) Size() int            { return 2 }
func (odd) Ahead(int32) []int32  { return nil }
func (odd) Weight(int32) float64 { return 1 }
func (odd) Mirror() Decoder      { return nil }
func (odd) Schemes() int         { return 1 }

func (d odd) Decode([]int32, Cost, *Schedule) (placed int, ok bool) { return 1, false }

func (d odd) Sample(_ *Source, _ int, into *Schedule) (placed int) {
	if d.panics {
		panic("a defect")
	}
	into.Cost = None
	return 1
}

// A shop that no sample fits, and a request that has gone: the search ends.
func TestASearchThatIsStoppedEndsWithoutASchedule(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	ended := make(chan Outcome, 1)
	go func() {
		ended <- Run(ctx, func() Decoder { return odd{} }, Effort{Schedules: 100, Workers: 2}, Cost{}, nil)
	}()
	select {
	case out := <-ended:
		if out.Best.Cost != None || out.Done {
			t.Errorf("nothing was decoded: got a cost of %v, done %v; want None and not done", out.Best.Cost, out.Done)
		}
	case <-time.After(time.Minute):
		t.Fatal("the search goes on after its context ended")
	}
}

// A defect in one worker is the caller's to recover from and not the end of the program.
func TestADefectInAWorkerReachesTheCaller(t *testing.T) {
	workers := 0
	made := func() Decoder { workers++; return odd{panics: workers > 1} } // not the caller's own
	defer func() {
		if recover() == nil {
			t.Error("a worker panicked and the caller did not hear of it")
		}
	}()
	for range 100 { // until the other worker comes to decode something
		workers = 0
		Run(t.Context(), made, Effort{Schedules: 1000, Workers: 2}, Cost{}, nil)
	}
}
