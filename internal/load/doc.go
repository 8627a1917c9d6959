// Package load stands up the real binary as a process of its own and puts a
// bounded load on it, for the benchmarks and for the test that kills it.
//
// Terms. A Process is one running "bareframe serve" on 127.0.0.1. A Visitor is
// one signed-in browser. A load is steady when requests start at fixed instants
// whether or not earlier ones were answered, and each is timed from the instant
// at which it should have started: a server that stalls is charged for everybody
// who had to wait, which a client that politely waits for its answer hides. A
// load is greedy when some workers each send their next request as soon as the
// last is answered; it finds the highest throughput. A Spread is the times that
// a load was answered in; its percentiles are of the nearest rank, that is the
// smallest time that at least that share of the requests did not exceed.
//
// Every load is bounded in count or time and goes to this machine only. The
// load's own work runs on the same cores as the server, so figures are below
// what two machines would show.
package load
