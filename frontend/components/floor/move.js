// @ts-check
// A bar that is put to another start: followed by the pointer, drawn dashed where it would stand.

import { extent } from "./picture.js";
import { instant } from "./time.js";

/** @import { Formats } from "../../lib/format.js" */
/** @import { Bar } from "./rows.js" */
/** @import { TimeScale } from "./time.js" */

/** Pixels until a press is a drag. */
const least = 4;

/**
 * Follows a press on a bar until it ends. A mouse or a pen drags; a finger scrolls, and has the field.
 * @param {PointerEvent} event
 * @param {{ drags: boolean, to: (far: number) => void, done: (dragged: boolean) => void, lost: () => void }} what
 */
export function follow(event, { drags, to, done, lost }) {
  const begun = event.clientX;
  const ending = new AbortController();
  const { signal } = ending;
  let dragged = false;
  if (drags && event.pointerType !== "touch") {
    event.preventDefault();
    addEventListener(
      "pointermove",
      (moved) => {
        const far = moved.clientX - begun;
        dragged ||= Math.abs(far) >= least;
        if (dragged) to(far);
      },
      { signal },
    );
  }
  /** @param {() => void} end */
  const ends = (end) => () => {
    ending.abort();
    end();
  };
  addEventListener(
    "pointerup",
    ends(() => done(dragged)),
    { signal },
  );
  addEventListener(
    "pointercancel",
    ends(() => dragged && lost()),
    { signal },
  );
}

/**
 * @param {Element} root with the picture
 * @param {{ row: string, at: number, bar: Bar } | undefined} moved
 * @param {TimeScale} scale
 * @param {Formats} formats
 */
export function drawMoved(root, moved, scale, formats) {
  const shape = root.querySelector(".floor-moved");
  shape?.toggleAttribute("hidden", !moved);
  if (!shape || !moved) return;
  const { row, at, bar } = moved;
  const stands = root.querySelector(`#bar-${CSS.escape(`${row}-${bar.task_id}`)} .floor-reach`);
  const y = Number(stands?.getAttribute("y")) + 2;
  const height = Number(stands?.getAttribute("height")) - 4;
  const long = Date.parse(bar.finish) - Date.parse(bar.start);
  const { left, width } = extent({ start: instant(at), finish: instant(at + long) }, scale);
  const wide = Math.max(8, width);
  for (const [name, value] of Object.entries({ x: left, y, width: wide, height }))
    shape.querySelector("rect")?.setAttribute(name, String(value));
  const text = shape.querySelector("text");
  if (!text) return;
  const ends = left + wide + 170 > scale.width;
  text.setAttribute("x", String(ends ? left - 6 : left + wide + 6));
  text.setAttribute("y", String(y + height / 2 + 4));
  text.setAttribute("text-anchor", ends ? "end" : "start");
  text.textContent = formats.instant(new Date(at));
}
