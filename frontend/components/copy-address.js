// @ts-check
// Copies an address that stands in a field.

import { say } from "./bf-toast.js";

/** @param {HTMLInputElement | null} box */
export async function copyAddress(box) {
  if (!box) return;
  box.select();
  try {
    await navigator.clipboard.writeText(box.value);
    say("Copied.");
  } catch {
    // Without HTTPS browsers keep the clipboard closed; the address is selected instead.
    say("Selected; copy it with your keyboard.");
  }
}
