// Package health looks over a network of tasks for what makes its dates unreliable.
//
// # Source
//
// The ten best practices of the U.S. Government Accountability Office's Schedule
// Assessment Guide, GAO-16-89G (December 2015). That the guide is public and names ten
// practices was looked up; which of its practices each check answers is from memory.
// An actual date that lies after the data date is a finding, where package network
// refuses it: the work is reckoned with as if it had happened on the data date.
// The guide gives no limits in figures that we know of: those of Limits are common
// practice, starting values to be set by the shop.
//
// # Method
//
// Each check is one pass over the tasks or links of network.Input and its Result; a
// finding names the tasks or links and says what to do. Findings come by weight, the
// heaviest first, then by code.
//
// # Units
//
// Minutes of the task's or link's own kind of time.
//
// # Left out
//
// Resources (package levelling), risk, whether all work is in the plan, and whether
// the durations are reasonable: those ask for what a network does not hold.
package health
