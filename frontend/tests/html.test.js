import assert from "node:assert/strict";
import { test } from "node:test";
import { attr, html, safe } from "../lib/html.js";

test("every character that can end text or an attribute is escaped", () => {
  assert.equal(
    safe(`<img src=x onerror="a('b')">&`),
    "&lt;img src=x onerror=&quot;a(&#39;b&#39;)&quot;&gt;&amp;",
  );
});

test("values are escaped in text, attributes and lists", () => {
  const bad = `"><script>1</script>`;
  const made = html`<p title="${bad}">${bad}${[bad, html`<b>${bad}</b>`]}</p>`.text;
  assert.ok(!made.includes("<script>"), made);
  assert.equal(made.split("&lt;script&gt;").length - 1, 4);
  assert.ok(made.includes("<b>"), "markup made by the tag stays markup");
});

test("a string that looks like markup of ours is still text", () => {
  const forged = { text: "<b>", nodes: [], toString: () => "<b>" };
  assert.equal(html`${forged}`.text, "&lt;b&gt;");
  assert.equal(html`${'<template data-node="0"></template>'}`.text.includes("<template"), false);
});

test("nothing is shown for null, undefined and booleans; zero is a figure", () => {
  assert.equal(html`[${null}${undefined}${true}${false}${0}]`.text, "[0]");
});

test("attributes that are there or not", () => {
  assert.equal(attr("disabled", true).text, "disabled");
  assert.equal(attr("disabled", false).text, "");
  assert.equal(attr("title", `a"b`).text, `title="a&quot;b"`);
  assert.throws(() => attr("onclick", "x"), TypeError);
  assert.throws(() => attr("a b", "x"), TypeError);
});
