// @ts-check
// Every address of the frontend on one page. The first that fits is taken.

/** @import { Route } from "./router.js" */

/** @type {Route[]} */
export const routes = [
  { path: "/set-up", who: "anyone", load: () => import("../views/access/set-up.js") },
  { path: "/sign-in", who: "anyone", load: () => import("../views/access/sign-in.js") },
  { path: "/invitation", who: "anyone", load: () => import("../views/access/invitation.js") },
  { path: "/c", who: "anyone", load: () => import("../views/access/client-link.js") },
  { path: "/account", who: "signed-in", load: () => import("../views/access/account.js") },

  { path: "/floor", who: "shop", load: () => import("../views/shop/floor.js") },
  { path: "/shop", who: "owner", load: () => import("../views/shop/jobs.js") },
  { path: "/shop/jobs/new", who: "owner", load: () => import("../views/shop/new-job.js") },
  { path: "/shop/jobs/:job/:tab?", who: "owner", load: () => import("../views/shop/job.js") },
  { path: "/shop/jobs/:job/orders/:order", who: "owner", load: () => import("../views/shop/order.js") },
  { path: "/shop/people", who: "owner", load: () => import("../views/shop/people.js") },
  { path: "/shop/calendar", who: "owner", load: () => import("../views/shop/calendar.js") },
  { path: "/shop/price-book", who: "owner", load: () => import("../views/shop/price-book.js") },
  { path: "/shop/templates", who: "owner", load: () => import("../views/shop/templates.js") },
  { path: "/shop/templates/:template", who: "owner", load: () => import("../views/shop/template.js") },
  { path: "/shop/mail", who: "owner", load: () => import("../views/shop/mail.js") },
  { path: "/shop/settings", who: "owner", load: () => import("../views/shop/settings.js") },
  { path: "/shop/settings/texts", who: "owner", load: () => import("../views/shop/texts.js") },
  { path: "/shop/settings/currencies", who: "owner", load: () => import("../views/shop/currencies.js") },
  { path: "/shop/settings/consent", who: "owner", load: () => import("../views/shop/consent.js") },
  { path: "/shop/settings/points", who: "owner", load: () => import("../views/shop/sheets.js") },
  { path: "/shop/settings/points/:sheet", who: "owner", load: () => import("../views/shop/sheet.js") },

  { path: "/bench", who: "technician", load: () => import("../views/bench/today.js") },
  { path: "/bench/tasks", who: "technician", load: () => import("../views/bench/tasks.js") },
  { path: "/bench/found", who: "technician", load: () => import("../views/bench/found.js") },
  { path: "/bench/report/:job?", who: "technician", load: () => import("../views/bench/report.js") },
  { path: "/bench/hours", who: "technician", load: () => import("../views/bench/hours.js") },

  { path: "/client", who: "client", load: () => import("../views/client/cars.js") },
  { path: "/client/jobs/:job", who: "client", load: () => import("../views/client/stands.js") },
  { path: "/client/jobs/:job/decisions", who: "client", load: () => import("../views/client/decisions.js") },
  { path: "/client/jobs/:job/frame", who: "client", load: () => import("../views/client/frame.js") },
  { path: "/client/jobs/:job/money", who: "client", load: () => import("../views/client/money.js") },
  { path: "/client/jobs/:job/letters", who: "client", load: () => import("../views/client/letters.js") },
  { path: "/client/orders/:order", who: "client", load: () => import("../views/client/order.js") },
  { path: "/client/quotes/:quote", who: "client", load: () => import("../views/client/quote.js") },
];

/** @typedef {"owner" | "technician" | "client"} Face */

/** Where each role begins. @type {Record<Face, string>} */
export const home = { owner: "/shop", technician: "/bench", client: "/client" };

/** What each face's navigation offers. @type {Record<Face, [string, string][]>} */
export const navigation = {
  owner: [
    ["/floor", "Floor"],
    ["/shop", "Jobs"],
    ["/shop/people", "People"],
    ["/shop/calendar", "Calendar"],
    ["/shop/price-book", "Price book"],
    ["/shop/templates", "Templates"],
    ["/shop/mail", "Mail"],
    ["/shop/settings", "Settings"],
  ],
  technician: [
    ["/bench", "Today"],
    ["/bench/tasks", "All tasks"],
    ["/bench/found", "Found"],
    ["/bench/hours", "My hours"],
    ["/floor", "Floor"],
  ],
  client: [["/client", "My cars"]],
};
