import assert from "node:assert/strict";
import { test } from "node:test";
import { find, match } from "../lib/router.js";
import { home, navigation, routes } from "../lib/routes.js";

test("addresses fit their pattern", () => {
  const cases = [
    ["/shop", "/shop", {}],
    ["/shop", "/shop/", {}],
    ["/shop", "/shop/jobs", undefined],
    ["/shop/jobs/:job/:tab?", "/shop/jobs/7", { job: "7", tab: "" }],
    ["/shop/jobs/:job/:tab?", "/shop/jobs/7/hours", { job: "7", tab: "hours" }],
    ["/shop/jobs/:job/:tab?", "/shop/jobs", undefined],
    ["/shop/jobs/:job/:tab?", "/shop/jobs/7/hours/x", undefined],
    ["/c/:name", "/c/a%2Fb", { name: "a/b" }],
    ["/c/:name", "/c/%E0%A4%A", undefined],
  ];
  for (const [pattern, path, want] of cases)
    assert.deepEqual(match(pattern, path), want, `${pattern} ${path}`);
});

test("a new job is not a job called new", () => {
  assert.equal(find(routes, "/shop/jobs/new")?.route.path, "/shop/jobs/new");
  assert.equal(find(routes, "/shop/jobs/00000000-0000-7000-8000-0000000000a1")?.params.tab, "");
  assert.equal(find(routes, "/nowhere"), undefined);
});

test("every link of the navigation leads to a page of its own face", () => {
  for (const [role, links] of Object.entries(navigation)) {
    for (const [to] of [...links, [home[role]]]) {
      const who = find(routes, to)?.route.who;
      assert.ok(who === role || (who === "shop" && role !== "client"), `${to} for ${role} is of ${who}`);
    }
  }
});
