// @ts-check
// The only place that calls fetch (api.d.ts beside it is the generated contract). Paths, bodies and answers are typed by the contract.
//
//   const page = await get("/api/jobs/{job}", { path: { job } });
//   const next = await put("/api/jobs/{job}", { path: { job }, body: draft, version: page.job.version });
//
// A refusal becomes an ApiProblem, a dead network a NetworkProblem. A GET is tried once more when the
// network fails; a write never is, except by its caller with the same key.

/** @import { Answer, CallOptions, Method, PathsWith, Problem } from "./contract.js" */

/** A refusal by the server: a problem document (RFC 9457). */
export class ApiProblem extends Error {
  /** @param {Problem} problem */
  constructor(problem) {
    super(problem.detail || problem.title);
    this.name = "ApiProblem";
    this.status = problem.status;
    this.type = problem.type;
    this.title = problem.title;
    this.detail = problem.detail;
    this.instance = problem.instance ?? "";
    this.errors = problem.errors ?? [];
    /** @type {unknown} */
    this.evidence = problem.evidence;
  }

  /** Somebody else saved first. */
  get stale() {
    return this.status === 412 || this.status === 428;
  }
}

/** The network did not answer. */
export class NetworkProblem extends Error {
  /** @param {unknown} cause */
  constructor(cause) {
    super("The server cannot be reached. Check the connection and try again.", { cause });
    this.name = "NetworkProblem";
  }
}

/** Operations on which the contract demands an Idempotency-Key; a test compares this with the contract. */
export const keyed = new Set([
  "post /api/jobs/{job}/remainders",
  "post /api/remainders/{remainder}/void",
  "post /api/people",
  "post /api/jobs",
  "post /api/jobs/import",
  "post /api/templates",
  "post /api/jobs/{job}/tasks/{task}/release",
  "post /api/jobs/{job}/tasks/{task}/open",
  "post /api/jobs/{job}/quotes",
  "post /api/quotes/{quote}/withdraw",
  "post /api/quotes/{quote}/decision",
  "post /api/bench/clock/start",
  "post /api/bench/clock/switch",
  "post /api/bench/clock/stop",
  "post /api/bench/hours",
  "post /api/bench/hours/{entry}/correction",
  "post /api/client/quotes/{quote}/decision",
  "post /api/jobs/{job}/observations",
  "post /api/observations/{observation}/void",
  "post /api/jobs/{job}/photos",
  "post /api/jobs/{job}/findings",
  "post /api/findings/{finding}/dismiss",
  "post /api/jobs/{job}/orders",
  "post /api/jobs/{job}/inspection",
  "post /api/jobs/{job}/options/{option}/order",
  "post /api/orders/{order}/send",
  "post /api/orders/{order}/withdraw",
  "post /api/orders/{order}/decision",
  "post /api/orders/{order}/messages",
  "post /api/jobs/{job}/authorisers",
  "post /api/authorisers/{authoriser}/end",
  "post /api/jobs/{job}/money/override",
  "post /api/jobs/{job}/payments",
  "post /api/payments/{payment}/void",
  "post /api/jobs/{job}/lines/{line}/supply",
  "post /api/jobs/{job}/letters",
  "post /api/client/orders/{order}/decision",
  "post /api/client/orders/{order}/messages",
]);

/** A new idempotency key. `crypto.randomUUID` exists only on HTTPS and localhost; this works on a shop's plain LAN too. */
export function newKey() {
  if (typeof crypto.randomUUID === "function") return crypto.randomUUID();
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (b) => b.toString(16).padStart(2, "0")).join(
    "",
  );
}

let skew = 0;

/** The instant now by the server's clock, so that an entry typed on a phone whose clock is wrong is right. */
export function now() {
  return new Date(Date.now() + skew);
}

/** @param {Response} response */
function learnClock(response) {
  const date = Date.parse(response.headers.get("Date") ?? "");
  if (Number.isNaN(date)) return;
  const difference = date - Date.now();
  // The header has whole seconds: a smaller difference is no difference.
  skew = Math.abs(difference) < 2000 ? 0 : difference;
}

/**
 * Fills `{name}` in a path and adds the query.
 * @param {string} path
 * @param {unknown} [given] values by name
 * @param {unknown} [query] values by name; empty ones are left out
 */
export function address(path, given, query) {
  const values = /** @type {Record<string, unknown> | undefined} */ (given);
  const filled = path.replace(/\{(\w+)\}/g, (_, name) => {
    const value = values?.[name];
    if (value === undefined || value === "") throw new TypeError(`no value for {${name}} in ${path}`);
    // A colon is legal in a path segment (RFC 3986, 3.3) and the contract uses it.
    return encodeURIComponent(String(value)).replace(/%3A/g, ":");
  });
  const search = new URLSearchParams();
  for (const [name, value] of Object.entries(/** @type {Record<string, unknown>} */ (query ?? {}))) {
    if (value !== undefined && value !== null && value !== "") search.set(name, String(value));
  }
  const text = search.toString();
  return text ? `${filled}?${text}` : filled;
}

/** Here a 401 says that the password is wrong, not that nobody is signed in. */
const passwords = new Set(["post /api/sessions", "put /api/me/password"]);

/** @type {Set<() => void>} */
const signedOut = new Set();

/** Calls back when any call is refused because nobody is signed in. @param {() => void} callback */
export function onSignedOut(callback) {
  signedOut.add(callback);
}

/**
 * One call, untyped: for the offline queue, which keeps calls as data. Screens use get, post, put, remove.
 * @param {Method} method
 * @param {string} path
 * @param {{ path?: unknown, query?: unknown, body?: unknown, version?: number, key?: string, signal?: AbortSignal }} [options]
 * @returns {Promise<unknown>}
 */
export async function call(method, path, options = {}) {
  const url = address(path, options.path, options.query);
  /** @type {Record<string, string>} */
  const headers = { Accept: "application/json, application/problem+json" };
  /** @type {RequestInit} */
  const init = { method: method.toUpperCase(), headers, credentials: "same-origin", cache: "no-store" };
  if (options.signal) init.signal = options.signal;
  const { body } = options;
  if (body !== undefined) {
    // A photo goes as its bytes; the server tells its type by them.
    const bytes = body instanceof Blob;
    headers["Content-Type"] = bytes ? "application/octet-stream" : "application/json";
    init.body = bytes ? body : JSON.stringify(body);
  }
  if (options.version !== undefined) headers["If-Match"] = `"v${options.version}"`;
  if (options.key !== undefined || keyed.has(`${method} ${path}`))
    headers["Idempotency-Key"] = options.key ?? newKey();
  const response = await reach(url, init, method === "get" ? 2 : 1);
  learnClock(response);
  if (response.ok) return response.status === 204 ? undefined : readJson(response);
  const problem = await readProblem(response);
  if (problem.status === 401 && !passwords.has(`${method} ${path}`))
    for (const callback of signedOut) callback();
  throw problem;
}

/**
 * @param {string} url
 * @param {RequestInit} init
 * @param {number} tries
 * @returns {Promise<Response>}
 */
async function reach(url, init, tries) {
  try {
    return await fetch(url, init);
  } catch (error) {
    if (init.signal?.aborted) throw error;
    if (tries > 1) return reach(url, init, tries - 1);
    throw new NetworkProblem(error);
  }
}

/** @param {Response} response */
async function readJson(response) {
  try {
    return await response.json();
  } catch (error) {
    // The answer broke off on its way: for the caller that is the same as no answer.
    throw new NetworkProblem(error);
  }
}

/** @param {Response} response */
async function readProblem(response) {
  /** @type {Problem} */
  let problem = {
    type: "about:blank",
    title: response.statusText || "Refused",
    status: response.status,
    detail:
      response.status >= 500
        ? "The server could not do this just now. Nothing was changed; try again."
        : "The server refused this.",
  };
  if ((response.headers.get("Content-Type") ?? "").includes("json")) {
    try {
      problem = { ...problem, ...(await response.json()) };
    } catch {
      // Keep the plain words above.
    }
  }
  return new ApiProblem({ ...problem, status: response.status });
}

/**
 * @template {PathsWith<"get">} P
 * @param {P} path
 * @param {CallOptions<"get", P>} options
 * @returns {Promise<Answer<"get", P>>}
 */
export async function get(path, options) {
  return /** @type {Answer<"get", P>} */ (await call("get", path, options));
}

/**
 * @template {PathsWith<"post">} P
 * @param {P} path
 * @param {CallOptions<"post", P>} options
 * @returns {Promise<Answer<"post", P>>}
 */
export async function post(path, options) {
  return /** @type {Answer<"post", P>} */ (await call("post", path, options));
}

/**
 * @template {PathsWith<"put">} P
 * @param {P} path
 * @param {CallOptions<"put", P>} options
 * @returns {Promise<Answer<"put", P>>}
 */
export async function put(path, options) {
  return /** @type {Answer<"put", P>} */ (await call("put", path, options));
}

/**
 * @template {PathsWith<"delete">} P
 * @param {P} path
 * @param {CallOptions<"delete", P>} options
 * @returns {Promise<Answer<"delete", P>>}
 */
export async function remove(path, options) {
  return /** @type {Answer<"delete", P>} */ (await call("delete", path, options));
}

/**
 * Whether the server has another version of the pages by now: files that this one still needs are gone with it.
 * What was kept of it is dropped. Asked past the worker, which answers no HEAD.
 */
export async function replaced() {
  const script = document.querySelector("script[type=module]")?.getAttribute("src") ?? "";
  const answer = await fetch(script, { method: "HEAD" }).catch(() => undefined);
  if (answer?.status !== 404) return false;
  for (const name of (await globalThis.caches?.keys()) ?? []) await caches.delete(name);
  return true;
}
