// @ts-check
// The geometry of a frame in plan, without drawing. Zones are bars along their centre lines in millimetres:
// x rearward from the front axle, y from the centre line, right positive, seen from above. On the sheet the
// front is at the left, or at the top where the drawing stands upright.

/** @typedef {{ x: number, y: number }} Point */
/** @typedef {import("../../lib/contract.js").Schemas["Zone"]} Zone */
/** @typedef {{ zone: Zone, corners: Point[], middle: Point }} Shape corners and middle on the sheet */

/** The layer of a kind: what lies higher is drawn later and picked first. @type {Record<string, number>} */
const layers = { crossmember: 0, mount: 1, bracket: 1, rail: 2, kick_up: 2, opening: 3 };

/** @param {Zone} zone */
const isRail = (zone) => layers[zone.kind] === 2;

/** @param {Point} a @param {Point} b */
const same = (a, b) => a.x === b.x && a.y === b.y;

/** Where a bar points; a zone without length points along the car. @param {Point} a @param {Point} b @returns {Point} */
function along(a, b) {
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  return length ? { x: (b.x - a.x) / length, y: (b.y - a.y) / length } : { x: 1, y: 0 };
}

/**
 * The two corners at one end of a bar. Where exactly one other rail begins there, both are mitred to the
 * same corners, so that a rail of several zones reads as one piece of steel.
 * @param {Zone} zone
 * @param {Zone[]} zones
 * @param {boolean} atEnd
 * @returns {[Point, Point]}
 */
function endOf(zone, zones, atEnd) {
  const { from, to, width } = zone.plan;
  const d = along(from, to);
  const p = atEnd ? to : from;
  const met = isRail(zone)
    ? zones.filter((z) => z !== zone && isRail(z) && (same(z.plan.from, p) || same(z.plan.to, p)))
    : [];
  const other = met[0];
  let half = width / 2;
  let n = { x: -d.y, y: d.x };
  if (met.length === 1 && other) {
    const far = same(other.plan.from, p) ? other.plan.to : other.plan.from;
    const e = atEnd ? along(p, far) : along(far, p);
    const turn = 1 + d.x * e.x + d.y * e.y;
    // A joint sharper than some 120 degrees is left square: its mitre would be a spike.
    if (turn > 0.5) {
      n = { x: (-d.y - e.y) / turn, y: (d.x + e.x) / turn };
      half = (width + other.plan.width) / 4;
    }
  }
  return [
    { x: p.x + n.x * half, y: p.y + n.y * half },
    { x: p.x - n.x * half, y: p.y - n.y * half },
  ];
}

/**
 * The outline of a zone in plan, in millimetres: four corners. Mounts and openings are squares as wide as
 * they are, lengthened by the distance between their ends.
 * @param {Zone} zone @param {Zone[]} zones @returns {Point[]}
 */
export function outline(zone, zones) {
  if (zone.kind === "mount" || zone.kind === "opening") {
    const { from, to, width } = zone.plan;
    const d = along(from, to);
    const h = width / 2;
    /** @type {[Point, number, number][]} */
    const ends = [
      [from, -h, h],
      [from, -h, -h],
      [to, h, -h],
      [to, h, h],
    ];
    return ends.map(([p, a, b]) => ({ x: p.x + a * d.x - b * d.y, y: p.y + a * d.y + b * d.x }));
  }
  const [a, b] = endOf(zone, zones, false);
  const [c, e] = endOf(zone, zones, true);
  return [a, b, e, c];
}

/** What the zones take up, in millimetres. @param {Zone[]} zones */
export function extent(zones) {
  const all = zones.flatMap((z) => outline(z, zones));
  const xs = all.map((p) => p.x);
  const ys = all.map((p) => Math.abs(p.y));
  return { front: Math.min(...xs), rear: Math.max(...xs), half: Math.max(...ys) };
}

/**
 * Where the rear axle is, in millimetres behind the front one, which makes it the wheelbase: at the stop
 * brackets that stand over it. 0 when the frame has none.
 * @param {Zone[]} zones
 */
export function rearAxle(zones) {
  return zones.find((z) => z.code.includes("rear-axle-stop"))?.plan.from.x ?? 0;
}

/**
 * From the car to the sheet: a turn, never a mirror, so that left stays left of somebody who looks forward.
 * @param {{ upright: boolean, scale: number, x: number, y: number }} view scale in pixels a millimetre; x and y where the front axle meets the centre line
 * @returns {(p: Point) => Point}
 */
export function onto({ upright, scale, x, y }) {
  /** @param {number} v */
  const round = (v) => Math.round(v * 10) / 10;
  return upright
    ? (p) => ({ x: round(x + p.y * scale), y: round(y + p.x * scale) })
    : (p) => ({ x: round(x + p.x * scale), y: round(y - p.y * scale) });
}

/** The zones on the sheet, lowest layer first. @param {Zone[]} zones @param {(p: Point) => Point} place @returns {Shape[]} */
export function shapes(zones, place) {
  return zones
    .map((zone) => {
      const corners = outline(zone, zones).map(place);
      const { from, to } = zone.plan;
      // The inner end of a bracket lies under the rail, so its middle is where it can be seen.
      const t = zone.kind === "bracket" ? 0.75 : 0.5;
      const middle = place({ x: from.x + (to.x - from.x) * t, y: from.y + (to.y - from.y) * t });
      return { zone, corners, middle };
    })
    .sort((a, b) => (layers[a.zone.kind] ?? 0) - (layers[b.zone.kind] ?? 0));
}

/** By the shoelace formula. @param {Point[]} corners */
export function areaOf(corners) {
  const twice = corners.reduce((sum, p, i) => {
    const q = corners[(i + 1) % corners.length] ?? p;
    return sum + p.x * q.y - q.x * p.y;
  }, 0);
  return Math.abs(twice) / 2;
}

/** The same outline further in by so many pixels; its edges meet anew. @param {Point[]} corners @param {number} by @returns {Point[]} */
export function inset(corners, by) {
  const count = corners.length;
  const mid = { x: 0, y: 0 };
  for (const p of corners) {
    mid.x += p.x / count;
    mid.y += p.y / count;
  }
  const edges = corners.map((p, i) => {
    const d = along(p, corners[(i + 1) % count] ?? p);
    const inward = Math.sign((mid.x - p.x) * -d.y + (mid.y - p.y) * d.x) * by;
    return { p: { x: p.x - d.y * inward, y: p.y + d.x * inward }, d };
  });
  return edges.map(({ p, d }, i) => {
    const before = edges[(i + count - 1) % count] ?? { p, d };
    const cross = before.d.x * d.y - before.d.y * d.x;
    if (Math.abs(cross) < 1e-6) return p;
    const t = ((p.x - before.p.x) * d.y - (p.y - before.p.y) * d.x) / cross;
    return { x: before.p.x + before.d.x * t, y: before.p.y + before.d.y * t };
  });
}

/**
 * How far a point is from an outline; 0 inside.
 * @param {Point[]} corners @param {Point} p
 */
function distance(corners, p) {
  let inside = false;
  let least = Number.POSITIVE_INFINITY;
  corners.forEach((a, i) => {
    const b = corners[(i + 1) % corners.length] ?? a;
    const w = { x: b.x - a.x, y: b.y - a.y };
    const long = w.x * w.x + w.y * w.y || 1;
    const t = Math.max(0, Math.min(1, ((p.x - a.x) * w.x + (p.y - a.y) * w.y) / long));
    least = Math.min(least, Math.hypot(p.x - a.x - t * w.x, p.y - a.y - t * w.y));
    if (a.y > p.y !== b.y > p.y && p.x < a.x + ((p.y - a.y) / (b.y - a.y)) * w.x) inside = !inside;
  });
  return inside ? 0 : least;
}

/**
 * The zone that a finger means: what lies uppermost under it, else the nearest within reach. An
 * opening is small and has steel all round it, so it is met a little beside it too.
 * @param {Shape[]} drawn lowest layer first
 * @param {Point} p
 * @param {number} reach pixels
 * @returns {Shape | undefined}
 */
export function at(drawn, p, reach) {
  /** @type {Shape | undefined} */
  let best;
  let least = Number.POSITIVE_INFINITY;
  for (const shape of drawn) {
    const away = distance(shape.corners, p);
    if (away > reach) continue;
    const layer = layers[shape.zone.kind] ?? 0;
    const cost = away - layer / 100 - (layer > 2 ? 5 : 0);
    if (cost < least) [best, least] = [shape, cost];
  }
  return best;
}

/** @type {Record<string, Point>} */
const ways = {
  ArrowLeft: { x: -1, y: 0 },
  ArrowRight: { x: 1, y: 0 },
  ArrowUp: { x: 0, y: -1 },
  ArrowDown: { x: 0, y: 1 },
};

/**
 * The nearest zone in the direction of an arrow key, as the eye sees it on the sheet. What lies aside
 * counts double; what lies more aside than ahead by far is left out. Ties by the zone's place in the list.
 * @param {Shape[]} drawn @param {string} id @param {string} key @returns {string | undefined}
 */
export function neighbour(drawn, id, key) {
  const way = ways[key];
  const here = drawn.find((s) => s.zone.id === id)?.middle;
  if (!way || !here) return undefined;
  /** @type {string | undefined} */
  let best;
  let least = Number.POSITIVE_INFINITY;
  for (const { zone, middle } of drawn) {
    const dx = middle.x - here.x;
    const dy = middle.y - here.y;
    const ahead = dx * way.x + dy * way.y;
    const aside = Math.abs(dx * way.y) + Math.abs(dy * way.x);
    if (ahead < 1 || aside > ahead * 3) continue;
    const cost = ahead + 2 * aside;
    if (cost < least) [best, least] = [zone.id, cost];
  }
  return best;
}

/**
 * Places for labels along a line: each as near as may be to where it wants to be, none closer to the next
 * than their sizes ask, all between from and to as far as there is room.
 * @param {{ at: number, size: number }[]} labels in the order of `at`
 * @param {number} from @param {number} to @returns {number[]} their middles
 */
export function spread(labels, from, to) {
  /** @type {number[]} */
  const places = [];
  let free = from;
  for (const { at: wanted, size } of labels) {
    const middle = Math.max(wanted, free + size / 2);
    places.push(middle);
    free = middle + size / 2;
  }
  let limit = to;
  for (let i = labels.length - 1; i >= 0; i--) {
    const half = (labels[i]?.size ?? 0) / 2;
    places[i] = Math.min(places[i] ?? 0, limit - half);
    limit = (places[i] ?? 0) - half;
  }
  return places;
}
