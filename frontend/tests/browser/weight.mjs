// What the program really sends: every script and style by itself, compressed as browsers ask for it.

import assert from "node:assert/strict";
import { readdirSync } from "node:fs";
import { request } from "node:http";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { person, settled, signIn } from "./people.mjs";

/** @import { Story } from "./story.mjs" */

/**
 * All scripts and styles that a person can come to be sent, compressed. Nobody opens two faces; technicians and
 * clients sit on telephones. The owner's passes the 120 KB that all were to stay in, since editors of templates,
 * prices, sheets and texts came to it; each comes when its screen is opened, and what a first screen weighs is
 * bounded below. DEVELOPERS.md says what would bring it back.
 */
const budgets = { shop: 156 * 1024, bench: 75 * 1024, client: 75 * 1024 };

/** Scripts and styles of a first screen, compressed: what stands between a visitor and the page. */
const firstBudget = 40 * 1024;

/** What only comes when a template is opened has a bound of its own, beside the owner's other screens. */
const editor = /\/(views\/shop\/template(-sheets)?|components\/shop-(plan(-rows)?|sample))\.js$/;
const editorBudget = 16 * 1024;

/** The floor comes when it is opened, to owners and to technicians. */
const floor = /\/(views\/shop\/floor(-acts)?|components\/floor\/[\w-]+)\.js$/;
const floorBudget = 20 * 1024;

/** A face leaves out the views of the others, and what only the owner's views use. @param {string} face @param {string} path */
function belongs(face, path) {
  if (editor.test(path) || floor.test(path)) return false;
  const [, views, of] = path.match(/^\/(views)\/(\w+)\//) ?? [];
  if (views) return of === face || of === "access";
  return face === "shop" || !/\/shop(-[\w-]+)?\.(js|css)$/.test(path) || path.endsWith(".css");
}

const front = join(dirname(fileURLToPath(import.meta.url)), "../..");

/** @param {string} folder @returns {string[]} addresses */
function files(folder) {
  return readdirSync(join(front, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = `${folder}/${entry.name}`;
    if (entry.isDirectory()) return path === "/tests" ? [] : files(path);
    return /\.(js|css)$/.test(entry.name) ? [path] : [];
  });
}

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
const most = 40;

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
    assert.ok(asked.length > 10, `${asked.length} requests were seen`);
    assert.ok(asked.length <= most, `${asked.length} requests: ${asked.join(" ")}`);
    assert.equal(new Set(asked).size, asked.length, `nothing is asked for twice: ${asked.join(" ")}`);
  } finally {
    await who.context.close();
  }
}

/** @param {Story} story */
export async function weighs(story) {
  const { told, demo } = story;
  await told.step(
    "scripts and styles of each face as the program sends them stay in their budgets",
    async () => {
      const all = files("");
      assert.ok(all.length > 50, "the files were found");
      // Right after the start the program still presses its files; visitors get the quick form meanwhile.
      const ends = Date.now() + 90_000;
      let sizes = await Promise.all(all.map((path) => bytes(demo.base + path)));
      while (sizes.some((size) => size.how !== "br") && Date.now() < ends) {
        await new Promise((again) => setTimeout(again, 500));
        sizes = await Promise.all(all.map((path) => bytes(demo.base + path)));
      }
      const sum = (/** @type {(path: string) => boolean} */ of) =>
        all.reduce((total, path, i) => total + (of(path) ? sizes[i].sum : 0), 0);
      const kb = (/** @type {number} */ n) => `${(n / 1024).toFixed(1)} KB`;
      console.log(`      all ${all.length} files: ${kb(sum(() => true))}`);
      const opened = sum((path) => editor.test(path));
      console.log(`      editor of templates: ${kb(opened)} of ${kb(editorBudget)}`);
      assert.ok(opened > 0 && opened < editorBudget, `editor of templates: ${opened} bytes`);
      const drawn = sum((path) => floor.test(path));
      console.log(`      floor: ${kb(drawn)} of ${kb(floorBudget)}`);
      assert.ok(drawn > 0 && drawn < floorBudget, `floor: ${drawn} bytes`);
      for (const [face, most] of Object.entries(budgets)) {
        const own = sum((path) => belongs(face, path));
        console.log(`      ${face}: ${kb(own)} of ${kb(most)}`);
        assert.ok(own < most, `${face}: ${own} bytes`);
      }
    },
  );
  await told.step(`a first screen asks for at most ${most} things, each once`, async () => {
    await firstScreen(story, "sign-in", "/sign-in");
    await firstScreen(story, "the owner's jobs", "/shop", demo.owner);
    await firstScreen(story, "the technician's day", "/bench", demo.technician);
  });
}
