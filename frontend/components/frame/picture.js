// @ts-check
// The frame in plan as a working drawing, in SVG; its units are pixels, so hatches keep their density and
// letters their size at every width. Hatching: condition. Dashed: nobody has seen it. Outlined twice:
// patched. Heavy: selected, or different from what was thought. Chain lines: centre line, axles, wheels.

import { html } from "../../lib/html.js";
import { extent, inset, onto, outline, rearAxle, shapes, spread } from "./plan.js";
import { spoken } from "./words.js";

/** @import { Markup } from "../../lib/html.js" */
/** @import { Point, Shape, Zone } from "./plan.js" */
/** @import { Conditions } from "./words.js" */

/**
 * @typedef {object} FrameView
 * @property {string} key begins every id of this drawing
 * @property {string} label
 * @property {Zone[]} zones
 * @property {Conditions} conditions
 * @property {Record<string, string>} badges zone id to a short text, such as the numbers of its findings
 * @property {Record<string, string>} reserve badges for which room is kept, so that two drawings get one scale
 * @property {Set<string>} marked zones in heavy outline
 * @property {string} selected
 * @property {string} current the zone that the keyboard is on
 * @property {boolean} upright
 * @property {number} width pixels
 * @property {(mm: number) => string} length
 */

/** What a tyre of such a car takes up, in millimetres, and how far it keeps from steel; only for the eye. */
const tyre = { radius: 315, width: 185, gap: 60 };

/** Room that a text takes, generously: the letters are 13 pixels high. @param {string} text */
const roomOf = (text) => text.length * 7.5 + 10;

/** Below this width there is one dimension, and the wheels get no room of their own. */
const tight = 480;

/** Where everything stands on the sheet. @param {FrameView} view */
export function sheet(view) {
  const { zones, upright, width } = view;
  const { front, rear, half: steel } = extent(zones);
  const wheelbase = rearAxle(zones);
  const wheels = wheelbase ? besideSteel(zones, [0, wheelbase]) : 0;
  const half = Math.max(steel, width < tight ? 0 : wheels + tyre.width);
  const sides = sidesOf(view);
  const kept = { ...view, badges: { ...view.reserve, ...view.badges } };
  const keptSides = sidesOf(kept);
  const left = labelRoom(keptSides[0], kept);
  const right = labelRoom(keptSides[1], kept);
  const dims = wheelbase && width >= tight ? 58 : 32;
  const room = upright ? width - left - right - dims - 4 : width - 96;
  const scale = Math.min(upright ? 0.21 : 0.34, room / (upright ? 2 * half : rear - front));
  const across = half * scale;
  const slack = Math.max(0, room - (upright ? 2 * across : (rear - front) * scale)) / 2;
  const axle = upright
    ? { x: slack + left + 4 + across, y: 44 - front * scale }
    : { x: slack + 72 - front * scale, y: right + across };
  const height = upright ? axle.y + rear * scale + 20 : axle.y + across + left + dims;
  const place = onto({ upright, scale, ...axle });
  return {
    scale,
    front,
    rear,
    wheelbase,
    wheels,
    place,
    axle,
    height: Math.ceil(height),
    drawn: shapes(zones, place),
    sides,
    /** Where the labels end, left and right of the car, from its centre line. @type {[number, number]} */
    reach: [across + left, across + right],
  };
}

/** The inner face of the wheels: clear of all steel beside the axles. @param {Zone[]} zones @param {number[]} axles */
function besideSteel(zones, axles) {
  const near = zones
    .flatMap((z) => outline(z, zones))
    .filter((p) => axles.some((x) => Math.abs(p.x - x) < tyre.radius));
  return Math.max(0, ...near.map((p) => Math.abs(p.y))) + tyre.gap;
}

/**
 * The zones that carry a badge, by the side at which it stands: left, right of the car; those on the centre
 * line go where there are fewer.
 * @param {FrameView} view @returns {[Zone[], Zone[]]}
 */
function sidesOf({ zones, badges: texts }) {
  /** @type {[Zone[], Zone[]]} */
  const sides = [[], []];
  const marked = zones.filter((z) => texts[z.id]);
  /** @param {Zone} zone */
  const aside = ({ plan }) => plan.from.y + plan.to.y;
  for (const zone of marked.filter(aside)) sides[aside(zone) < 0 ? 0 : 1].push(zone);
  for (const zone of marked.filter((z) => !aside(z))) {
    sides[sides[1].length < sides[0].length ? 1 : 0].push(zone);
  }
  return sides;
}

/** Pixels that the badges of one side take beside the frame. @param {Zone[]} side @param {FrameView} view */
function labelRoom(side, { upright, badges: texts }) {
  if (side.length === 0) return 12;
  return upright ? Math.max(...side.map((z) => roomOf(texts[z.id] ?? ""))) + 14 : 42;
}

/** @typedef {ReturnType<typeof sheet>} Sheet */

/** @param {FrameView} view @param {Sheet} on */
export function picture(view, on) {
  return html`<svg class="frame-svg" width="${view.width}" height="${on.height}" viewBox="0 0 ${view.width} ${on.height}" focusable="false">
    <g aria-hidden="true">${hatches(view.key)}${datum(view, on)}</g>
    <g role="listbox" aria-label="${view.label}">${on.drawn.map((shape) => zoneOf(shape, view))}</g>
    <g aria-hidden="true">${mountNumbers(on)}${dimensions(view, on)}${badges(view, on)}</g>
  </svg>`;
}

/** Distance of the hatch lines by grade, wider to closer. @type {Record<string, number>} */
const pitch = { b: 16, c: 9, d: 5, pitted: 2.75, perforated: 6 };

/** @param {string} key */
export function hatches(key) {
  return html`<defs>${Object.entries(pitch).map(([grade, p]) => html`<pattern id="${key}-${grade}" width="${p}" height="${p}" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="frame-hatch ${grade}" d="M0 0V${p}${grade === "perforated" ? `M0 0H${p}` : ""}"></path></pattern>`)}</defs>`;
}

/** @param {Point[]} corners */
const closed = (corners) => `M${corners.map(({ x, y }) => `${tenth(x)} ${tenth(y)}`).join("L")}Z`;

/** @param {number} v */
const tenth = (v) => Math.round(v * 10) / 10;

/** An opening: a slot with round ends. @param {Point[]} corners */
function slot([a, b, c, d]) {
  if (!a || !b || !c || !d) return "";
  const r = Math.hypot(a.x - b.x, a.y - b.y) / 2;
  const long = Math.hypot(b.x - c.x, b.y - c.y) || 1;
  const u = { x: ((c.x - b.x) / long) * r, y: ((c.y - b.y) / long) * r };
  /** @param {Point} p @param {number} s */
  const by = (p, s) => `${tenth(p.x + s * u.x)} ${tenth(p.y + s * u.y)}`;
  const arc = `A${tenth(r)} ${tenth(r)} 0 0 0 `;
  return `M${by(a, 1)}${arc}${by(b, 1)}L${by(c, -1)}${arc}${by(d, -1)}Z`;
}

/**
 * Outline, hatch and detail of one zone or one sample of the legend.
 * @param {string} key @param {Point[]} corners @param {string} kind @param {string | null | undefined} worst
 */
export function steel(key, corners, kind, worst) {
  const path = kind === "opening" ? slot : closed;
  return html`<path class="frame-edge" d="${path(corners)}"></path>
    ${worst && worst in pitch ? html`<path d="${path(corners)}" fill="url(#${key}-${worst})"></path>` : ""}
    ${worst === "patched" ? html`<path class="frame-inner" d="${path(inset(corners, 3.5))}"></path>` : ""}
    <path class="frame-detail" d="${detail(corners, kind)}"></path>`;
}

/** Bend lines of a kick-up, the bolt hole of a mount or a bracket. @param {Point[]} corners @param {string} kind */
function detail([a, b, c, d], kind) {
  if (!a || !b || !c || !d) return "";
  /** @param {Point} p @param {Point} q @param {number} t */
  const between = (p, q, t) => ({ x: p.x + (q.x - p.x) * t, y: p.y + (q.y - p.y) * t });
  if (kind === "kick_up") {
    return [0.07, 0.2, 0.8, 0.93]
      .map((t) => [between(a, d, t), between(b, c, t)])
      .map((ends) => closed(ends).slice(0, -1))
      .join("");
  }
  if (kind !== "mount" && kind !== "bracket") return "";
  const m = between(between(a, b, 0.5), between(c, d, 0.5), kind === "mount" ? 0.5 : 0.75);
  const r = Math.min(5, Math.max(2, Math.hypot(a.x - b.x, a.y - b.y) * (kind === "mount" ? 0.22 : 0.1)));
  const hole = `M${tenth(m.x - r)} ${tenth(m.y)}a${tenth(r)} ${tenth(r)} 0 1 0 ${tenth(2 * r)} 0a${tenth(r)} ${tenth(r)} 0 1 0 ${tenth(-2 * r)} 0`;
  return `${hole}M${tenth(m.x - 2 * r)} ${tenth(m.y)}h${tenth(4 * r)}M${tenth(m.x)} ${tenth(m.y - 2 * r)}v${tenth(4 * r)}`;
}

/** @param {Shape} shape @param {FrameView} view */
function zoneOf({ zone, corners }, view) {
  const { id, kind } = zone;
  const condition = view.conditions[id];
  const worst = condition?.worst;
  const words = spoken(zone, condition, view.badges[id]);
  const classes = ["frame-zone", worst && "graded", worst, view.marked.has(id) && "marked"].filter(Boolean);
  return html`<g id="${view.key}-${id}" role="option" class="${classes.join(" ")}" data-zone="${id}" tabindex="${id === view.current ? "0" : "-1"}" aria-selected="${String(id === view.selected)}" aria-label="${words}"><title>${words}</title><path class="frame-halo" d="${closed(corners)}"></path>${steel(view.key, corners, kind, worst)}</g>`;
}

/** Centre line, axles, wheels in phantom, and where the front is. @param {FrameView} view @param {Sheet} on */
function datum({ upright }, { place, front, rear, scale, wheelbase, wheels: inner }) {
  const over = 16 / scale;
  const axles = wheelbase ? [0, wheelbase] : [];
  const wide = inner + 1.3 * tyre.width;
  /** @param {Point} p @param {Point} q */
  const path = (p, q) => closed([place(p), place(q)]).slice(0, -1);
  const wheels = axles.flatMap((x) =>
    [-inner - tyre.width, inner].map((y) => {
      const a = place({ x: x - tyre.radius, y });
      const b = place({ x: x + tyre.radius, y: y + tyre.width });
      return html`<rect x="${Math.min(a.x, b.x)}" y="${Math.min(a.y, b.y)}" width="${tenth(Math.abs(a.x - b.x))}" height="${tenth(Math.abs(a.y - b.y))}" rx="6"></rect>`;
    }),
  );
  const tip = place({ x: front - over, y: 0 });
  const arrow = upright ? `M${tip.x} ${tip.y - 16}l-5 10h10z` : `M${tip.x - 14} ${tip.y}l10 -5v10z`;
  const word = upright
    ? html`<text class="frame-text" x="${tip.x + 12}" y="${tip.y - 6}">front</text>`
    : html`<text class="frame-text" x="${tip.x - 18}" y="${tip.y + 4}" text-anchor="end">front</text>`;
  return html`<g class="frame-phantom">${wheels}</g>
    <path class="frame-chain" d="${path({ x: front - over, y: 0 }, { x: rear + over / 2, y: 0 })}${axles.map((x) => path({ x, y: -wide }, { x, y: wide })).join("")}"></path>
    <path class="frame-solid" d="${arrow}"></path>${word}`;
}

/** Body mounts carry their number, as the trade counts them, ahead of the mount. @param {Sheet} on */
function mountNumbers({ drawn, place, scale }) {
  return drawn
    .filter(({ zone }) => zone.kind === "mount")
    .map(({ zone: { name, plan } }) => {
      const p = place({ x: plan.from.x - plan.width / 2 - 9 / scale, y: plan.from.y });
      return html`<text class="frame-text second" x="${p.x}" y="${tenth(p.y + 4.5)}" text-anchor="middle">${/\d+/.exec(name)?.[0]}</text>`;
    });
}

/** Wheelbase and overall length: line, oblique strokes, figure above it. @param {FrameView} view @param {Sheet} on */
function dimensions({ upright, length, width }, { place, axle, front, rear, reach, wheelbase }) {
  const edge = tenth(upright ? axle.x + reach[1] : axle.y + reach[0]);
  /** @param {number} from @param {number} to @param {number} row @param {string} name */
  const one = (from, to, row, name) => {
    const a = place({ x: from, y: 0 });
    const b = place({ x: to, y: 0 });
    const line = edge + 22 + row * 26;
    const text = `${name} ${length(Math.round(to - from))}`;
    if (upright) {
      const middle = (a.y + b.y) / 2;
      return html`<path class="frame-thin" d="M${edge} ${a.y}H${line + 4}M${edge} ${b.y}H${line + 4}M${line} ${a.y}V${b.y}"></path><path class="frame-stroke" d="M${line - 4} ${a.y + 4}l8 -8M${line - 4} ${b.y + 4}l8 -8"></path><text class="frame-text" text-anchor="middle" transform="translate(${line - 5} ${tenth(middle)}) rotate(-90)">${text}</text>`;
    }
    return html`<path class="frame-thin" d="M${a.x} ${edge}V${line + 4}M${b.x} ${edge}V${line + 4}M${a.x} ${line}H${b.x}"></path><path class="frame-stroke" d="M${a.x - 4} ${line + 4}l8 -8M${b.x - 4} ${line + 4}l8 -8"></path><text class="frame-text" text-anchor="middle" x="${tenth((a.x + b.x) / 2)}" y="${line - 5}">${text}</text>`;
  };
  if (!wheelbase) return one(front, rear, 0, "overall");
  return [one(0, wheelbase, 0, "wheelbase"), width < tight ? "" : one(front, rear, 1, "overall")];
}

/**
 * Leader lines from a dot on the zone to a short text at the edge of the sheet.
 * @param {FrameView} view @param {Sheet} on
 */
function badges({ badges: texts, upright, width }, { drawn, axle, height, sides, reach }) {
  return [0, 1].map((i) => {
    const side = drawn
      .filter(({ zone }) => sides[i]?.includes(zone))
      .map(({ zone, middle }) => ({ text: texts[zone.id] ?? "", middle, run: upright ? middle.y : middle.x }))
      .sort((a, b) => a.run - b.run);
    const sizes = side.map(({ run, text }) => ({ at: run, size: upright ? 22 : roomOf(text) + 6 }));
    const places = spread(sizes, 2, (upright ? height : width) - 2);
    // The right side of the car is at the right of an upright sheet, at the top of the other.
    const out = (i === 0) === upright ? -1 : 1;
    const end = (upright ? axle.x : axle.y) + out * (reach[i] ?? 0);
    return side.map(({ text, middle, run }, n) => {
      const at = tenth(places[n] ?? run);
      const room = roomOf(text);
      const start = tenth(upright ? end - out * room : at - room / 2);
      const y = upright ? at : tenth(end - (out < 0 ? -20 : 20));
      const knee = upright ? start : at;
      const line = `M${middle.x} ${middle.y}L${knee} ${y}M${start} ${y}h${(upright ? out : 1) * room}`;
      // Under the frame the text hangs from its line, so that the leader does not cross it.
      const base = tenth(y + (!upright && out > 0 ? 14 : -4));
      const x = tenth(start + ((upright ? out : 1) * room) / 2);
      return html`<circle class="frame-solid" cx="${middle.x}" cy="${middle.y}" r="2.5"></circle><path class="frame-thin" d="${line}"></path><text class="frame-text strong" text-anchor="middle" x="${x}" y="${base}">${text}</text>`;
    });
  });
}
