// Package network computes when the tasks of a job can and must happen.
//
// It is the critical path method (Kelley and Walker, "Critical-Path Planning
// and Scheduling", 1959) widened to the four kinds of precedence with lags
// that the literature calls generalized precedence relations (Elmaghraby and
// Kamburowski, "The Analysis of Activity Networks under Generalized Precedence
// Relations (GPRs)", Management Science 38(9), 1992), on two kinds of time:
// working time, which runs on the shop's calendar, and elapsed time, which
// runs on the clock. A cure goes on through Sunday; a technician does not.
//
// # Terms
//
//   - task: an uninterrupted piece of work with one duration in one kind of
//     time. A working task starts at an open minute of the calendar and pauses
//     only while the shop is closed. A task without duration is a milestone and
//     keeps the instant it falls on, open or closed.
//   - link: a precedence between an end of one task and an end of another.
//     FS finish-start, SS start-start, FF finish-finish, SF start-finish.
//   - lag: the least time between the two ends of a link; negative is a lead.
//     A link may also carry a maximum lag, the most time between them.
//   - early dates: as soon as links, dates and progress allow.
//   - late dates: as late as keeps the finish, or the promise when one is given,
//     and every finish-by date.
//   - total float: how long a task may slip before its late dates are passed;
//     free float: before any other task's early dates, or the early finish of the
//     whole, move. Both are counted in the task's own kind of time.
//   - critical: a slip of one minute of the task's own time moves the finish of
//     the whole. With one calendar this is the field's rule of least total float;
//     it stays right where working and elapsed floats cannot be compared.
//   - driving link: one that by itself holds its successor at its early dates.
//   - driving chain: the tasks joined by driving links that end in the task that
//     finishes last.
//
// # Units
//
// All durations, lags and floats are whole minutes. Instants are read and
// given to the minute: a lower bound is taken at the next whole minute, an
// upper bound and an actual at the one before.
//
// # Rules
//
// A link without lag means "not before", on the clock. A working lag of n
// minutes means that at least n working minutes lie between the two ends; a
// working lead of n, that at most n do. Because a working task finishes with
// its last worked minute, "finish not before Sunday noon" is met by the first
// minute worked after Sunday noon.
//
// Progress follows retained logic, common practice in the field: actual dates
// stand; what is left of a started task goes on at the data date at the
// earliest and still waits for its predecessors; nothing else starts before
// the data date. While a task is under way its hours to go beat its duration;
// without hours to go, what is left is the duration less the time since it
// started. A link into a finished task asks for nothing.
//
// A maximum lag is read as a least lag the other way and settled by label
// correction (Bellman 1958; Ford 1956). When lags ask for more time than a
// maximum leaves, they are named. Where the first end of a maximum lag has
// already happened it can only be reported as overrun.
//
// # Left out
//
// Who does the work and where (package levelling), splitting a task, links
// that turn back on themselves through minimum lags (refused as a cycle even
// where their arithmetic would close), and calendars per task: one calendar
// serves the network.
package network
