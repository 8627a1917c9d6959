// Package house holds no code that runs in the product. Its tests read the
// module as it stands and hold it to the layout that the project promises:
//
//   - imports point down only: main to command to api and store, those to the
//     use cases (app), those to the nouns and rules (domain, policy, paper),
//     those to the engines (network, pricing, calendar, measure, money) and at
//     the bottom the typed refusals (fault);
//   - the HTTP side knows no store, and nothing under the use cases knows HTTP,
//     SQL or the ORM;
//   - engines do no input or output, read no clock and draw no luck;
//   - no binary floating point where money or sold time is reckoned;
//   - every package says what it is for, and none is called after nothing.
//
// The import graph is the answer of "go list -json ./...", so that a new
// package is seen without being named here first: one without a place in the
// layout fails.
package house
