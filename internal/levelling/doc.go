// Package levelling plans what a shop can really do: all its jobs together, with
// the people, stations and calendars that it has.
//
// In the literature's terms it is the resource-constrained multi-project
// scheduling problem with generalized precedence relations (Neumann, Schwindt
// and Zimmermann, "Project Scheduling with Time Windows and Scarce Resources",
// 2003), calendars, and people of several skills who are assigned by name.
//
// # Terms
//
// Task, link, lag, maximum lag, working and elapsed time as in package network. A
// block is what maximum lags hold together; it is placed as a whole, so that
// nothing is blasted and then left. A line is what one person or station is taken
// for over time. All is whole minutes from an origin; a plan reaches twelve years.
//
// # Method
//
// A serial schedule generation scheme places one block after the other as early as
// links, calendars and bookings allow. Where a maximum lag would be passed, its
// predecessor is moved right and the block placed again, up to a bound; where that
// fails, the tasks of the block are tried in other orders. People are chosen
// greedily: who can begin first, then those whom the rest of the block can do
// without, then those with the fewest skills, then those of the previous plan, then
// those least wanted by other work, then by ID. What is under way goes on from Now and
// what is pinned keeps its start, before everything else. Orders come from priority
// rules and are then bred (package search). Costs are compared first things first:
// weighted lateness, weighted finish, changes.
//
// Follow searches nothing: it keeps to the previous plan, by the same scheme, and lets
// what is new in where it has its turn. So two answers can be set beside each other.
//
// Bound adds two things up: the critical path on calendars of each job by itself,
// and what the jobs together lack of the one skill, of people in all, or of the one
// station that is shortest. For that the work before the promises is held against
// what the calendars offer, as if it could be divided at will (mean minutes of one
// machine under a Lagrangean: see shortage). Optimal means that a plan reaches the
// bound in lateness and finish.
//
// # Left out
//
// Setup and travel, a least length of the pieces of an interrupted task, people
// who change during a task, and elapsed work with a crew. The choice of people is
// not searched: another choice may allow an earlier start that no order finds. The
// bound takes one shortage at a time, with work divided at will and finish-by dates
// alone, so in a busy shop a plan can be optimal and only be called feasible. A
// maximum lag into work that has begun is not held.
package levelling
