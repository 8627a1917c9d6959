// Package takeoff goes from the geometry of a frame's zones to quantities: areas,
// weights and volumes, then abrasive, patch steel, weld, coats and cavity coating,
// and from their totals to what is bought whole.
//
// Terms. A Zone is a piece of frame with its cross section, condition and, where
// it was measured, its bad steel. A System is how a shop blasts, welds and coats.
// A Quantity has a name, a value, a unit and its formula in words. Reached from
// outside are the outer faces of boxes and tubes and both sides of channels, hats
// and plates.
//
// Method. Sections have square corners, t is the thickness, w and h are outside
// measures:
//
//	           outer (mm)           inner (mm)                     steel (mm2)
//	box        2 (w + h)            2 (w + h - 4t)                 2t (w + h - 2t)
//	channel    h + 2w + 2t          (h - 2t) + 2 (w - t)           t (h + 2w - 2t)
//	hat        w + 2(h-t) + 2b + 2t (w - 2t) + 2(h - t) + 2(b + t) t (w + 2(h - t) + 2b)
//	tube       pi d                 pi (d - 2t)                    pi t (d - t)
//	plate      2 (w + t), and its two ends                         w t
//
// w is the flange of a channel, its web is h; b is one brim of a hat; the edge
// faces of open sections count as outer. Sections run on into their neighbours,
// so their ends do not count; a plate stands free, so all its edges do. Then
//
//	steel weight = steel x length x 7850 kg/m3
//	blast time   = area / (flat rate x frame factor) x factor of the condition
//	media        = blast time x what leaves the nozzle / uses
//	patch        = (hole + a margin all round), else share of the section's sheet
//	weld         = round each patch; expected ones are counted in usual patches
//	weld metal   = leg^2 / 2, or thickness x gap x (1 + build-up), x length x 7850
//	wire         = weld metal / deposition efficiency
//	arc time     = wire x metres in a kilogram / feed
//	gas          = arc time x flow
//	weld time    = arc time / arc-on factor + patches x handling
//
// and coats by package coating, of which this is the one user among the engines:
// losses divide, dead volume is added on blasted steel. This is geometry and is
// reckoned in binary floating point: a whole frame takes a fraction of a
// millisecond. Each quantity becomes a decimal once, rounded half away from zero to
// Places of its unit; what lies within a millionth of a millionth of a tie counts
// as one, so the result is that of exact arithmetic, which a test holds against
// rationals. A total is the exact sum of the rounded quantities, so that it ties to
// what the screen shows. Money starts at the packs, in decimals and whole numbers.
// Packs are covered exactly by dynamic programming over the greatest common part
// of their sizes.
//
// Steel weighs its true density of 7850 kg/m3 here. Tables of the Manufacturers'
// Standard Gauge print the conventional 41.82 lb/ft2 for an inch of thickness, 2.4
// percent more; Gauge carries both.
//
// Sources stand beside the formulas and in testdata/takeoff. Rates are the shop's.
//
// It leaves out: corner radii, holes and what is welded on (brackets are zones of
// their own), cutting plans for sheet, hours for anything but nozzle and torch,
// prices of anything but packs, and every judgement of strength. Quantities of
// weld and paint are an aid to estimating and not an inspection; the product data
// sheet comes first.
package takeoff
