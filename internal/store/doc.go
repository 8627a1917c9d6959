// Package store keeps a shop's rows in SQLite or PostgreSQL and implements
// app.Store on both.
//
// A use case is one transaction. On SQLite a single connection writes, at
// synchronous=FULL in write-ahead mode, and several others read, each read on
// one snapshot. Short use cases that arrive together (hours) share one commit
// and so one wait for the disk: each has a savepoint of its own and is undone
// alone, and none returns before the commit that holds it; when that fails, all
// of them fail with Unavailable (see together.go). On PostgreSQL a writing transaction first locks the row of its
// shop, so that there too a shop has one writer at a time, and is run again
// after a serialization failure or deadlock; reading is repeatable-read.
//
// Every statement names the shop, so that another shop's row is simply not
// found. Exceptions are the look-ups before anybody is signed in: by the hash
// of a token, by the address somebody signs in with, by a session's ID.
//
// Amounts, hours, quantities and percentages are decimal text on SQLite and
// numeric(24,6) on PostgreSQL; a value that does not fit is refused, never
// rounded, and SQL neither sums nor orders them. Instants are UTC with
// microseconds. Lists and structures are JSON text. Lists that people read by
// name are ordered by the lower-case name, byte by byte.
//
// The schema is numbered SQL in folder migrations, one set a dialect. Tables
// that are append-only (trail, documents, most of quotes and hours entries)
// have triggers that refuse everything else, whoever asks.
//
// Left out here: backup, restore and verification of a whole store.
package store
