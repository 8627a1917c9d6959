// @ts-check

/**
 * The token in the address's fragment. It is taken out of the address at once, so that it stays neither in
 * the bar nor in the history.
 */
export function takeToken() {
  const token = location.hash.replace(/^#/, "");
  if (token) history.replaceState(null, "", location.pathname + location.search);
  return token;
}
