// @ts-check
// Keeps the shell on the device so that the bench opens at once, and without a network. Answers of /api are
// never kept here: what a technician may read offline is the last Today, kept by the page with its time.
// What is kept is shown at once. Behind each opened page all of it is compared with the server's; when
// anything is new, all of it is taken together, and open pages are told to load afresh at their next step.

const kept = "bareframe shell 2";

// The shell and the bench. A test walks the imports and fails when one is missing here.
const shell = [
  "/",
  "/app.css",
  "/drawing.css",
  "/faces.css",
  "/shop.css",
  "/print.css",
  "/icon.svg",
  "/manifest.webmanifest",
  "/components/bf-dialog.js",
  "/components/bf-problem.js",
  "/components/bf-toast.js",
  "/components/frame/bf-frame.js",
  "/components/frame/picture.js",
  "/components/frame/plan.js",
  "/components/frame/seen.js",
  "/components/frame/table.js",
  "/components/frame/words.js",
  "/components/photos.js",
  "/components/roster-words.js",
  "/lib/app.js",
  "/lib/bench.js",
  "/lib/call.js",
  "/lib/events.js",
  "/lib/form.js",
  "/lib/format.js",
  "/lib/frames.js",
  "/lib/head.js",
  "/lib/html.js",
  "/lib/part.js",
  "/lib/photos.js",
  "/lib/queue.js",
  "/lib/router.js",
  "/lib/routes.js",
  "/lib/session.js",
  "/lib/shelf.js",
  "/lib/store.js",
  "/lib/theme.js",
  "/lib/words.js",
  "/views/access/sign-in.js",
  "/views/bench/acts.js",
  "/views/bench/cards.js",
  "/views/bench/found.js",
  "/views/bench/hours.js",
  "/views/bench/report-parts.js",
  "/views/bench/report.js",
  "/views/bench/tasks.js",
  "/views/bench/today.js",
];

/**
 * What this file uses of a service worker; the page's types know nothing of one.
 * @typedef {{ addEventListener: (type: string, handler: (event: ShellEvent) => void) => void, skipWaiting: () => Promise<void>, clients: { claim: () => Promise<void>, matchAll: () => Promise<{ postMessage: (message: unknown) => void }[]> } }} ShellWorker
 * @typedef {Event & { request: Request, waitUntil: (work: Promise<unknown>) => void, respondWith: (answer: Promise<Response>) => void }} ShellEvent
 */
const worker = /** @type {ShellWorker} */ (/** @type {unknown} */ (self));

worker.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(kept)
      .then((cache) => cache.addAll(shell.map((path) => new Request(path, { cache: "no-cache" }))))
      .then(() => worker.skipWaiting()),
  );
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter((name) => name !== kept).map((name) => caches.delete(name))))
      .then(() => worker.clients.claim()),
  );
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  // A calendar is for whoever holds its address, and never kept here.
  if (url.pathname.startsWith("/calendar/")) return;
  if (url.pathname.startsWith("/api/") || url.pathname === "/healthz" || url.pathname === "/readyz") return;
  const page = request.mode === "navigate";
  // Every page address is the same document.
  event.respondWith(answer(request, page ? "/" : url.pathname));
  if (page)
    event.waitUntil(
      later()
        .then(compare)
        .catch(() => {}),
    );
});

/** @param {Request} request @param {string} name @returns {Promise<Response>} */
async function answer(request, name) {
  const cache = await caches.open(kept);
  const copy = await cache.match(name);
  if (copy) return copy;
  const fresh = await fetch(request);
  if (fresh.ok && fresh.type === "basic") await cache.put(name, fresh.clone());
  return fresh;
}

/** The page's own calls come first. */
function later() {
  return new Promise((resolve) => setTimeout(resolve, 3000));
}

/** Takes what is new at the server, all of it or none. */
async function compare() {
  const cache = await caches.open(kept);
  const old = (await cache.keys()).map((request) => new URL(request.url).pathname);
  // Joined files have other names when they are new; this file's list at the server says which.
  const list = await (await fetch("/sw.js", { cache: "no-cache" })).text();
  const names = [
    ...new Set([...old, ...Array.from(list.matchAll(/"(\/joined\/[\w.-]+)"/g), ([, name = ""]) => name)]),
  ];
  const fresh = await Promise.all(
    names.map(async (name) => /** @type {const} */ ([name, await fetch(name, { cache: "no-cache" })])),
  );
  const had = new Map(
    await Promise.all(names.map(async (name) => /** @type {const} */ ([name, await cache.match(name)]))),
  );
  const mark = (/** @type {Response | undefined} */ response) => response?.headers.get("ETag");
  // A file that is gone belongs to a page that nobody opens any more.
  await Promise.all(fresh.map(([name, { status }]) => status === 404 && cache.delete(name)));
  const there = fresh.filter(([, response]) => response.ok);
  if (there.every(([name, response]) => mark(response) === mark(had.get(name)))) return;
  await Promise.all(there.map(([name, response]) => cache.put(name, response)));
  for (const client of await worker.clients.matchAll()) client.postMessage("new shell");
}
