// @ts-check
// Changes by others: one stream for the whole page. Each event says which job changed and how; the screen
// that shows it fetches again. After a gap everything may have changed, which is said with an empty job.
// A tab that nobody sees has no stream: a browser opens six connections to one host over HTTP/1.1, and
// several tabs would take them all. When it is seen again it catches up.

/** @import { Change } from "./contract.js" */

const first = 1000;
const longest = 30000;

/**
 * @param {{ changed: (change: Change) => void, live?: (live: boolean) => void, signal: AbortSignal, open?: (url: string) => EventSource }} options
 */
export function listen({ changed, live, signal, open = (url) => new EventSource(url) }) {
  let wait = first;
  let gap = false;
  /** @type {EventSource | undefined} */
  let source;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;

  const connect = () => {
    if (signal.aborted || document.hidden) return;
    source = open("/api/events");
    source.addEventListener("open", () => {
      wait = first;
      live?.(true);
      if (gap) changed({ job: "", what: "reconnected" });
      gap = false;
    });
    source.addEventListener("changed", (event) => {
      const change = read(/** @type {MessageEvent<string>} */ (event).data);
      if (change) changed(change);
    });
    source.addEventListener("error", () => {
      gap = true;
      live?.(false);
      // The browser gives up by itself after an HTTP error; try again ourselves, ever more slowly.
      source?.close();
      clearTimeout(timer);
      timer = setTimeout(connect, wait);
      wait = Math.min(wait * 2, longest);
    });
  };

  const close = () => {
    clearTimeout(timer);
    source?.close();
  };
  document.addEventListener(
    "visibilitychange",
    () => {
      close();
      gap = true;
      connect();
    },
    { signal },
  );
  signal.addEventListener("abort", close);
  connect();
}

/** @param {string} data @returns {Change | undefined} */
function read(data) {
  try {
    const value = JSON.parse(data);
    return { job: String(value.job ?? ""), what: String(value.what ?? "") };
  } catch {
    return undefined;
  }
}
