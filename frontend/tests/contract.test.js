// What the frontend says by hand must agree with the contract and with its own files.
import assert from "node:assert/strict";
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { address, keyed } from "../lib/call.js";

const front = join(dirname(fileURLToPath(import.meta.url)), "..");
const types = readFileSync(join(front, "lib/api.d.ts"), "utf8");

test("an Idempotency-Key goes with exactly the operations whose contract demands one", () => {
  const [pathsPart, operationsPart] = types.split("export interface operations");
  const demanding = new Set();
  for (const [, name, body] of operationsPart.matchAll(/^ {4}(\w+): \{\n([\s\S]*?)^ {4}\};/gm)) {
    if (/"Idempotency-Key":/.test(body.split("requestBody")[0])) demanding.add(name);
  }
  const wanted = new Set();
  for (const [, path, body] of pathsPart.matchAll(/^ {4}"(\/[^"]*)": \{\n([\s\S]*?)^ {4}\};/gm)) {
    for (const [, method, name] of body.matchAll(/^ {8}(get|put|post|delete): operations\["(\w+)"\]/gm)) {
      if (demanding.has(name)) wanted.add(`${method} ${path}`);
    }
  }
  assert.ok(wanted.size > 5, "the contract was read");
  assert.deepEqual([...keyed].sort(), [...wanted].sort());
});

test("addresses are filled and quoted", () => {
  assert.equal(
    address("/api/jobs/{job}/price/{line}", { job: "a/b", line: "task:1" }),
    "/api/jobs/a%2Fb/price/task:1",
  );
  assert.equal(
    address("/api/jobs", undefined, { state: "quoted", cursor: undefined, limit: 5 }),
    "/api/jobs?state=quoted&limit=5",
  );
  assert.throws(() => address("/api/jobs/{job}", {}), TypeError);
});

/** Every module that a module loads, itself included. */
function reach(file, found = new Set()) {
  if (found.has(file)) return found;
  found.add(file);
  const text = readFileSync(join(front, file), "utf8");
  for (const [, target] of text.matchAll(
    /^(?:import|export)\s(?:[^;()]*?\sfrom\s)?["'](\.{1,2}\/[^"']+)["']/gm,
  )) {
    const next = normalize(join(dirname(file), target));
    assert.ok(existsSync(join(front, next)), `${file} imports ${target}`);
    reach(next, found);
  }
  return found;
}

test("the page asks for every module of its first screen at once", () => {
  const page = readFileSync(join(front, "index.html"), "utf8");
  const asked = [...page.matchAll(/rel="modulepreload" href="\/([^"]+)"/g)].map(([, path]) => path);
  const wanted = reach("views/access/sign-in.js", reach("lib/app.js"));
  wanted.delete("lib/app.js");
  assert.deepEqual(asked.sort(), [...wanted].sort());
});

test("the service worker keeps the shell and all of the bench", () => {
  const worker = readFileSync(join(front, "sw.js"), "utf8");
  const kept = new Set([...worker.matchAll(/^ {2}"(\/[^"]*)",$/gm)].map(([, path]) => path));
  const page = readFileSync(join(front, "index.html"), "utf8");
  const wanted = new Set([...page.matchAll(/(?:src|href)="(\/[^"]+)"/g)].map(([, path]) => path));
  wanted.add("/");
  const modules = new Set(reach("lib/app.js"));
  for (const view of readdirSync(join(front, "views/bench"))) reach(`views/bench/${view}`, modules);
  for (const file of modules) wanted.add(`/${file}`);
  assert.deepEqual([...kept].sort(), [...wanted].sort());
});

/** All files below a folder. */
function files(folder) {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    return statSync(path).isDirectory() ? files(path) : [path];
  });
}

const scripts = files(front).filter((f) => f.endsWith(".js") && !f.includes("/tests/"));

test("every script is checked, and only lib/call.js calls fetch", () => {
  for (const file of scripts) {
    const text = readFileSync(file, "utf8");
    const name = file.slice(front.length + 1);
    assert.ok(text.startsWith("// @ts-check"), `${name} starts with // @ts-check`);
    if (name === "lib/call.js" || name === "sw.js") continue;
    assert.ok(!/(?<![.\w])fetch\(|XMLHttpRequest/.test(text), `${name} calls fetch`);
  }
});

test("text becomes markup only in lib/html.js", () => {
  for (const file of scripts) {
    if (file.endsWith("lib/html.js")) continue;
    const text = readFileSync(file, "utf8");
    assert.ok(
      !/innerHTML|outerHTML|insertAdjacentHTML|document\.write|createContextualFragment/.test(text),
      file,
    );
  }
});

test("nothing the content security policy forbids: inline script, inline style, other hosts", () => {
  for (const file of [...scripts, join(front, "index.html")]) {
    const text = readFileSync(file, "utf8");
    assert.ok(!/<script(?![^>]*\ssrc=)[^>]*>[^<]/.test(text), `${file}: inline script`);
    assert.ok(!/\sstyle="/.test(text), `${file}: inline style`);
    assert.ok(!/\son[a-z]+="/.test(text), `${file}: inline handler`);
    const hosts = text.replace(/^\s*(\/\/|\*).*$/gm, "").match(/https?:\/\/(?!www\.w3\.org\/)[^\s"'`]+/g);
    assert.equal(hosts, null, `${file}: ${hosts}`);
  }
});
