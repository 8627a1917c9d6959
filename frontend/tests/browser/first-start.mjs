// The first start without a shop: the one-time token from the console opens one, once.

import assert from "node:assert/strict";
import { AxeBuilder } from "@axe-core/playwright";
import { expecting, person, phone, settled } from "./people.mjs";
import { startEmpty } from "./server.mjs";

/** @import { Person } from "./people.mjs" */
/** @import { Told } from "./told.mjs" */

/** @param {Told} told @param {import("playwright-core").Browser} browser @param {(who: Person) => void} comes */
export async function firstStart(told, browser, comes) {
  await told.step("a first start without a shop: set-up by the one-time token, on a phone", async () => {
    const { base, token, stop } = await startEmpty();
    try {
      const who = await person(browser, base, "founder", { size: phone });
      comes(who);
      // The page asks who is signed in: nobody.
      await expecting(who, [/401/], () => setUp(who, token));
      await who.context.close();
    } finally {
      await stop();
    }
  });
}

/** @param {Person} who @param {string} token */
async function setUp({ page, context }, token) {
  await page.goto("/");
  await page.waitForURL(/\/set-up$/);
  await settled(page);
  const { violations } = await new AxeBuilder({ page })
    .withTags(["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"])
    .analyze();
  assert.deepEqual(
    violations.map((v) => v.id),
    [],
  );
  await page.getByLabel("Token from the console").fill(token);
  await page.getByLabel("Name of the shop").fill("Trial shop");
  await page.getByLabel("Your name").fill("First Owner");
  await page.getByLabel("E-mail").fill("first@trial.example.org");
  await page.getByLabel("Password").fill("seven quiet anvils ring");
  await page.getByRole("button", { name: "Open the shop" }).click();
  await page.waitForURL(/\/shop$/);
  await settled(page);
  await page.getByText("No jobs yet").waitFor();
  const again = await context.request.post("/api/setup", { data: {} });
  assert.ok(again.status() >= 400, "a second shop is not set up");
}
