// Package method goes from the quantities of a frame's zones to hours and
// materials of tasks, by the rules of a shop.
//
// Terms. A Stage (strip, repair, coat, remount) is done by a Method that a zone
// was given: blast, hand, dip. A Rule makes hours or one material for one task.
// A Part of it is a product of factors: a quantity of the zone, a figure with a
// compound unit such as 4 m2/h, a pure number by condition or finish, or what
// another rule made for the same zone. A Share is what a rule made for a zone.
//
// Method. A zone counts for a rule when it is in every list of the rule's For
// and, where the rule makes anything for zones by themselves, its amount is
// above 0. Then
//
//	amount of a zone = each + sum of parts
//	amount of a rule = fixed (once, if any zone counts) + its zones
//	hours of a task  = sum of its rules; low and high are each rule's spread times its likely hours
//
// There is no formula text: rules are data, and Check multiplies the units of a
// part and asks that they come out in the unit of the rule, so that hours made
// of m2 x m2/h are refused before they are used. Dimensions are those of
// package measure; areas and volumes are powers of length, so m x mm is an
// area and m2 x mm a volume. Rules may read each other, but not in a circle.
//
// Figures are rationals inside and exact: neither the order of the rules nor of
// the zones changes a digit. What a task or a material comes to is rounded
// once: hours to 0.01 h, quantities to 0.001, half away from zero; what is
// counted in pieces, sets or lots is rounded up. Amounts of single rules and
// zones are shown to six places.
//
// Source. Quantity times a rate with factors for difficulty is common practice
// in estimating; no published rates for frames of cars are known, and every
// figure is the shop's to replace. Each rule names where its figures come from.
//
// Units: hours are crew-hours, as on tasks.
//
// It leaves out: prices, waste and packs (the price book's), and the choice of
// a method, which is the shop's and the client's.
package method
