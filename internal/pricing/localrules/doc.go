// Package localrules says what the consumer law of a place asks of a repair
// shop: when a written estimate is owed, when a higher price needs the client's
// new consent, what the record of that consent must name, and what estimate and
// invoice must show.
//
// Terms. A RuleSet is the law of one place as data, with its source, the day it
// was read and a sentence that says to check the local law. Authorised is what
// the client has agreed to pay so far; revised is the price it would become; the
// extra is the difference. Allowed is the extra that needs no new consent.
//
// Method. Four shapes of rule cover what the statutes that were looked up ask:
// nothing over; the greater of an amount and a percent, capped; the lesser of
// both; a percent. Consent is due when the extra is more than what is allowed,
// so an extra of exactly the allowed amount is not. The allowed amount is the
// exact product cut down, never up, to the minor unit; as an extra is a whole
// number of minor units, the answer is the same as with the exact product.
//
// Sources are in the rule sets themselves (seeds/rules). A shop may replace
// every number by its own, and With keeps a list of what was replaced.
//
// Units: money in the shop's currency, whatever the currency of the statute;
// percents as "10"; years in whole years.
//
// It leaves out: whether a place's law applies to a job at all (mass, age and
// use of the vehicle, waivers, who the client is), registration of the shop,
// signs on the wall, and liens. It is an aid for the shop and not legal advice.
package localrules
