// Package project schedules one project with scarce resources that are always
// there: the resource-constrained project scheduling problem and its form with
// minimum and maximum time lags, the published yardsticks of the field. It finds
// starts by the search that also plans a shop (package levelling/search), so that
// its published figures say something about the plans.
//
// # Terms
//
//   - activity: it takes its duration and units of each resource while it runs,
//     and is not interrupted.
//   - arc: activity To starts no earlier than Lag after From starts; a negative
//     lag is a maximum lag the other way.
//   - serial scheme: the activities in a given order, each as early as arcs and
//     resources allow (Kolisch, "Serial and parallel resource-constrained project
//     scheduling methods revisited", European Journal of Operational Research 90, 1996).
//   - parallel scheme: time is gone through once, and what fits is started.
//   - delay: how much later than what could start soonest the next activity may
//     start; none is the parallel scheme, any the serial one (see generator).
//   - schedule: one pass of a scheme over all activities, forward or backward; a
//     pass that is left early counts by the share of the activities it had placed.
//   - beam: a search through sets of placed activities, level by level, for
//     projects of at most 64 activities. Each activity that is added to a set at a
//     time is a placement, so of n activities n of those count as one schedule. That
//     a time was looked up for what then is not added counts as little as it does in
//     the parallel scheme.
//
// Times are whole units. Source of the problem: Pritsker, Watters and Wolfe,
// Management Science 16 (1969); with maximum lags: Bartusch, Möhring and
// Radermacher, Annals of Operations Research 16 (1988).
//
// # Left out
//
// Calendars, people, several jobs (package levelling), several modes for one
// activity, and resources that are used up.
package project
