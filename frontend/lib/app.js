// @ts-check
// The shell: who am I, which face, which view; head, navigation, banner.

import "../components/bf-dialog.js";
import { showProblem } from "../components/bf-problem.js";
import "../components/bf-toast.js";
import { replaced } from "./call.js";
import { formatsOf } from "./format.js";
import { head } from "./head.js";
import { html, render } from "./html.js";
import { announce, router } from "./router.js";
import { home, routes } from "./routes.js";
import { onChange, person, whoAmI } from "./session.js";

/** @import { Me } from "./contract.js" */
/** @import { Route } from "./router.js" */

const main = /** @type {HTMLElement} */ (document.getElementById("main"));
const nobody = /** @type {Me} */ (/** @type {unknown} */ (undefined));
let first = true;

const { start, navigate } = router({ routes, show });

/**
 * @param {{ route: Route, params: Record<string, string> } | undefined} found
 * @param {AbortSignal} signal
 */
async function show(found, signal) {
  const root = document.createElement("div");
  root.className = "view";
  try {
    // The view's module comes while the server says who is signed in.
    found?.route.load().catch(() => {});
    const me = found?.route.who === "anyone" ? person.get() : await whoAmI();
    if (signal.aborted) return;
    const elsewhere = redirect(found?.route, me);
    if (elsewhere) {
      navigate(elsewhere, { replace: true });
      return;
    }
    main.setAttribute("aria-busy", "true");
    const said = found ? await mount(root, found, me, signal) : missing(root);
    if (signal.aborted) return;
    settle(root, said ?? undefined, me);
  } catch (error) {
    if (signal.aborted) return;
    if (error instanceof TypeError && (await replaced())) return location.reload();
    render(
      root,
      html`<div class="sheet"><h1>This page cannot be shown</h1><p><a href="/">Go to the first page</a></p></div>`,
    );
    settle(root, undefined, person.get());
    showProblem(/** @type {Element} */ (root.firstElementChild), error);
    root.addEventListener("reload", () => void start(), { signal });
  }
}

/**
 * @param {HTMLElement} root
 * @param {{ route: Route, params: Record<string, string> }} found
 * @param {Me | undefined} me
 * @param {AbortSignal} signal
 */
async function mount(root, { route, params }, me, signal) {
  const view = (await route.load()).default;
  const who = me ?? nobody;
  return view(root, params, {
    signal,
    me: who,
    formats: me ? formatsOf(me) : undefined,
    navigate,
    changed: (/** @type {(change: import("./contract.js").Change) => void} */ callback) =>
      onChange(callback, signal),
    query: new URLSearchParams(location.search),
  });
}

/** @param {HTMLElement} root @param {{ title?: string } | undefined} said @param {Me | undefined} me */
function settle(root, said, me) {
  main.removeAttribute("aria-busy");
  main.replaceChildren(root);
  document.documentElement.dataset["face"] = location.pathname.split("/")[1] || "access";
  announce(root, said, me?.shop.name ?? "bareframe", !first);
  first = false;
}

/** @param {HTMLElement} root */
function missing(root) {
  render(
    root,
    html`<div class="sheet"><h1>There is no such page</h1><p>The address may be old. <a href="/">Go to the first page</a>.</p></div>`,
  );
}

/**
 * Where somebody belongs who may not or need not be here.
 * @param {Route | undefined} route
 * @param {Me | undefined} me
 */
function redirect(route, me) {
  if (route?.who === "anyone") return undefined;
  if (!me) {
    const to = location.pathname + location.search;
    return to === "/" ? "/sign-in" : `/sign-in?to=${encodeURIComponent(to)}`;
  }
  const own = home[me.person.role];
  if (location.pathname === "/") return own;
  if (route && !admits(route.who, me.person.role)) return own;
  return undefined;
}

/** @param {Route["who"]} who @param {string} role */
const admits = (who, role) =>
  who === role || who === "signed-in" || (who === "shop" && (role === "owner" || role === "technician"));

head(/** @type {HTMLElement} */ (document.getElementById("head")), navigate);

// Signed out by the server in the middle of something: ask to sign in, then come back here.
person.watch((me) => {
  if (!me && !first && !routes.some((r) => r.who === "anyone" && r.path === location.pathname)) void start();
}, new AbortController().signal);

void start();

// Paper cannot be opened: everything folded is printed open.
addEventListener("beforeprint", () => {
  for (const details of main.querySelectorAll("details:not([open])")) {
    details.setAttribute("open", "");
    details.setAttribute("data-folded", "");
  }
});
addEventListener("afterprint", () => {
  for (const details of main.querySelectorAll("details[data-folded]")) {
    details.removeAttribute("open");
    details.removeAttribute("data-folded");
  }
});

// After the first screen stands, so that keeping the shell does not slow it down.
addEventListener("load", () =>
  setTimeout(() => navigator.serviceWorker?.register("/sw.js").catch(() => {}), 1500),
);
