// People at their devices: each has a browser of their own, and whatever their pages complain about is kept.

import { chromium } from "playwright-core";

export const desk = { width: 1280, height: 900 };
export const phone = { width: 390, height: 844 };

/** @returns {Promise<import("playwright-core").Browser>} */
export function openBrowser() {
  return chromium.launch({
    executablePath: process.env["CHROMIUM"] || "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-dev-shm-usage"],
  });
}

/**
 * @typedef {object} Person
 * @property {string} name
 * @property {import("playwright-core").BrowserContext} context
 * @property {import("playwright-core").Page} page
 * @property {string[]} complaints what the pages complained about, since last asked
 * @property {RegExp[]} expected complaints that belong to what is being done just now
 */

/**
 * Somebody with a browser.
 * @param {import("playwright-core").Browser} browser
 * @param {string} base
 * @param {string} name
 * @param {{ size?: { width: number, height: number }, dark?: boolean, worker?: boolean }} [device]
 * @returns {Promise<Person>}
 */
export async function person(browser, base, name, { size = desk, dark = false, worker = false } = {}) {
  const context = await browser.newContext({
    baseURL: base,
    viewport: size,
    colorScheme: dark ? "dark" : "light",
    hasTouch: size.width < 600,
    locale: "en-GB",
    reducedMotion: "reduce",
    // Without the worker every request is seen here; one step has it, to open the bench with no network.
    serviceWorkers: worker ? "allow" : "block",
  });
  context.setDefaultTimeout(30_000);
  /** @type {Person} */
  const who = {
    name,
    context,
    page: await context.newPage(),
    complaints: [],
    expected: [/Service Worker registration blocked/],
  };
  context.on("page", (page) => listen(page, who));
  listen(who.page, who);
  return who;
}

/** @param {import("playwright-core").Page} page @param {Person} who */
function listen(page, who) {
  const note = (/** @type {string} */ text) => {
    if (!who.expected.some((allowed) => allowed.test(text))) who.complaints.push(`${who.name}: ${text}`);
  };
  page.on("pageerror", (error) => note(`page error: ${error.message}`));
  page.on("console", (message) => {
    if (message.type() !== "error" && message.type() !== "warning") return;
    note(`console ${message.type()}: ${message.text()} ${message.location().url}`);
  });
  page.on("response", (response) => {
    if (response.status() >= 400)
      note(`${response.status()} ${response.request().method()} ${response.url()}`);
  });
  page.on("requestfailed", (request) => {
    const why = request.failure()?.errorText ?? "";
    // A page that is left ends its calls and its event stream: that is no failure.
    if (why !== "net::ERR_ABORTED") note(`request failed: ${why} ${request.method()} ${request.url()}`);
  });
}

/** Does something of which the pages may complain in the given ways. @template T @param {Person} who @param {RegExp[]} allowed @param {() => Promise<T>} act @returns {Promise<T>} */
export async function expecting(who, allowed, act) {
  who.expected.push(...allowed);
  try {
    return await act();
  } finally {
    // The console reports a moment after the answer.
    await who.page.waitForTimeout(150).catch(() => {});
    who.expected.splice(who.expected.length - allowed.length, allowed.length);
  }
}

/** @param {Person} who @param {string} email @param {string} password */
export async function signIn({ page }, email, password) {
  await page.goto("/sign-in");
  await page.getByLabel("E-mail").fill(email);
  await page.getByLabel("Password").fill(password);
  await page.getByRole("button", { name: "Sign in" }).click();
  await page.waitForURL((url) => url.pathname !== "/sign-in");
  await settled(page);
}

/** The view stands. @param {import("playwright-core").Page} page */
export async function settled(page) {
  await page.locator("main .view h1").first().waitFor();
  await page.locator("main:not([aria-busy])").waitFor();
}

/** @param {Person} who @param {string} path */
export async function open(who, path) {
  await who.page.goto(path);
  await settled(who.page);
}
