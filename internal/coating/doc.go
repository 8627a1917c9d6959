// Package coating does the arithmetic of paint films: how far a litre goes, what
// thinning and loss do to it, how thick to apply it wet, and how much a blasted
// surface swallows.
//
// Terms. Volume solids is the share of a paint that stays when it has dried. The
// dry film is its thickness then, the wet film its thickness when applied. Loss
// is the share that never reaches the work: overspray, what stays in pot and
// hose. Dead volume is paint that fills the valleys of a blasted surface before
// any film stands on the peaks; it is added to the dry film of the coat that lies
// on the blasted steel. Solids, loss and thinning are parts in a hundred;
// thinning is in parts by volume added to a hundred parts of paint.
//
// Method.
//
//	solids as applied = solids x 100 / (100 + thinner)
//	spreading rate    = 10 x solids / film            m2/l, film in um
//	wet film          = dry film x 100 / solids as applied
//	paint             = area x (dry film + dead volume) x 10 / (solids x (100 - loss))
//	thinner           = paint x thinner / 100
//
// The first two are volume balances: a litre a thousandth of a millimetre thick
// covers 1000 m2, a US gallon of 231 in3 at one mil 1604 ft2. Loss divides: what
// is needed is what arrives, divided by the share that arrives. Paint is counted
// as supplied, before thinning, because that is what is bought. The wet film to
// aim for has no dead volume in it: a wet film gauge stands on the peaks.
// Quotients are taken once, of exact decimals, half away from zero.
//
// Sources. Spreading rate, thinning, loss and wet film: published worked examples
// of the trade, in testdata/coating. Dead volume of 10, 35, 60 and 125 um for
// profiles of up to 50, 100 and 150 um and for old pitted steel that was blasted
// again: a table common in painters' handbooks, from memory.
//
// Units: areas in m2 or ft2, films in um or mil, capacity in litres.
//
// It leaves out: weather, pot life, recoat windows and readings of a dry film. The
// product data sheet comes before every figure here.
package coating
