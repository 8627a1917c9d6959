// Package paper writes the documents that leave the shop. For now they are
// print-ready HTML that stands by itself: no script, no outside resource, one
// style sheet inside, so that the exact bytes can be kept, hashed and shown
// again years later.
//
// The same data always gives the same bytes. Text is escaped by the template
// engine of the standard library.
package paper
