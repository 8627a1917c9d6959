// A fresh demo server for one story: its own data folder, its own free port, stopped at the end.

import { spawn } from "node:child_process";
import { existsSync } from "node:fs";
import { mkdir, mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const patience = 60_000;

/** The program under test: BAREFRAME_BIN, or what `make build` made. */
export function program() {
  const path = resolve(process.env["BAREFRAME_BIN"] || "bin/bareframe");
  if (!existsSync(path)) throw new Error(`there is no ${path}; run make build first, or set BAREFRAME_BIN`);
  return path;
}

/**
 * What the demo prints about itself when it starts.
 * @typedef {{ base: string, password: string, owner: string, technician: string, client: string, deciding: string }} Demo
 */

/** @param {string} text @returns {Demo | undefined} */
function printed(text) {
  const base = /serves (http:\S+)/.exec(text)?.[1];
  const password = /Password for both sign-ins: (.+)/.exec(text)?.[1];
  const mail = (/** @type {string} */ who) => new RegExp(`^\\s*${who}\\s+(\\S+@\\S+)`, "m").exec(text)?.[1];
  const links = [...text.matchAll(/http\S+\/c#\S+/g)].map(([link]) => link);
  const [owner, technician] = [mail("owner"), mail("technician")];
  const [client, deciding] = links;
  if (!base || !password || !owner || !technician || !client || !deciding) return undefined;
  return { base, password, owner, technician, client, deciding };
}

/**
 * Starts it and answers once it has printed what is looked for.
 * @template T
 * @param {string[]} more arguments
 * @param {(text: string) => T | undefined} read what it printed
 * @returns {Promise<{ found: T, stop: () => Promise<void> }>}
 */
async function start(more, read) {
  await mkdir(tmpdir(), { recursive: true });
  const data = await mkdtemp(join(tmpdir(), "bareframe-story-"));
  const child = spawn(program(), ["serve", ...more, "--data", data, "--addr", "127.0.0.1:0"], {
    stdio: ["ignore", "pipe", "pipe"],
    env: { ...process.env, DATABASE_URL: "" },
  });
  let out = "";
  let log = "";
  child.stderr.on("data", (chunk) => {
    log += chunk;
  });
  const gone = new Promise((done) => child.once("exit", done));
  const stop = async () => {
    child.kill("SIGTERM");
    await Promise.race([gone, new Promise((done) => setTimeout(done, 15_000).unref())]);
    child.kill("SIGKILL");
    await rm(data, { recursive: true, force: true });
  };
  const found = await new Promise((done, fail) => {
    const late = setTimeout(() => fail(new Error(`the server did not start:\n${out}\n${log}`)), patience);
    child.once("exit", (code) => {
      clearTimeout(late);
      fail(new Error(`the server ended with ${code}:\n${log}`));
    });
    child.stdout.on("data", (chunk) => {
      out += chunk;
      const said = read(out);
      if (!said) return;
      clearTimeout(late);
      done(said);
    });
  }).catch(async (error) => {
    await stop();
    throw error;
  });
  return { found, stop };
}

/** With the demo. */
export async function startServer() {
  const { found, stop } = await start(["--demo"], printed);
  return { demo: found, stop };
}

/** Without a shop: it prints a one-time token. */
export async function startEmpty() {
  const { found, stop } = await start([], (text) => {
    const [, base, token] = /(http:\S+)\/set-up with this one-time token:\s+(\S+)\s/.exec(text) ?? [];
    return base && token ? { base, token } : undefined;
  });
  return { ...found, stop };
}
