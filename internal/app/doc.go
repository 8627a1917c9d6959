// Package app holds the use cases: what an owner, a technician, a client or
// the console may ask for.
//
// Every use case reads the same way: the policy table first, then load through
// the store, compute with the engines, save, and write the trail, all in one
// transaction. A change is announced to open screens only after it is
// committed. Nothing here knows HTTP, SQL or the ORM; clock, identities and
// secrets are passed in, so that a test can fix them.
package app
