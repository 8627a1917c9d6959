// Package api is the HTTP side: the server generated from openapi.yaml, one
// handler file a tag, the mapping between the contract's types and the use
// cases', sign-in by cookie, and the one place that turns a refusal into a
// problem document (RFC 9457).
//
// A handler maps in, calls one use case, and maps out. It decides nothing.
package api
