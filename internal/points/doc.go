// Package points says how many points a judge could deduct from a car as found,
// what each option would avoid, and which set of options buys the most points
// within a budget.
//
// Terms. A Sheet is a shop's own list of Items, each with a maximum deduction for
// originality and one for condition. A Look is a row of its table: steel of this
// condition, seen to this extent, costs this share of the maximum. A Departure
// is something that is not as it left the maker; some are expected of every car as
// found until one was seen, such as an underside that was never done. An Effect is the deduction that
// an Option avoids, or causes when negative. An aspect is an item's originality
// or its condition. Points bought are deductions as found less deductions after.
//
// Expected deduction. Condition is weighted by area: maximum x sum of area x
// share / sum of area over the item's zones; zones without an area count alike
// when none of the item's zones has one. The worst zone alone would be the other
// way. It was not chosen because the effects of two repairs then do not add up:
// mending one of two bad zones would buy nothing and mending the other all, in
// either order, so that no option would have points of its own. A small bad place
// still weighs as a judge weighs it, because a share may be above 1: with 3, a
// third of the item perforated costs its whole maximum. Originality, and what
// else a departure costs, is its figure times the pieces. Shares and figures are
// data of the sheet; no published figures are known.
//
// A deduction is never below 0 nor above the maximum. Where the reasons add up to
// more than the maximum, work first brings the sum down to it before it buys a
// point: deduction = sum of the reasons - sum of the effects, held between 0 and
// the maximum.
//
// Best set. Maximise points bought; of equal points the cheaper; subject to
// budget, groups, requirements and exclusions. Of sets equal in both, fewer
// options and then the ids that come first in order, as far as a short search of
// its own goes: where cost is in proportion to points there are thousands of
// them, and the result says so when another may have fewer. The set does not hang
// on the order of the input.
//
// Because of the maximum and the dependencies this is no plain knapsack. The
// options are decided one after the other, taken or left, layer by layer; a node
// is a partial set, kept as the part of it that the rest can still feel: open
// aspects, options barred, groups met. Of nodes that agree in it, one with no
// more points and no less cost goes (dominance, as in Nemhauser and Ullmann,
// Discrete dynamic programming and capital allocation, Management Science 15,
// 1969); and so does one that another outdoes whatever the rest does. An aspect
// that can reach neither end any more is reckoned linear at once, one that must
// end at an end is closed, so that nodes agree early.
//
// A narrow run, completions of promising nodes and exchanges of options first
// find good sets. Then each option, taken and left, is held against the bound, and
// fixed the other way where that is hopeless; what is left is a smaller problem
// with an order and prices of its own (rounds). The last run leaves nothing out
// but what dominance and the bound show to be hopeless, and that it came to its
// end is the proof. A node goes when it can neither buy more than the best set
// known nor as much for less; different prices may show the one and the other
// (question), so one run answers both.
//
// Bound. The deduction on an aspect is at least y x (sum left), for any y from 0
// to 1, because it is at least the sum left and at least 0. With a price for the
// budget (points a unit of cost) and one for each requirement (x of the option no
// more than x of what it requires), all not negative, the best completion is at
// most
//
//	points so far - sum of y x sum left + price x budget left
//	+ for each option that can still be taken, the more of 0 and its worth
//
// where worth is effects x y - price x cost -/+ prices of requirements; of a
// group only its best member counts. This is the Lagrangian relaxation (Fisher,
// The Lagrangian relaxation method for solving integer programming problems,
// Management Science 27, 1981). It holds for every choice of prices; good ones
// are found by subgradient steps, and a poor choice costs time, never truth.
// Where effects can push the sum past the maximum, harm is counted only in the
// proportion (maximum - sum) / all harm to come, which the capped deduction
// cannot stay under; where the sum is past it already, gain is counted only in
// the proportion of what all gain to come would buy, which a part of it cannot
// exceed. How much is to come is what the budget left can pay for. Everything is in
// integers, rounded to the side that keeps the bound valid, so the proof does not
// hang on floating point.
//
// Units: points in hundredths, amounts in the input's currency, hours to 0.01 h,
// area in m2. The expected deduction is rounded once for each aspect, half away
// from zero, to 0.01; cost per point to the minor unit.
//
// Cost grows with the options whose worth is close to their price, not with all of
// them: 60 options mostly take 2,000 to 15,000 nodes, by family a median of 13 to
// 55 ms of one processor; hard inputs take some hundred thousand and a second. The
// bound is that of the linear relaxation; where little of an aspect is left for
// large options, or each option has a cost of its own beside its points, it
// is some percent above the best set and the limit of nodes may come first. The
// result then says so, with its bound. A dynamic programme over points alone does
// not do: with a maximum on each of two dozen aspects it needs all their sums.
//
// It leaves out: what a given show deducts, which is the judges' own; how likely
// a judge is to see a thing beyond the table; days, which do not add up.
package points
