// Package policy says who may do what: one table of action, role and
// condition, and the two questions that use cases ask of it.
//
// An action is an operation of the contract (its operationId), so a route that
// is not in the table fails a test. Allow answers by role alone and stands in
// the first line of every use case; AllowOn adds the condition once the thing
// at hand is loaded. Rows of another shop never get this far: the store does
// not find them.
package policy
