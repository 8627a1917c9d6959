// Package testkit stands up the real program for tests: the HTTP side over the
// use cases over a store of its own, with a clock that the test sets, and tells
// stories on it.
//
// Terms. A Stack is one running program with an empty store. A World is a Stack
// with two shops and their people, each signed in over HTTP, and one example
// job that Stage functions bring along its life. A Step is one request of a
// story with what must and must not come back.
//
// Every answer that passes through a Client is held against openapi.yaml:
// status, headers, body, and no field that the contract does not name. A
// refusal must be a problem document, and every answer must carry the security
// headers. A mismatch fails the test that asked.
//
// What it leaves out: the real password hash, which takes a tenth of a second
// by design and has a test of its own; TLS; several processes.
package testkit
