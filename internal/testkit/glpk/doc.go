// Package glpk asks the GNU Linear Programming Kit, for tests that hold an engine
// against an integer program of its own.
package glpk
