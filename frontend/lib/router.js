// @ts-check
// Addresses to views. A view is a module loaded when it is first needed:
//
//   /** @type {import("/lib/router.js").View} */      (or a relative path)
//   export default async function view(root, params, { signal, me, formats, navigate, changed, query }) {
//     const page = await get("/api/jobs/{job}", { path: { job: params.job }, signal });
//     render(root, html`<h1>…</h1>`);
//     changed((change) => { if (!change.job || change.job === params.job) refetch(); });
//   }
//
//   root      an empty <div> inside <main>; the view fills it and never looks outside
//   params    the named parts of the address: /shop/jobs/:job/:tab → { job, tab }
//   signal    aborted when the view is left: pass it to every call and every listener
//   me        who is signed in (GET /api/me)
//   formats   Formats of the shop (lib/format.js)
//   navigate  navigate("/shop/jobs/…"), or { replace: true }
//   changed   called back with { job, what } when somebody changed something; ends with the view.
//             An empty job means that anything may have changed (after a gap in the stream).
//   query     the address's URLSearchParams
//
// The view resolves when its first content stands, with exactly one h1: the router then sets the document's
// title from it and moves focus to it. What a view throws is shown by the shell as a bf-problem. A view may
// return { title } for a document title other than its h1.

/** @import { Change, Me } from "./contract.js" */
/** @import { Formats } from "./format.js" */

/**
 * @typedef {object} Context
 * @property {AbortSignal} signal
 * @property {Me} me
 * @property {Formats} formats
 * @property {(to: string, options?: { replace?: boolean }) => void} navigate
 * @property {(callback: (change: Change) => void) => void} changed
 * @property {URLSearchParams} query
 */

/** @typedef {(root: HTMLElement, params: Record<string, string>, context: Context) => Promise<void | { title?: string }>} View */

/**
 * @typedef {object} Route
 * @property {string} path with :name for a part, and :name? for a last part that may be missing
 * @property {() => Promise<{ default: Function }>} load
 * @property {"owner" | "technician" | "client" | "shop" | "anyone" | "signed-in"} who "shop": owners and technicians
 */

/**
 * The named parts when an address fits a pattern, otherwise undefined.
 * @param {string} pattern
 * @param {string} pathname
 * @returns {Record<string, string> | undefined}
 */
export function match(pattern, pathname) {
  const wanted = pattern.split("/").filter(Boolean);
  const given = pathname.split("/").filter(Boolean);
  if (given.length > wanted.length) return undefined;
  /** @type {Record<string, string>} */
  const params = {};
  for (const [index, part] of wanted.entries()) {
    const value = given[index];
    if (part.startsWith(":")) {
      const name = part.replace(/^:|\?$/g, "");
      if (value === undefined && !part.endsWith("?")) return undefined;
      try {
        params[name] = decodeURIComponent(value ?? "");
      } catch {
        return undefined;
      }
    } else if (part !== value) return undefined;
  }
  return params;
}

/**
 * The first route that fits.
 * @template {{ path: string }} R
 * @param {R[]} routes
 * @param {string} pathname
 */
export function find(routes, pathname) {
  for (const route of routes) {
    const params = match(route.path, pathname);
    if (params) return { route, params };
  }
  return undefined;
}

/**
 * Follows the address bar. `show` mounts what was found; it gets a signal that ends with the address.
 * @param {{ routes: Route[], show: (found: { route: Route, params: Record<string, string> } | undefined, signal: AbortSignal) => Promise<void> }} options
 */
export function router({ routes, show }) {
  let leaving = new AbortController();
  // The worker has a new version of the pages: the next step loads it.
  let renewed = false;
  navigator.serviceWorker?.addEventListener("message", () => {
    renewed = true;
  });

  const go = async () => {
    leaving.abort();
    leaving = new AbortController();
    await show(find(routes, location.pathname), leaving.signal);
  };

  /** @param {string} to @param {{ replace?: boolean }} [options] */
  const navigate = (to, options = {}) => {
    if (renewed && !options.replace) return location.assign(to);
    if (options.replace) history.replaceState(null, "", to);
    else history.pushState(null, "", to);
    scrollTo(0, 0);
    void go();
  };

  addEventListener("popstate", () => void go());
  document.addEventListener("click", (event) => {
    const to = ownLink(event);
    if (to === undefined) return;
    event.preventDefault();
    navigate(to);
  });
  return { start: go, navigate };
}

/** The address a click asks this page to go to; undefined when the browser should do it. @param {MouseEvent} event */
function ownLink(event) {
  if (event.defaultPrevented || event.button !== 0) return undefined;
  if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return undefined;
  const link = event.target instanceof Element ? event.target.closest("a[href]") : null;
  if (!(link instanceof HTMLAnchorElement) || link.target || link.hasAttribute("download")) return undefined;
  const url = new URL(link.href);
  if (url.origin !== location.origin || url.pathname.startsWith("/api/")) return undefined;
  if (url.hash && url.pathname === location.pathname && url.search === location.search) return undefined;
  return url.pathname + url.search + url.hash;
}

/**
 * Title and focus after a view stands.
 * @param {HTMLElement} root
 * @param {{ title?: string } | undefined} said
 * @param {string} place the shop's name, or ours
 * @param {boolean} focus
 */
export function announce(root, said, place, focus) {
  const heading = root.querySelector("h1");
  const title = said?.title ?? heading?.textContent?.trim() ?? "";
  document.title = title ? `${title} · ${place}` : place;
  if (!heading || !focus) return;
  heading.setAttribute("tabindex", "-1");
  heading.focus({ preventScroll: true });
}
