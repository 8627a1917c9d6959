// Package command is the command line: serve, calculate, migrate, user, verify
// and version. It wires store, use cases and HTTP together; it holds no rule of
// the trade.
package command
