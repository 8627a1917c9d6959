package network

import (
	"hash/maphash"
	"math/bits"
)

// index finds tasks by ID. It is a hash table with linear probing (Knuth, The
// Art of Computer Programming, volume 3, 6.4) at most half full. Looking up the
// ends of links is the dearest part of a large network, and what it costs is
// memory: a slot is eight bytes, the high half of the ID's hash beside the
// task's place counted from 1, so that many share a line of the cache and a
// task is read only when it is almost surely the one.
//
// The hash is seeded anew each time, which defends against IDs chosen to
// collide; answers do not depend on it.
type index struct {
	tasks []Task
	slots []uint64 // a power of two of them; 0 is free
	seed  maphash.Seed
}

const (
	placeBits = 32
	placeMask = 1<<placeBits - 1
)

func newIndex(tasks []Task) *index {
	return &index{tasks: tasks, seed: maphash.MakeSeed(),
		slots: make([]uint64, 2<<bits.Len(uint(len(tasks))))}
}

// find gives the place of the task with this ID, or -1 and the slot to put it
// in. O(1) expected.
func (x *index) find(id string) (place int32, free uint64, hash uint64) {
	hash = maphash.String(x.seed, id)
	for at := hash; ; at++ {
		at &= uint64(len(x.slots) - 1)
		slot := x.slots[at]
		if slot == 0 {
			return -1, at, hash
		}
		if (slot^hash)>>placeBits == 0 {
			if place = int32(slot&placeMask) - 1; x.tasks[place].ID == id {
				return place, 0, hash
			}
		}
	}
}

// add enters task i and gives its place, or that of an earlier task with the
// same ID.
func (x *index) add(i int) int32 {
	place, free, hash := x.find(x.tasks[i].ID)
	if place >= 0 {
		return place
	}
	x.slots[free] = hash&^placeMask | uint64(i+1)
	return int32(i)
}
