// The frame in plan: outlines against plain geometry (length times width, the mitre of a right angle), the
// keyboard and the finger on the layouts that are delivered, and what two surveys tell.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { sheet } from "../components/frame/picture.js";
import {
  areaOf,
  at,
  extent,
  inset,
  neighbour,
  onto,
  outline,
  rearAxle,
  shapes,
  spread,
} from "../components/frame/plan.js";
import { conditionWord, differences, hiddenWord, spoken } from "../components/frame/words.js";

const plain = (mm) => `${mm} mm`;

function bar(id, kind, from, to, width, more = {}) {
  const section = { shape: "box", width_mm: width, height_mm: 100, thickness_mm: "3.0" };
  const plan = { from: { x: from[0], y: from[1] }, to: { x: to[0], y: to[1] }, width };
  return {
    id,
    code: id,
    name: id,
    kind,
    side: "left",
    section,
    length_mm: 1,
    area_m2: "0.000",
    visible_percent: 40,
    plan,
    ...more,
  };
}

const layouts = ["perimeter-ladder", "straight-ladder"].map((name) => {
  const layout = JSON.parse(
    readFileSync(new URL(`../../seeds/frames/${name}.json`, import.meta.url), "utf8"),
  );
  return { ...layout, zones: layout.zones.map((z) => ({ ...z, id: z.code })) };
});

function view(layout, upright, width, badges = {}) {
  return {
    key: "f",
    label: "Frame",
    zones: layout.zones,
    conditions: {},
    badges,
    reserve: {},
    marked: new Set(),
    selected: "",
    current: "",
    upright,
    width,
    length: plain,
  };
}

const near = (got, want, what) => assert.ok(Math.abs(got - want) < 1e-6, `${what}: got ${got}, want ${want}`);

test("a bar that meets nothing is a rectangle of its length and width", () => {
  for (const [from, to, length] of [
    [[0, 0], [1200, 0], 1200],
    [[0, -300], [0, 300], 600],
    [[0, 0], [300, 400], 500], // 3, 4, 5
  ]) {
    const zone = bar("a", "rail", from, to, 80);
    near(areaOf(outline(zone, [zone])), length * 80, `from ${from} to ${to}`);
  }
});

test("two rails that meet at a right angle share the two corners of its mitre", () => {
  const a = bar("a", "rail", [0, 0], [1000, 0], 100);
  const b = bar("b", "rail", [1000, 0], [1000, 500], 100);
  const round = (points) => points.map((p) => `${Math.round(p.x)},${Math.round(p.y)}`);
  // The inner corner of two bars 100 wide lies 50 inward on both, the outer one 50 outward on both.
  const joint = ["950,50", "1050,-50"];
  assert.deepEqual(
    round(outline(a, [a, b]))
      .filter((p) => joint.includes(p))
      .sort(),
    joint.sort(),
  );
  assert.deepEqual(
    round(outline(b, [a, b]))
      .filter((p) => joint.includes(p))
      .sort(),
    joint.sort(),
  );
  // Written from its other end it is the same steel.
  const turned = bar("b", "rail", [1000, 500], [1000, 0], 100);
  assert.deepEqual(round(outline(turned, [a, turned])).sort(), round(outline(b, [a, b])).sort());
});

test("only rails are mitred, and only where exactly two meet", () => {
  const a = bar("a", "rail", [0, 0], [1000, 0], 100);
  const cross = bar("c", "crossmember", [1000, 0], [1000, 500], 100);
  const b = bar("b", "rail", [1000, 0], [1500, 300], 100);
  const third = bar("d", "kick_up", [1000, 0], [1500, -300], 100);
  near(areaOf(outline(a, [a, cross])), 100_000, "beside a crossmember");
  near(areaOf(outline(a, [a, b, third])), 100_000, "where three meet");
});

test("the sheet turns the car and never mirrors it", () => {
  for (const upright of [false, true]) {
    const place = onto({ upright, scale: 1, x: 0, y: 0 });
    const o = place({ x: 0, y: 0 });
    const rear = place({ x: 1, y: 0 });
    const right = place({ x: 0, y: 1 });
    // Seen from above, right of the car is clockwise from its front. On a screen, whose y points down, the
    // cross product of rearward and right is therefore negative.
    const cross = (rear.x - o.x) * (right.y - o.y) - (rear.y - o.y) * (right.x - o.x);
    assert.equal(cross, -1, `upright ${upright}`);
  }
  assert.deepEqual(onto({ upright: false, scale: 1, x: 0, y: 0 })({ x: -700, y: 0 }), { x: -700, y: 0 });
  assert.deepEqual(onto({ upright: true, scale: 1, x: 0, y: 0 })({ x: -700, y: 0 }), { x: 0, y: -700 });
});

test("an outline further in loses the frame around it", () => {
  const corners = [
    { x: 0, y: 0 },
    { x: 40, y: 0 },
    { x: 40, y: 20 },
    { x: 0, y: 20 },
  ];
  near(areaOf(inset(corners, 3)), 34 * 14, "clockwise");
  near(areaOf(inset([...corners].reverse(), 3)), 34 * 14, "the other way round");
});

test("labels keep their distance and stay on the sheet", () => {
  const wanted = [10, 12, 14, 300].map((x) => ({ at: x, size: 20 }));
  assert.deepEqual(spread(wanted, 0, 310), [10, 30, 50, 300]);
  assert.deepEqual(
    spread(
      [
        { at: 95, size: 20 },
        { at: 99, size: 20 },
      ],
      0,
      100,
    ),
    [70, 90],
  );
  assert.deepEqual(spread([], 0, 100), []);
});

for (const layout of layouts) {
  for (const [upright, width] of [
    [false, 1200],
    [false, 700],
    [true, 366],
    [true, 600],
  ]) {
    const where = `${layout.code}, ${upright ? "upright" : "lying"}, ${width} wide`;

    test(`everything is on the sheet: ${where}`, () => {
      const badges = { [layout.zones[5].id]: "F1, F2", [layout.zones[1].id]: "F3" };
      const on = sheet(view(layout, upright, width, badges));
      for (const { zone, corners } of on.drawn) {
        for (const p of corners) {
          assert.ok(
            p.x >= 0 && p.x <= width && p.y >= 0 && p.y <= on.height,
            `${zone.code} at ${p.x} ${p.y}`,
          );
        }
      }
      assert.equal(on.drawn.length, layout.zones.length);
    });

    test(`arrow keys lead from any zone to every other: ${where}`, () => {
      const { drawn } = sheet(view(layout, upright, width));
      for (const start of layout.zones) {
        const reached = new Set([start.id]);
        for (const id of reached) {
          for (const key of ["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight"]) {
            const next = neighbour(drawn, id, key);
            if (next) reached.add(next);
          }
        }
        const missed = layout.zones.filter((z) => !reached.has(z.id)).map((z) => z.code);
        assert.deepEqual(missed, [], `from ${start.code}`);
      }
    });

    test(`a finger on the middle of a zone picks that zone: ${where}`, () => {
      const { drawn } = sheet(view(layout, upright, width));
      for (const { zone, middle } of drawn) assert.equal(at(drawn, middle, 22)?.zone.code, zone.code);
    });
  }
}

test("room that is kept for another drawing's badges gives both one scale", () => {
  const badges = { "left-side-rail": "F1, F2" };
  const bare = view(layouts[0], true, 366);
  const marked = sheet(view(layouts[0], true, 366, badges));
  assert.equal(sheet({ ...bare, reserve: badges }).scale, marked.scale);
  assert.ok(sheet(bare).scale > marked.scale, "without, it is larger");
});

test("the wheelbase is where the axle stop brackets stand, and unknown without them", () => {
  assert.deepEqual(
    layouts.map((l) => rearAxle(l.zones)),
    [2600, 2300],
  );
  assert.equal(rearAxle([bar("a", "rail", [0, 0], [1000, 0], 80)]), 0);
  assert.equal(rearAxle([]), 0);
});

test("an arrow key goes where it points", () => {
  const zones = [
    bar("mid", "crossmember", [500, -200], [500, 200], 80),
    bar("ahead", "crossmember", [0, -200], [0, 200], 80),
    bar("behind", "crossmember", [900, -200], [900, 200], 80),
    bar("left", "rail", [300, -260], [700, -260], 80),
    bar("right", "rail", [300, 260], [700, 260], 80),
  ];
  for (const [upright, want] of [
    [false, { ArrowLeft: "ahead", ArrowRight: "behind", ArrowUp: "right", ArrowDown: "left" }],
    [true, { ArrowUp: "ahead", ArrowDown: "behind", ArrowRight: "right", ArrowLeft: "left" }],
  ]) {
    const drawn = shapes(zones, onto({ upright, scale: 0.2, x: 0, y: 0 }));
    for (const [key, id] of Object.entries(want))
      assert.equal(neighbour(drawn, "mid", key), id, `${key}, upright ${upright}`);
    assert.equal(neighbour(drawn, "mid", "a"), undefined);
    assert.equal(
      neighbour(drawn, "ahead", upright ? "ArrowUp" : "ArrowLeft"),
      undefined,
      "nothing lies beyond",
    );
  }
});

test("a finger beside everything picks the nearest within reach, or nothing", () => {
  const zones = [
    bar("rail", "rail", [0, 0], [1000, 0], 100),
    bar("mount", "mount", [500, 120], [500, 120], 100),
  ];
  const drawn = shapes(zones, onto({ upright: false, scale: 0.2, x: 0, y: 100 }));
  assert.equal(at(drawn, { x: 20, y: 121 }, 22)?.zone.id, "rail", "11 below the rail's face");
  assert.equal(at(drawn, { x: 20, y: 140 }, 22), undefined, "30 below it");
  assert.equal(at(drawn, { x: 100, y: 62 }, 22)?.zone.id, "mount", "beyond the mount");
  assert.equal(at(drawn, { x: 100, y: 92 }, 22)?.zone.id, "rail", "on the rail, close to the mount");
});

test("the layouts are as wide left as right and hold both axles", () => {
  for (const layout of layouts) {
    const { front, rear } = extent(layout.zones);
    assert.ok(front < 0 && rear > rearAxle(layout.zones), layout.code);
    for (const z of layout.zones.filter((one) => one.side === "left" && one.kind !== "opening")) {
      const twin = layout.zones.find((o) => o.code === z.code.replace("left", "right"));
      assert.ok(twin, `${z.code} has a twin at the right`);
      assert.deepEqual(
        [twin.plan.from.x, -twin.plan.from.y, twin.plan.to.x, -twin.plan.to.y],
        [z.plan.from.x, z.plan.from.y, z.plan.to.x, z.plan.to.y],
        z.code,
      );
    }
  }
});

test("a zone is spoken with its condition and its hidden share", () => {
  const zone = bar("k", "kick_up", [0, 0], [100, 0], 80, { name: "Left kick-up", visible_percent: 15 });
  assert.equal(
    spoken(zone, { worst: "pitted", text: "3 places" }, "F3"),
    "Left kick-up, pitted, 3 places, 85 % hidden with the body on, marked F3",
  );
  assert.equal(spoken(zone, undefined), "Left kick-up, not graded yet, 85 % hidden with the body on");
  assert.equal(hiddenWord({ ...zone, visible_percent: 0 }), "all hidden");
  assert.equal(hiddenWord({ ...zone, visible_percent: 100 }), "all can be seen");
  assert.equal(conditionWord({ worst: null }), "not graded yet");
});

test("what two surveys tell: worse, better, uncovered, or nothing", () => {
  /** @type {[string, string | null, string | null, string | undefined][]} thought, found, the difference */
  const rows = [
    ["same", "b", "b", undefined],
    ["worse", "b", "d", "worse"],
    ["through", "pitted", "perforated", "worse"],
    ["better", "d", "b", "better"],
    ["uncovered", "hidden", "pitted", "uncovered"],
    ["uncovered-sound", "hidden", "a", "uncovered"],
    ["still-hidden", "hidden", "hidden", undefined],
    ["lost-sight", "c", "hidden", undefined],
    ["not-found", "c", null, undefined],
    ["new-sound", null, "b", undefined],
    ["new-bad", null, "c", "uncovered"],
  ];
  const zones = rows.map(([id]) => bar(id, "rail", [0, 0], [1, 0], 1));
  const side = (n) => Object.fromEntries(rows.map((r) => [r[0], { worst: r[n] }]));
  const got = differences(zones, side(1), side(2));
  for (const [id, was, is, want] of rows) {
    assert.equal(got.find((d) => d.zone.id === id)?.turn, want, `${id}: ${was} to ${is}`);
  }
  assert.equal(got[0]?.zone.id, "through", "the worst stands first");
  assert.deepEqual(differences(zones, {}, {}), []);
});
