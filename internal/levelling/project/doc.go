// Package project schedules one project with scarce resources that are always
// there: the resource-constrained project scheduling problem, the published
// yardstick of the field.
package project
