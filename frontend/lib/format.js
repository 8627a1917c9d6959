// @ts-check
// Figures and times as the shop writes them. Amounts stay decimal strings: Intl formats a string exactly,
// so no money passes through a float.

/** @import { Me } from "./contract.js" */

/**
 * Units of an inch shop and how much of the metric one they are: the foot is 0.3048 m, the pound
 * 0.45359237 kg, the US gallon 231 cubic inches.
 * @type {Record<string, { unit: string, one: number }>}
 */
const inches = {
  m2: { unit: "ft²", one: 0.3048 * 0.3048 },
  m: { unit: "ft", one: 0.3048 },
  mm: { unit: "in", one: 25.4 },
  kg: { unit: "lb", one: 0.45359237 },
  l: { unit: "gal", one: 3.785411784 },
  um: { unit: "mil", one: 25.4 },
};

/** The compound units of rates, in units of an inch shop. @type {Record<string, { unit: string, one: number }>} */
const rates = {
  ...inches,
  "m2/h": { unit: "ft²/h", one: 0.3048 * 0.3048 },
  "m/h": { unit: "ft/h", one: 0.3048 },
  "kg/h": { unit: "lb/h", one: 0.45359237 },
  "m/min": { unit: "ft/min", one: 0.3048 },
  "l/min": { unit: "gal/min", one: 3.785411784 },
  "kg/m3": { unit: "lb/in³", one: 0.45359237 / 0.0254 ** 3 },
  "kg/m2": { unit: "lb/ft²", one: 0.45359237 / 0.3048 ** 2 },
  "l/m2": { unit: "gal/ft²", one: 3.785411784 / 0.3048 ** 2 },
  "h/m2": { unit: "h/ft²", one: 1 / 0.3048 ** 2 },
  "h/m": { unit: "h/ft", one: 1 / 0.3048 },
  "m/kg": { unit: "ft/lb", one: 0.3048 / 0.45359237 },
};

// A number, or a sum in brackets of numbers and of counts times numbers, before a unit.
const amount =
  /(?:\(([\d.]+(?: [+x-] [\d.]+)*)\)|(\d+(?:\.\d+)?)) (m2\/h|m\/h|kg\/h|m\/min|l\/min|kg\/m3|kg\/m2|l\/m2|h\/m2|h\/m|m\/kg|m2|mm|um|kg|m|l)(?![\w/])/g;

/** A sum such as "50 + 2 x 70 + 2 x 2.5". @param {string} sum */
const summed = (sum) =>
  sum
    .replaceAll(" - ", " + -")
    .split(" + ")
    .reduce((all, term) => all + term.split(" x ").reduce((of, figure) => of * Number(figure), 1), 0);

const short = new Intl.NumberFormat("en", { maximumSignificantDigits: 4, useGrouping: false });

/** @param {string} all @param {string} figures @param {string} unit */
function besides(all, figures, unit) {
  const own = rates[unit];
  const value = summed(figures);
  return own && Number.isFinite(value) ? `${all} [${short.format(value / own.one)} ${own.unit}]` : all;
}

/** @param {string} text @returns {Intl.StringNumericLiteral} */
const exact = (text) => /** @type {Intl.StringNumericLiteral} */ (text);

/**
 * The formats of one shop. Made once: building an Intl object is slow.
 * @param {{ locale: string, time_zone: string, currency: string, units?: string }} shop
 */
export function formats({ locale, time_zone, currency, units }) {
  const money = new Map();
  /** @param {string} code @param {number} [places] at most, beyond those of the currency */
  const moneyIn = (code, places) => {
    const key = `${code} ${places ?? ""}`;
    if (!money.has(key))
      money.set(
        key,
        new Intl.NumberFormat(locale, {
          style: "currency",
          currency: code,
          ...(places && { maximumFractionDigits: places }),
        }),
      );
    return money.get(key);
  };
  const two = new Intl.NumberFormat(locale, { minimumFractionDigits: 2, maximumFractionDigits: 2 });
  const plain = new Intl.NumberFormat(locale, { maximumFractionDigits: 4 });
  const shorter = new Intl.NumberFormat(locale, { maximumFractionDigits: 3 });
  const dayLong = new Intl.DateTimeFormat(locale, {
    timeZone: "UTC",
    weekday: "short",
    day: "numeric",
    month: "short",
    year: "numeric",
  });
  const dayShort = new Intl.DateTimeFormat(locale, { timeZone: "UTC", day: "numeric", month: "short" });
  const dayOfWeek = new Intl.DateTimeFormat(locale, {
    timeZone: "UTC",
    weekday: "short",
    day: "numeric",
    month: "short",
  });
  const at = new Intl.DateTimeFormat(locale, {
    timeZone: time_zone,
    day: "numeric",
    month: "short",
    year: "numeric",
    hour: "2-digit",
    minute: "2-digit",
  });
  const clock = new Intl.DateTimeFormat(locale, { timeZone: time_zone, hour: "2-digit", minute: "2-digit" });
  const relative = new Intl.RelativeTimeFormat(locale, { numeric: "auto" });

  return {
    locale,
    zone: time_zone,
    currency,
    /** "1234.50" → "€1,234.50". @param {string} amount @param {string} [code] */
    money: (amount, code = currency) => moneyIn(code).format(exact(amount)),
    /** A price of one unit, which may carry four decimals. @param {string} amount @param {string} [code] */
    price: (amount, code = currency) => moneyIn(code, 4).format(exact(amount)),
    /** "3.5" → "3.50 h". @param {string} value */
    hours: (value) => `${two.format(exact(value))} h`,
    /** 135 → "2 h 15 min". @param {number} value */
    minutes,
    /** "21" → "21 %". @param {string | number} value */
    percent: (value) => `${plain.format(exact(String(value)))} %`,
    /** "12.5", "m2" → "12.5 m²". @param {string} value @param {string} unit */
    quantity: (value, unit) =>
      `${plain.format(exact(value))} ${unit.replace(/^(.?m)2$/, "$1²").replace(/^(.?m)3$/, "$1³")}`.trim(),
    /**
     * Stored metric, in an inch shop in its own units: "0.53", "m2" → "0.53 m²" or "5.7 ft²".
     * @param {string} value @param {string} unit
     */
    measured: (value, unit) => {
      const own = units === "inch" ? inches[unit] : undefined;
      return own
        ? `${shorter.format(Number(value) / own.one)} ${own.unit}`
        : `${plain.format(exact(value))} ${unit.replace(/^(.?m)2$/, "$1²").replace("um", "µm")}`.trim();
    },
    /**
     * A formula in words, as it was reckoned in metric; in an inch shop each amount in it with what that is in its
     * own units: "700 mm x 1 = 0.7 m" → "700 mm [27.559 in] x 1 = 0.7 m [2.297 ft]". Amounts in brackets before one
     * unit, "2 x (190 + 120) mm", are sums of lengths where no product of lengths follows.
     * @param {string} words
     */
    worded: (words) =>
      units === "inch"
        ? words.replace(amount, (all, sum, one, unit) => besides(all, sum ?? one, unit))
        : words,
    /** Stored in millimetres: 140 → "140 mm", in an inch shop "5.51 in". @param {number} mm */
    length: (mm) => (units === "inch" ? `${two.format(mm / 25.4)} in` : `${plain.format(mm)} mm`),
    /** "2027-01-11" → "Mon, 11 Jan 2027"; nothing → "no date yet". @param {string | undefined} day */
    day: (day) => (day ? dayLong.format(noon(day)) : "no date yet"),
    /** "2027-01-11" → "11 Jan". @param {string} day */
    shortDay: (day) => dayShort.format(noon(day)),
    /** "2027-01-11" → "Mon 11 Jan". @param {string} day */
    weekDay: (day) => dayOfWeek.format(noon(day)),
    /** An instant with its day and time, in the shop's zone. @param {string | Date} instant */
    instant: (instant) => at.format(new Date(instant)),
    /** The wall clock of an instant in the shop's zone. @param {string | Date} instant */
    time: (instant) => clock.format(new Date(instant)),
    /** The day of an instant in the shop's zone, YYYY-MM-DD. @param {string | Date} instant */
    dayOf: (instant) => wall(new Date(instant), time_zone).slice(0, 10),
    /** The last whole day before something ends, which may be at midnight. @param {string | Date} end */
    lastDay: (end) => wall(new Date(new Date(end).getTime() - 1), time_zone).slice(0, 10),
    /** "today", "tomorrow", "in 12 days". @param {string} day @param {Date} [now] */
    relativeDay: (day, now = new Date()) =>
      relative.format(daysBetween(wall(now, time_zone).slice(0, 10), day), "day"),
    /** For <input type="datetime-local">, in the shop's zone. @param {string | Date} instant */
    wall: (instant) => wall(new Date(instant), time_zone),
    /** Back from <input type="datetime-local">. @param {string} text */
    instantOf: (text) => instantOf(text, time_zone),
  };
}

/** @typedef {ReturnType<typeof formats>} Formats */

/** @param {Me} me */
export const formatsOf = (me) => formats(me.shop);

/** @param {string} day */
const noon = (day) => new Date(`${day}T12:00:00Z`);

/** Whole days from one day to another. @param {string} from @param {string} to */
export function daysBetween(from, to) {
  return Math.round((noon(to).getTime() - noon(from).getTime()) / 86_400_000);
}

/** The day some days later. @param {string} day @param {number} days */
export function dayAfter(day, days) {
  return new Date(noon(day).getTime() + days * 86_400_000).toISOString().slice(0, 10);
}

/** 135 → "2 h 15 min", -30 → "−30 min". @param {number} value */
export function minutes(value) {
  const sign = value < 0 ? "−" : "";
  const whole = Math.abs(Math.round(value));
  const hours = Math.floor(whole / 60);
  const rest = whole % 60;
  if (hours === 0) return `${sign}${rest} min`;
  return rest === 0 ? `${sign}${hours} h` : `${sign}${hours} h ${rest} min`;
}

/** @type {Map<string, Intl.DateTimeFormat>} */
const parts = new Map();

/** "YYYY-MM-DDTHH:MM" of an instant on a zone's wall clock. @param {Date} instant @param {string} zone */
export function wall(instant, zone) {
  let format = parts.get(zone);
  if (!format) {
    format = new Intl.DateTimeFormat("en-CA", {
      timeZone: zone,
      hourCycle: "h23",
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
      hour: "2-digit",
      minute: "2-digit",
    });
    parts.set(zone, format);
  }
  const part = Object.fromEntries(format.formatToParts(instant).map((p) => [p.type, p.value]));
  return `${part["year"]}-${part["month"]}-${part["day"]}T${part["hour"]}:${part["minute"]}`;
}

/**
 * The instant at which a zone's wall clock shows this. A time that the clock change skips is taken as the
 * same time before the change (so one hour later on the wall); one that occurs twice is its first.
 * @param {string} text "YYYY-MM-DDTHH:MM"
 * @param {string} zone
 * @returns {string} RFC 3339 in UTC
 */
export function instantOf(text, zone) {
  const shape = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}/.exec(text);
  const asUtc = Date.parse(`${shape?.[0]}:00Z`);
  if (!shape || Number.isNaN(asUtc)) throw new RangeError(`not a date and time: ${text}`);
  const offsets = [offsetAt(asUtc - 86_400_000, zone), offsetAt(asUtc + 86_400_000, zone)];
  const candidates = offsets.map((offset) => asUtc - offset).sort((a, b) => a - b);
  const match = candidates.find((instant) => instant + offsetAt(instant, zone) === asUtc);
  return new Date(match ?? asUtc - (offsets[0] ?? 0)).toISOString().replace(/\.\d{3}Z$/, "Z");
}

/** The zone's offset from UTC at an instant, in milliseconds. @param {number} instant @param {string} zone */
function offsetAt(instant, zone) {
  return Date.parse(`${wall(new Date(instant), zone)}:00Z`) - Math.floor(instant / 60_000) * 60_000;
}

/** The formats of one job: its own currency where none is named. @param {Formats} formats @param {string} code @returns {Formats} */
export const inCurrency = (formats, code) => ({
  ...formats,
  currency: code,
  money: (amount, of = code) => formats.money(amount, of),
  price: (amount, of = code) => formats.price(amount, of),
});
