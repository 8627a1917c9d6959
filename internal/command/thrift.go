package command

import (
	"runtime/debug"
	"runtime/metrics"

	"bareframe/internal/app"
)

// planningGC is how much garbage there may be beside what lives, in percent, while a
// floor is planned. Reading hundreds of jobs makes garbage faster than anything else does,
// beside requests that go on.
const planningGC = 25

// worthGiving is how much has to lie about for it to be given back: that costs a
// collection, which a small shop's plans need not pay.
const worthGiving = 32 << 20 // bytes

// thrift is how this process keeps memory down while it plans. One goroutine plans.
var thrift = app.Thrift{Begin: spareMemory, Between: giveBack}

func spareMemory() (end func()) {
	was := debug.SetGCPercent(planningGC)
	if was < planningGC { // whoever runs it wants less, or with -1 bounds it otherwise
		debug.SetGCPercent(was)
	}
	return func() {
		debug.SetGCPercent(was)
		giveBack()
	}
}

// giveBack collects, and returns to the system what is free then.
func giveBack() {
	if lyingAbout() > worthGiving {
		debug.FreeOSMemory()
	}
}

// lyingAbout is what the heap holds of memory beyond what lived at the last
// collection, in bytes.
func lyingAbout() uint64 {
	held := []metrics.Sample{{Name: "/memory/classes/heap/free:bytes"}, {Name: "/memory/classes/heap/objects:bytes"}, {Name: "/gc/heap/live:bytes"}}
	metrics.Read(held)
	free, objects, live := held[0].Value.Uint64(), held[1].Value.Uint64(), held[2].Value.Uint64()
	return free + objects - min(objects, live)
}
