// Package levelling plans what a shop can really do: all its jobs together, with
// the people, stations and calendars that it has.
//
// In the literature's terms it is the resource-constrained multi-project
// scheduling problem with generalized precedence relations (Neumann, Schwindt
// and Zimmermann, "Project Scheduling with Time Windows and Scarce Resources",
// 2003), calendars, and people of several skills who are assigned by name.
package levelling
