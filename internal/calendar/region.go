package calendar

import (
	"slices"
	"time"

	"github.com/rickar/cal/v2"
	"github.com/rickar/cal/v2/at"
	"github.com/rickar/cal/v2/au"
	"github.com/rickar/cal/v2/be"
	"github.com/rickar/cal/v2/ca"
	"github.com/rickar/cal/v2/ch"
	"github.com/rickar/cal/v2/cz"
	"github.com/rickar/cal/v2/de"
	"github.com/rickar/cal/v2/dk"
	"github.com/rickar/cal/v2/es"
	"github.com/rickar/cal/v2/fr"
	"github.com/rickar/cal/v2/gb"
	"github.com/rickar/cal/v2/hr"
	"github.com/rickar/cal/v2/ie"
	"github.com/rickar/cal/v2/it"
	"github.com/rickar/cal/v2/lt"
	"github.com/rickar/cal/v2/lv"
	"github.com/rickar/cal/v2/nl"
	"github.com/rickar/cal/v2/no"
	"github.com/rickar/cal/v2/pl"
	"github.com/rickar/cal/v2/se"
	"github.com/rickar/cal/v2/si"
	"github.com/rickar/cal/v2/us"
)

// regions holds the public holidays by ISO 3166 code, as the library lists them.
// Australia and Switzerland are there by state and canton only, because their
// days differ; "DE" has the days common to all of Germany, "US" the federal
// ones, "GB" those of England and Wales, "ES" the national ones. "CA", "DK" and
// "NL" include a few days that are widely but not everywhere taken off (the
// civic holiday; Constitution Day; Good Friday, and Liberation Day in every
// year): a shop that works then adds an opening.
//
// Left out although the library has them: New Zealand, for want of Matariki, and
// Slovakia, whose list is older than the changes in force since 2024.
var regions = map[string][]*cal.Holiday{
	"AT":     at.Holidays,
	"BE":     be.Holidays,
	"CA":     ca.Holidays,
	"CZ":     cz.Holidays,
	"DE":     de.Holidays,
	"DK":     dk.Holidays,
	"ES":     es.Holidays,
	"FR":     fr.Holidays,
	"GB":     gb.Holidays,
	"HR":     hr.Holidays,
	"IE":     ie.Holidays,
	"IT":     it.Holidays,
	"LT":     lt.Holidays,
	"LV":     lv.Holidays,
	"NL":     nl.Holidays,
	"NO":     no.Holidays,
	"PL":     append(slices.Clone(pl.Holidays), polishChristmasEve),
	"SE":     se.Holidays,
	"SI":     si.Holidays,
	"US":     us.Holidays,
	"DE-BW":  de.HolidaysBW,
	"DE-BY":  de.HolidaysBY,
	"DE-BE":  de.HolidaysBE,
	"DE-BB":  de.HolidaysBB,
	"DE-HB":  de.HolidaysHB,
	"DE-HH":  de.HolidaysHH,
	"DE-HE":  de.HolidaysHE,
	"DE-MV":  de.HolidaysMV,
	"DE-NI":  de.HolidaysNI,
	"DE-NW":  de.HolidaysNW,
	"DE-RP":  de.HolidaysRP,
	"DE-SL":  de.HolidaysSL,
	"DE-SN":  de.HolidaysSN,
	"DE-ST":  de.HolidaysST,
	"DE-SH":  de.HolidaysSH,
	"DE-TH":  de.HolidaysTH,
	"AU-ACT": au.HolidaysACT,
	"AU-NSW": au.HolidaysNSW,
	"AU-NT":  au.HolidaysNT,
	"AU-QLD": au.HolidaysQLD,
	"AU-SA":  au.HolidaysSA,
	"AU-TAS": au.HolidaysTAS,
	"AU-VIC": au.HolidaysVIC,
	"AU-WA":  au.HolidaysWA,
	"CH-ZH":  ch.HolidaysZH,
	"CH-BE":  ch.HolidaysBE,
	"CH-LU":  ch.HolidaysLU,
	"CH-UR":  ch.HolidaysUR,
	"CH-SZ":  ch.HolidaysSZ,
	"CH-OW":  ch.HolidaysOW,
	"CH-NW":  ch.HolidaysNW,
	"CH-GL":  ch.HolidaysGL,
	"CH-ZG":  ch.HolidaysZG,
	"CH-FR":  ch.HolidaysFR,
	"CH-SO":  ch.HolidaysSO,
	"CH-BS":  ch.HolidaysBS,
	"CH-BL":  ch.HolidaysBL,
	"CH-SH":  ch.HolidaysSH,
	"CH-AR":  ch.HolidaysAR,
	"CH-AI":  ch.HolidaysAI,
	"CH-SG":  ch.HolidaysSG,
	"CH-GR":  ch.HolidaysGR,
	"CH-AG":  ch.HolidaysAG,
	"CH-TG":  ch.HolidaysTG,
	"CH-VD":  ch.HolidaysVD,
	"CH-TI":  ch.HolidaysTI,
	"CH-VS":  ch.HolidaysVS,
	"CH-NE":  ch.HolidaysNE,
	"CH-GE":  ch.HolidaysGE,
	"CH-JU":  ch.HolidaysJU,
}

// polishChristmasEve is a day off since 2025 by the act of 6 December 2024 (Dz.U.
// 2024 poz. 1965); the library's release 2.1.13 is older.
var polishChristmasEve = &cal.Holiday{
	Name: "Wigilia Bożego Narodzenia", Type: cal.ObservancePublic,
	StartYear: 2025, Month: time.December, Day: 24, Func: cal.CalcDayOfMonth,
}
