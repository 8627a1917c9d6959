// Package repair goes from what was found on a frame to the work that answers
// it: which repairs apply, how large each is, how many hours and how much
// material it needs.
//
// Terms. A Rule is one way of putting something right, from the shop's repair
// list: a kind of work, the conditions of steel that it answers, a unit of size,
// hours and materials as a fixed part and a part for each unit. A Finding is
// what somebody saw and measured. A Suggestion is a rule applied to a finding.
//
// Method. A rule applies when it lists the finding's condition and, where both
// say what was found, that too. Size is length x width in dm2, length in m, or
// the number of pieces; a count multiplies area and length, so three places of
// 120 x 80 mm are 2.88 dm2. Then
//
//	hours    = (fixed + per unit x size) x factor of the condition
//	quantity =  fixed + per unit x size
//
// all in exact decimals. Hours are rounded once, half away from zero, to 0.01 h;
// quantities to 0.001, and what is bought in whole pieces, sets or lots is
// rounded up. The factor is for hours only: worse steel takes longer, not more
// of it, because the size is measured after it was cut back. Straight lines in
// the size are common practice for such lists; no published rate for frame
// repairs is known, and every figure is the shop's to replace.
//
// Units: findings in whole millimetres; hours are crew-hours, as on tasks;
// quantities in the unit of the material.
//
// It leaves out: prices (a material names a row of the price book or a unit
// price), the choice between repairs, which is the client's, and judgement of
// the strength of a repaired frame, which is a qualified person's.
package repair
