// Package fault holds the one error type that crosses package borders.
//
// An engine, a rule of the domain or a use case that refuses something says so
// with an *Error: what kind of refusal it is, a stable code, a sentence that a
// person can act on, and the fields at fault by JSON pointer (RFC 6901). Only
// the HTTP layer turns a Kind into a status; only the command line turns it
// into an exit code. An error that is not an *Error is a defect or an outage,
// and its text stays in the log.
package fault
