// What the program really sends: every script and style by itself, compressed as browsers ask for it.

import assert from "node:assert/strict";
import { request } from "node:http";
import { expecting, person, settled, signIn } from "./people.mjs";

/** @import { Story } from "./story.mjs" */

/**
 * All scripts and styles that a person can come to be sent, compressed, with everything that the face opens:
 * DEVELOPERS.md says where it goes. Nobody opens two faces; technicians and clients sit on telephones.
 * @type {Record<string, { groups: RegExp, most: number }>}
 */
const faces = {
  owner: { groups: /^(access|floor|shop)-/, most: 147 * 1024 },
  technician: { groups: /^(access|floor|bench)-/, most: 66 * 1024 },
  client: { groups: /^(access|client)-/, most: 47 * 1024 },
};

/** The same of all faces together, each file once. */
const allBudget = 175 * 1024;

/** Scripts and styles of a first screen, compressed: what stands between a visitor and the page. */
const firstBudget = 31 * 1024;

/** Bytes of the body on the wire and how it came. @param {string} address @returns {Promise<{sum: number, how: string}>} */
function bytes(address) {
  return new Promise((done, fail) => {
    const asked = request(address, { headers: { "Accept-Encoding": "gzip, deflate, br" } }, (answer) => {
      let sum = 0;
      answer.on("data", (chunk) => {
        sum += chunk.length;
      });
      answer.on("end", () =>
        answer.statusCode === 200
          ? done({ sum, how: answer.headers["content-encoding"] ?? "" })
          : fail(new Error(`${answer.statusCode} for ${address}`)),
      );
    });
    asked.on("error", fail);
    asked.end();
  });
}

/** As many as a first screen may ask for, the page and the server's answers among them. */
const most = 20;

/**
 * What a device that was never here asks for until the screen stands.
 * @param {Story} story @param {string} name @param {string} path @param {string} [email]
 */
async function firstScreen({ browser, demo }, name, path, email) {
  const who = await person(browser, demo.base, name);
  try {
    if (email) {
      // Signed in, but with nothing kept of the pages.
      await signIn(who, email, demo.password);
      const cookies = await who.context.cookies();
      await who.context.close();
      Object.assign(who, await person(browser, demo.base, name));
      await who.context.addCookies(cookies);
    }
    /** @type {string[]} */
    const asked = [];
    /** @type {Promise<number>[]} */
    const weights = [];
    who.page.on("request", (request) => asked.push(new URL(request.url()).pathname));
    who.page.on("requestfinished", (request) => {
      if (/\.(js|css)$/.test(new URL(request.url()).pathname))
        weights.push(request.sizes().then((size) => size.responseBodySize));
    });
    await who.page.goto(path);
    await settled(who.page);
    await who.page.waitForLoadState("load");
    const weight = (await Promise.all(weights)).reduce((sum, one) => sum + one, 0);
    const kinds = (/** @type {RegExp} */ kind) => asked.filter((a) => kind.test(a)).length;
    console.log(
      `      ${name}: ${asked.length} requests, ${kinds(/\.js$/)} scripts, ${kinds(/\.css$/)} styles, ${kinds(/^\/api\//)} answers, ${(weight / 1024).toFixed(1)} KB of scripts and styles`,
    );
    assert.ok(weight > 10_000 && weight < firstBudget, `${name}: ${weight} bytes of scripts and styles`);
    assert.ok(asked.length > 5, `${asked.length} requests were seen`);
    assert.ok(asked.length <= most, `${asked.length} requests: ${asked.join(" ")}`);
    // The browser asks for the icon at each new address.
    const once = asked.filter((a) => a !== "/icon.svg");
    assert.equal(new Set(once).size, once.length, `nothing is asked for twice: ${asked.join(" ")}`);
  } finally {
    await who.context.close();
  }
}

const inFiles = /"\.\/([\w-]+-\w+\.js)"/g;
const inPage = /(?:href|src)="(\/[^"]+\.(?:js|css))"/g;

/** What the front page names, once it names joined files. @param {string} base */
async function page(base) {
  for (const ends = Date.now() + 60_000; ; await new Promise((again) => setTimeout(again, 200))) {
    const text = await (await fetch(`${base}/`)).text();
    const names = [...text.matchAll(inPage)].map(([, name]) => name);
    if (names.some((name) => name.startsWith("/joined/")) || Date.now() > ends) return names;
  }
}

/**
 * The files that a script loads, itself included: with those that it loads on demand or without.
 * @param {string} base @param {string} name @param {boolean} later @param {Set<string>} found
 */
async function loads(base, name, later, found) {
  if (found.has(name)) return found;
  found.add(name);
  const text = await (await fetch(base + name)).text();
  const all = [...text.matchAll(inFiles)];
  const wanted = later ? all : all.filter(({ index }) => text[index - 1] !== "(");
  for (const [, next] of wanted) await loads(base, `/joined/${next}`, later, found);
  return found;
}

/** @param {Story} story */
export async function weighs(story) {
  const { told, demo } = story;
  await told.step(
    "scripts and styles of each face as the program sends them stay in their budgets",
    async () => {
      const first = await page(demo.base);
      const entry = first.find((name) => name.startsWith("/joined/app-")) ?? "";
      assert.ok(entry, `the page names joined files: ${first.join(" ")}`);
      const all = [...(await loads(demo.base, entry, true, new Set(first.filter((n) => n !== entry))))];
      // Preloaded files were not looked into yet.
      for (const name of first.filter((n) => n.startsWith("/joined/") && n.endsWith(".js") && n !== entry))
        for (const more of await loads(demo.base, name, true, new Set()))
          if (!all.includes(more)) all.push(more);
      // Right after the start the program still presses its files; visitors get the quick form meanwhile.
      const ends = Date.now() + 90_000;
      let sizes = await Promise.all(all.map((path) => bytes(demo.base + path)));
      while (sizes.some((size) => size.how !== "br") && Date.now() < ends) {
        await new Promise((again) => setTimeout(again, 500));
        sizes = await Promise.all(all.map((path) => bytes(demo.base + path)));
      }
      const sum = (/** @type {Iterable<string>} */ names) =>
        [...names].reduce((total, name) => total + (sizes[all.indexOf(name)]?.sum ?? Number.NaN), 0);
      const kb = (/** @type {number} */ n) => `${(n / 1024).toFixed(1)} KB`;
      console.log(`      all ${all.length} files: ${kb(sum(all))} of ${kb(allBudget)}`);
      assert.ok(sum(all) < allBudget, `all: ${sum(all)} bytes`);
      for (const [face, { groups, most }] of Object.entries(faces)) {
        const own = new Set(first);
        const opened = all.filter((name) => groups.test(name.replace("/joined/", "")));
        assert.ok(opened.length > 1, `${face} has files of its own: ${all.join(" ")}`);
        for (const group of opened)
          for (const name of await loads(demo.base, group, false, new Set())) own.add(name);
        console.log(`      ${face}: ${own.size} files, ${kb(sum(own))} of ${kb(most)}`);
        assert.ok(sum(own) < most, `${face}: ${sum(own)} bytes`);
      }
    },
  );
  await told.step(`a first screen asks for at most ${most} things, each once`, async () => {
    await firstScreen(story, "sign-in", "/sign-in");
    await firstScreen(story, "the owner's jobs", "/shop", demo.owner);
    await firstScreen(story, "the technician's day", "/bench", demo.technician);
    await firstScreen(story, "the client's car", demo.client.slice(demo.base.length));
  });
  await told.step("a page from before an upgrade loads itself anew when its files are gone", () =>
    outlives(story),
  );
}

/** @param {Story} story */
async function outlives({ browser, demo }) {
  const who = await person(browser, demo.base, "the day before");
  try {
    await signIn(who, demo.owner, demo.password);
    const app = (await page(demo.base)).find((name) => name.startsWith("/joined/app-")) ?? "";
    const old = "/joined/app-00000000.js";
    let pages = 0;
    await who.page.route(/\/shop\/people$/, async (route) => {
      pages++;
      const text = await (await fetch(`${demo.base}/`)).text();
      await route.fulfill({
        contentType: "text/html",
        body: pages === 1 ? text.replaceAll(app, old) : text,
      });
    });
    // The old page's own script came when it was opened; at the server neither it nor what it leads to is left.
    await who.page.route(`**${old}`, async (route) => {
      if (route.request().method() === "HEAD") return route.continue();
      const body = await (await fetch(demo.base + app)).text();
      await route.fulfill({ contentType: "text/javascript", body });
    });
    await who.page.route("**/joined/shop-desk-*", (route) =>
      pages === 1 ? route.fulfill({ status: 404, body: "gone" }) : route.continue(),
    );
    await expecting(who, [/404/], async () => {
      await who.page.goto("/shop/people");
      await who.page.getByRole("heading", { level: 1, name: "People" }).waitFor();
    });
    assert.equal(pages, 2, "it was loaded twice");
  } finally {
    await who.context.close();
  }
}
