// @ts-check
// The head of the page: mark, shop, navigation of the face, account; banner of the demo; network state.

import { say } from "../components/bf-toast.js";
import { attr, html, on, render } from "./html.js";
import { navigation } from "./routes.js";
import { online, person, signOut } from "./session.js";

/** The mark: a bare frame in plan with its centre line. */
const mark = html`<svg class="mark" viewBox="0 0 64 64" aria-hidden="true"><g fill="none" stroke="currentColor" stroke-width="4"><path d="M24 3v13l-7 7v20l7 7v11M40 3v13l7 7v20l-7 7v11"></path><path d="M22 9h20M18 24h28M18 42h28M22 56h20" stroke-width="3"></path></g><path d="M32 0v64" class="mark-centre"></path></svg>`;

/**
 * @param {HTMLElement} place
 * @param {(to: string, options?: { replace?: boolean }) => void} navigate
 */
export function head(place, navigate) {
  const signal = new AbortController().signal;
  const draw = () => {
    const me = person.get();
    if (!me) {
      render(
        place,
        html`<header class="head"><a class="brand" href="/">${mark}<span>bareframe</span></a></header>`,
      );
      return;
    }
    render(
      place,
      html`<header>${me.demo ? html`<p class="banner">Invented demo shop; figures are starting values.</p>` : ""}<div class="head">
        <a class="brand" href="/">${mark}<span>${me.shop.name}</span></a>
        <nav aria-label="Main"><ul>${navigation[me.person.role].map(([to, name]) => html`<li><a href="${to}" ${attr("aria-current", isHere(to) && "page")}>${name}</a></li>`)}</ul></nav>
        <p class="who">
          <span class="offline" ${attr("hidden", online.get())}>No network</span>
          <a href="/account" ${attr("aria-current", isHere("/account") && "page")}>${me.person.name}</a>
          <button type="button" class="plain" id="sign-out">Sign out</button>
        </p>
      </div></header>`,
    );
  };
  person.watch(draw, signal);
  online.watch(draw, signal);
  new MutationObserver(draw).observe(/** @type {Element} */ (document.getElementById("main")), {
    childList: true,
  });
  on(place, "click", "#sign-out", () => void leave(navigate), signal);
}

/** @param {string} to */
function isHere(to) {
  if (to === "/shop") return location.pathname === "/shop" || location.pathname.startsWith("/shop/jobs");
  if (to === "/shop/settings") return location.pathname.startsWith(to);
  if (to === "/client") return location.pathname.startsWith("/client");
  return location.pathname === to;
}

/** @param {(to: string) => void} navigate */
async function leave(navigate) {
  try {
    await signOut();
    navigate("/sign-in");
  } catch (error) {
    say(`Not signed out. ${error instanceof Error ? error.message : ""}`);
  }
}
