// What the program really sends: every script and style by itself, compressed as browsers ask for it.

import assert from "node:assert/strict";
import { readdirSync } from "node:fs";
import { request } from "node:http";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

/** @import { Story } from "./story.mjs" */

/** All scripts and styles together, from screens of the design. */
const budget = 120 * 1024;
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

/** @param {Story} story */
export async function weighs({ told, demo }) {
  await told.step("all scripts and styles as the program sends them: under 120 KB", async () => {
    const all = files("");
    assert.ok(all.length > 50, "the files were found");
    // Right after the start the program still presses its files; visitors get the quick form meanwhile.
    const ends = Date.now() + 90_000;
    let sizes = await Promise.all(all.map((path) => bytes(demo.base + path)));
    while (sizes.some((size) => size.how !== "br") && Date.now() < ends) {
      await new Promise((again) => setTimeout(again, 500));
      sizes = await Promise.all(all.map((path) => bytes(demo.base + path)));
    }
    const sum = sizes.reduce((total, size) => total + size.sum, 0);
    console.log(`      ${all.length} files, ${sum} bytes, ${(sum / 1024).toFixed(1)} KB`);
    assert.ok(sum < budget, `${sum} bytes`);
  });
}
