// @ts-check
// Paper, night, or as the system prefers; kept on this device.

/** @typedef {"system" | "paper" | "night"} Palette */

/** @returns {Palette} */
export function chosenPalette() {
  const value = document.documentElement.dataset.theme;
  return value === "paper" || value === "night" ? value : "system";
}

/** @param {string} palette */
export function choosePalette(palette) {
  if (palette === "paper" || palette === "night") document.documentElement.dataset.theme = palette;
  else delete document.documentElement.dataset.theme;
  try {
    if (palette === "system") localStorage.removeItem("bareframe theme");
    else localStorage.setItem("bareframe theme", palette);
  } catch {
    // It holds until the page is closed.
  }
}
