// Package search looks for a good order of work. It knows nothing of calendars,
// people or stations: a Decoder turns an order into a schedule and says what it
// costs; this package breeds orders from the schedules that came out well.
//
// # Method
//
// A population of lineages. In each generation every lineage takes a mother and a
// father from the population, crosses them and has the child decoded; the child
// takes the place of the worst schedule where it costs no more, of its own lineage's
// where that is as bad. Where the decoder has a
// mirror, generations alternate between the two directions of time, so that each
// decoding also is a justification of its parents: the population of left- and
// right-justified schedules of Debels and Vanhoucke ("A bi-population based
// genetic algorithm for the resource-constrained project scheduling problem",
// ICCSA 2005), which rests on the justification of Valls, Ballestín and
// Quintanilla ("Justification and RCPSP: a technique that pays", European Journal
// of Operational Research 165 (2005)).
//
// Crossing keeps a stretch of time of the mother in which much is occupied, and
// the father's order before and after it (the peaks of Valls, Ballestín and
// Quintanilla, "A hybrid genetic algorithm for the resource-constrained project
// scheduling problem", EJOR 185 (2008); the form of Debels and Vanhoucke).
//
// A decoder may have several schemes to generate a schedule by. Which one is
// inherited like the order: a schedule that came out well hands down how it was made
// (the self-adapting genetic algorithm of Hartmann, "A self-adapting genetic algorithm for project scheduling under
// resource constraints", Naval Research Logistics 49 (2002), which inherits one of two).
//
// Ours, each found by trying: short stretches (a tenth to two fifths of the
// schedule); half of the first population from the other of two priority schemes;
// a population that shrinks steadily while the effort is spent, the worst lineages
// first; no two lineages hold the same schedule; a decoding ends as soon as the child
// is certain to be turned away, and counts for the share of the activities that it had placed.
//
// # Rounds
//
// A population is laid out for a number of schedules. When they are spent, another
// round begins that is laid out for twice as many, and the best schedule of the
// rounds counts. So what a longer search does begins with what a shorter one does,
// and more effort is never worse for the same Aim and Seed.
//
// # Determinism
//
// A child depends on the seed, its round, its generation and its lineage, and on
// the generation before, and on nothing else: any number of workers gives the same
// answer, unless the context ends the search.
package search
