// Package pricing turns the lines of an estimate into a price: line nets,
// phase subtotals, tax, discounts, options, reserve, deposit and draws, for the
// owner with cost and margin and for the client without.
//
// Terms. A line is one priced item. Its gross is billed quantity times unit
// price, per price base quantity; its net is gross less the line's discount.
// Billed quantity is the quantity plus waste. A line without a phase is a
// document line. An adjustment is a discount or a charge on the whole document
// (EN 16931 BG-20 and BG-21; the standard calls the first an allowance, a word
// that the trade keeps for a stated sum for work that cannot be priced yet). An
// option is a choice among several ways (exactly one is taken) or an extra that
// is taken or left. The balance is what the deposit leaves of the grand total.
//
// Method. Calculate reads every decimal from text, gathers all faults, then
// takes these steps: lines, options, subtotals, adjustments, tax, totals,
// margin, deposit and draws. All arithmetic is exact decimal arithmetic.
// Rounding, half away from zero to the minor unit, happens only here:
//
//  1. line net: billed quantity x unit price / base quantity, less discount,
//     as one quotient, rounded once (the gross that is shown is rounded from the
//     same quotient, and the discount that is shown is gross less net);
//  2. line cost: billed quantity x unit cost / base quantity;
//  3. an adjustment given in percent, once for the adjustment;
//  4. tax: with basis "document" once for each rate on the summed base; with
//     basis "line" once for each line and for each adjustment;
//  5. a deposit given in percent;
//  6. divisions by largest remainder, whose parts add up to the whole: an
//     adjustment on all tax classes, the draws, a reserve carried inside lines.
//
// Sources. Totals carry the business terms of EN 16931-1 (BT-106 to BT-115) and
// keep its rules BR-CO-10 to BR-CO-17, BR-S-08 and BR-S-09; with tax per line
// the tax of a rate is the sum of its rounded line taxes, so BR-CO-17 and
// BR-S-09 (tax = base x rate) then hold for each line and not for each rate.
// Both ways of rounding tax are those of the Streamlined Sales and Use Tax
// Agreement, section 324.
//
// Units: money in the input's currency; percents as "7.25"; quantities in the
// line's unit. Options, discounts and cost are explained on their types.
//
// It leaves out: rates of any place (the shop sets them, and local law comes
// first), prices that include tax, rounding of the payable amount (BT-114),
// compound taxes, and what the client's consent needs.
package pricing
