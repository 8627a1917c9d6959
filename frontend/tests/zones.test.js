// Which zone of a frame somebody means, on the layouts that are delivered.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { meant, named } from "../lib/frames.js";

const read = (path) => JSON.parse(readFileSync(new URL(`../../seeds/${path}`, import.meta.url), "utf8"));
const { zones } = read("frames/perimeter-ladder.json");
for (const zone of zones) zone.id = zone.code;
const ids = (found) => found.map((z) => z.id);

test("a zone is found by the beginnings of words, in any order", () => {
  const both = ids(named(zones, "rear rai"));
  assert.ok(both.length > 1);
  assert.ok(
    both.every((id) =>
      zones
        .find((z) => z.id === id)
        .name.toLowerCase()
        .includes("rear"),
    ),
  );
  const one = ids(named(zones, "LEFT, horn"));
  assert.deepEqual(one, ["left-front-rail-horn"]);
  assert.deepEqual(named(zones, "  "), []);
  assert.deepEqual(named(zones, "gunwale"), []);
});

test("a task's words pick a zone only when they can mean no other", () => {
  // Said the same way with and without the article.
  assert.equal(
    meant([{ id: "a", name: "Left rail, ahead of the rear wheel" }], "left rail ahead of rear wheel"),
    "a",
  );
  assert.equal(meant(zones, "left rail"), "", "several have these words");
  assert.equal(meant(zones, "crossmember"), "", "one word is too little to go by");
  assert.equal(meant(zones, "body mounts"), "", "no zone by that name");
  assert.equal(meant(zones, ""), "");
  const tasks = read("templates/perimeter-frame.json").tasks;
  let picked = 0;
  for (const { zone } of tasks) {
    const name = zones.find((z) => z.id === meant(zones, zone ?? ""))?.name.toLowerCase();
    if (!name) continue;
    picked += 1;
    for (const side of ["left", "right"]) assert.equal(name.includes(side), zone.includes(side), zone);
  }
  assert.ok(picked > 1, "the delivered template names zones");
});
