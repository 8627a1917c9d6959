import assert from "node:assert/strict";
import { test } from "node:test";
import { dayAfter, daysBetween, formats, instantOf, minutes, wall } from "../lib/format.js";

const shop = formats({ locale: "en-GB", time_zone: "Europe/Berlin", currency: "EUR" });

test("money keeps every digit of its decimal string", () => {
  // 9007199254740993 is 2^53 + 1, the first whole number that a double cannot hold (IEEE 754).
  const cases = [
    ["9007199254740993.01", "€9,007,199,254,740,993.01"],
    ["0.10", "€0.10"],
    ["-1234.50", "-€1,234.50"],
  ];
  for (const [given, want] of cases) assert.equal(shop.money(given), want, given);
});

test("money takes its places from the currency (ISO 4217: JPY none, BHD three)", () => {
  assert.equal(shop.money("1234", "JPY").replace(/[^\d.,]/g, ""), "1,234");
  assert.equal(shop.money("1.5", "BHD").replace(/[^\d.,]/g, ""), "1.500");
});

test("figures follow the locale", () => {
  const german = formats({ locale: "de-DE", time_zone: "Europe/Berlin", currency: "EUR" });
  assert.equal(german.money("1234.5").replace(/\s/g, " "), "1.234,50 €");
  assert.equal(german.hours("3.5"), "3,50 h");
  assert.equal(shop.hours("3.5"), "3.50 h");
  assert.equal(shop.percent("7.25"), "7.25 %");
  assert.equal(shop.quantity("12.5000", "l"), "12.5 l");
  assert.equal(shop.quantity("0.0100", "m2"), "0.01 m²");
});

// By hand: 700 / 25.4 = 27.559; 0.7 / 0.3048 = 2.2966; (50 + 2 x 70 + 2 x 2.5) / 25.4 = 195 / 25.4 = 7.677;
// 0.1365 / 0.09290304 = 1.4693; 7850 kg/m3 is 7850 x 16387.064 mm3/in3 / 1e9 / 0.45359237 = 0.2836 lb/in3, the
// figure that steel tables print; 0.25 m2/h is 2.691 ft2/h.
test("a formula in an inch shop has its own units beside the metric ones", () => {
  const shop = { locale: "en-US", time_zone: "America/Chicago", currency: "USD" };
  const inch = formats({ ...shop, units: "inch" });
  const said = {
    "700 mm x 1 = 0.7 m": "700 mm [27.56 in] x 1 = 0.7 m [2.297 ft]",
    "(50 + 2 x 70 + 2 x 2.5) mm x 0.7 m = 0.1365 m2":
      "(50 + 2 x 70 + 2 x 2.5) mm [7.677 in] x 0.7 m [2.297 ft] = 0.1365 m2 [1.469 ft²]",
    "x 7850 kg/m3": "x 7850 kg/m3 [0.2836 lb/in³]",
    "0.25 m2/h, only": "0.25 m2/h [2.691 ft²/h], only",
    "3.5 x 1.5 mm2": "3.5 x 1.5 mm2",
    "grade 2 made of steel": "grade 2 made of steel",
  };
  for (const [words, want] of Object.entries(said)) assert.equal(inch.worded(words), want);
  assert.equal(formats(shop).worded("700 mm x 1"), "700 mm x 1");
});

test("measures of an inch shop (foot 0.3048 m, pound 0.45359237 kg, US gallon 231 in³, exact by definition)", () => {
  const inch = formats({ locale: "en-US", time_zone: "America/Chicago", currency: "USD", units: "inch" });
  assert.equal(inch.measured("9.290304", "m2"), "100 ft²");
  assert.equal(inch.measured("45.359237", "kg"), "100 lb");
  assert.equal(inch.measured("3.785411784", "l"), "1 gal");
  assert.equal(inch.measured("30.48", "m"), "100 ft");
  assert.equal(inch.measured("25.4", "um"), "1 mil");
  assert.equal(inch.measured("7", "pc"), "7 pc");
  assert.equal(shop.measured("0.1771", "m2"), "0.1771 m²");
});

test("minutes in words", () => {
  const cases = [
    [0, "0 min"],
    [59, "59 min"],
    [60, "1 h"],
    [135, "2 h 15 min"],
    [-30, "−30 min"],
  ];
  for (const [given, want] of cases) assert.equal(minutes(given), want);
});

test("days do not slide with the zone of the device", () => {
  assert.match(shop.day("2027-01-11"), /^Mon,? 11 Jan 2027$/);
  assert.equal(shop.day(undefined), "no date yet");
  assert.equal(shop.dayOf("2026-11-24T23:30:00Z"), "2026-11-25");
  assert.equal(shop.relativeDay("2026-11-26", new Date("2026-11-24T23:30:00Z")), "tomorrow");
  assert.equal(shop.relativeDay("2026-11-25", new Date("2026-11-24T23:30:00Z")), "today");
});

test("days are counted on the calendar (2028 is a leap year)", () => {
  assert.equal(daysBetween("2028-02-28", "2028-03-01"), 2);
  assert.equal(daysBetween("2027-02-28", "2027-03-01"), 1);
  assert.equal(dayAfter("2026-12-31", 1), "2027-01-01");
});

// The zone's clock changes (Directive 2000/84/EC: 01:00 UTC, last Sundays of March and October), so in
// Berlin 2026-03-29 has no 02:30 and 2026-10-25 has it twice.
test("a wall clock becomes an instant through both clock changes", () => {
  const cases = [
    ["2026-01-15T07:30", "2026-01-15T06:30:00Z"],
    ["2026-07-15T07:30", "2026-07-15T05:30:00Z"],
    ["2026-03-29T01:59", "2026-03-29T00:59:00Z"],
    ["2026-03-29T03:00", "2026-03-29T01:00:00Z"],
    ["2026-03-29T02:30", "2026-03-29T01:30:00Z"],
    ["2026-10-25T02:30", "2026-10-25T00:30:00Z"],
    ["2026-10-25T03:00", "2026-10-25T02:00:00Z"],
  ];
  for (const [given, want] of cases) assert.equal(instantOf(given, "Europe/Berlin"), want, given);
  assert.throws(() => instantOf("yesterday", "UTC"), RangeError);
});

test("wall and instant are inverse where the clock does not jump", () => {
  for (const zone of ["Europe/Berlin", "America/St_Johns", "Pacific/Kiritimati", "Asia/Kathmandu", "UTC"]) {
    for (let at = Date.UTC(2026, 0, 1, 0, 7); at < Date.UTC(2027, 0, 1); at += 61 * 3_600_000) {
      const text = wall(new Date(at), zone);
      const back = Date.parse(instantOf(text, zone));
      assert.equal(wall(new Date(back), zone), text, `${zone} ${text}`);
    }
  }
});

test("the last day of something that ends at midnight in the shop's zone is the day before", () => {
  const f = formats({ locale: "en-GB", time_zone: "Europe/Vienna", currency: "EUR" });
  assert.equal(f.lastDay("2026-12-19T23:00:00Z"), "2026-12-19");
  assert.equal(f.dayOf("2026-12-19T23:00:00Z"), "2026-12-20");
});
