// @ts-check
// Keeps the shell on the device so that the bench opens without a network. Answers of /api are never
// kept here: what a technician may read offline is the last Today, kept by the page with its time.
// The network comes first, so a new version is used at once; the kept copy stands in when it is slow or gone.

const kept = "bareframe shell 1";
const patience = 3000;

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
  "/lib/app.js",
  "/lib/bench.js",
  "/lib/call.js",
  "/lib/events.js",
  "/lib/form.js",
  "/lib/format.js",
  "/lib/head.js",
  "/lib/html.js",
  "/lib/part.js",
  "/lib/queue.js",
  "/lib/router.js",
  "/lib/routes.js",
  "/lib/session.js",
  "/lib/shelf.js",
  "/lib/store.js",
  "/lib/theme.js",
  "/lib/words.js",
  "/views/bench/acts.js",
  "/views/bench/cards.js",
  "/views/bench/hours.js",
  "/views/bench/tasks.js",
  "/views/bench/today.js",
];

/**
 * What this file uses of a service worker; the page's types know nothing of one.
 * @typedef {{ addEventListener: (type: string, handler: (event: ShellEvent) => void) => void, skipWaiting: () => Promise<void>, clients: { claim: () => Promise<void> } }} ShellWorker
 * @typedef {Event & { request: Request, waitUntil: (work: Promise<unknown>) => void, respondWith: (answer: Promise<Response>) => void }} ShellEvent
 */
const worker = /** @type {ShellWorker} */ (/** @type {unknown} */ (self));

worker.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(kept)
      .then((cache) => cache.addAll(shell.map((path) => new Request(path, { cache: "reload" }))))
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
  if (url.pathname.startsWith("/api/") || url.pathname === "/healthz" || url.pathname === "/readyz") return;
  // Every page address is the same document.
  event.respondWith(answer(request, request.mode === "navigate" ? "/" : url.pathname));
});

/** @param {Request} request @param {string} name @returns {Promise<Response>} */
async function answer(request, name) {
  const cache = await caches.open(kept);
  const copy = await cache.match(name);
  const fresh = fetch(request).then(async (response) => {
    if (response.ok && response.type === "basic") await cache.put(name, response.clone());
    return response;
  });
  if (!copy) return fresh;
  fresh.catch(() => {});
  return Promise.race([fresh.catch(() => copy), slow().then(() => copy)]);
}

function slow() {
  return new Promise((resolve) => setTimeout(resolve, patience));
}
