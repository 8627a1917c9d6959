// @ts-check
// Runs before the first paint, so it is a classic script: the palette the person chose on this device.
// Without a choice the system's preference holds.
(() => {
  try {
    const chosen = localStorage.getItem("bareframe theme");
    if (chosen === "paper" || chosen === "night") document.documentElement.dataset.theme = chosen;
  } catch {
    // No storage: the system's preference holds.
  }
})();
