import assert from "node:assert/strict";
import { test } from "node:test";
import { project, toType, withPhotos } from "../lib/bench.js";
import { ApiProblem, NetworkProblem } from "../lib/call.js";
import { isRefusal, Queue } from "../lib/queue.js";

/** A shelf in memory that copies, as IndexedDB does. */
function shelf() {
  const rows = new Map();
  return {
    rows,
    all: async () => structuredClone([...rows.values()]),
    put: async (write) => void rows.set(write.key, structuredClone(write)),
    putAll: async (writes) => {
      for (const write of structuredClone(writes)) rows.set(write.key, write);
    },
    remove: async (key) => void rows.delete(key),
  };
}

/** A server that does each key once, and whose line can break before or after the work is done. */
function server() {
  const done = new Map();
  return {
    done,
    calls: 0,
    fate: () => "ok",
    send: async function (write) {
      this.calls += 1;
      const fate = this.fate(write, this.calls);
      if (fate === "lost on the way there") throw new NetworkProblem(new Error("gone"));
      if (typeof fate === "number") {
        throw new ApiProblem({ type: "t", title: "no", status: fate, detail: `because ${fate}` });
      }
      const photo = write.body instanceof Blob;
      if (!done.has(write.key)) done.set(write.key, photo ? `photo ${done.size}` : write.body);
      if (fate === "lost on the way back") throw new NetworkProblem(new Error("gone"));
      return photo ? { id: done.get(write.key) } : { ok: write.key };
    },
  };
}

const write = (key) => ({
  key,
  method: "post",
  path: "/api/bench/hours",
  body: { n: key },
  at: "2026-11-24T08:00:00Z",
  label: key,
});

test("a write goes up at once and leaves the shelf", async () => {
  const s = shelf();
  const up = server();
  const queue = new Queue(s, (w) => up.send(w), "tamas");
  assert.deepEqual(await queue.add(write("a")), { state: "done", data: { ok: "a" } });
  assert.equal(s.rows.size, 0);
});

test("without a network writes wait, in order, with key and instant unchanged", async () => {
  const s = shelf();
  const up = server();
  up.fate = () => "lost on the way there";
  const queue = new Queue(s, (w) => up.send(w), "tamas");
  for (const key of ["a", "b", "c"]) assert.equal((await queue.add(write(key))).state, "waiting");
  assert.deepEqual(
    (await queue.mine()).map((w) => [w.key, w.at]),
    [
      ["a", write("a").at],
      ["b", write("b").at],
      ["c", write("c").at],
    ],
  );
  up.fate = () => "ok";
  // As after a restart: another queue over the same shelf.
  await new Queue(s, (w) => up.send(w), "tamas").flush();
  assert.deepEqual([...up.done.keys()], ["a", "b", "c"]);
  assert.equal(s.rows.size, 0);
});

test("an answer lost on the way back does not count twice", async () => {
  const s = shelf();
  const up = server();
  up.fate = (_, n) => (n === 1 ? "lost on the way back" : "ok");
  const queue = new Queue(s, (w) => up.send(w), "tamas");
  assert.equal((await queue.add(write("a"))).state, "waiting");
  await queue.flush();
  assert.equal(up.calls, 2);
  assert.deepEqual([...up.done.keys()], ["a"]);
  assert.equal(s.rows.size, 0);
});

test("whatever the network does, each write is done exactly once and in order", async () => {
  // A small linear congruential generator (Numerical Recipes' constants): the same fates in every run.
  let seed = 20261124;
  const random = () => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 2 ** 32;
  };
  for (let round = 0; round < 50; round++) {
    const s = shelf();
    const up = server();
    up.fate = () =>
      random() < 0.4
        ? "lost on the way there"
        : random() < 0.4
          ? "lost on the way back"
          : random() < 0.1
            ? 503
            : "ok";
    const queue = new Queue(s, (w) => up.send(w), "tamas");
    const keys = Array.from({ length: 12 }, (_, n) => `w${n}`);
    await Promise.all(keys.map((key) => queue.add(write(key))));
    for (let tries = 0; s.rows.size > 0 && tries < 1000; tries++)
      await Promise.all([queue.flush(), queue.flush()]);
    assert.equal(s.rows.size, 0);
    assert.equal(up.done.size, keys.length);
    const order = [...up.done.keys()];
    assert.deepEqual(
      order,
      [...order].sort((a, b) => keys.indexOf(a) - keys.indexOf(b)),
    );
  }
});

test("a refusal after the fact is kept and shown, and the line goes on", async () => {
  const s = shelf();
  const up = server();
  up.fate = () => "lost on the way there";
  const queue = new Queue(s, (w) => up.send(w), "tamas");
  await queue.add(write("a"));
  await queue.add(write("b"));
  up.fate = (w) => (w.key === "a" ? 409 : "ok");
  await queue.flush();
  const left = await queue.mine();
  assert.deepEqual(
    left.map((w) => [w.key, w.state, w.problem?.detail]),
    [["a", "refused", "because 409"]],
  );
  assert.deepEqual([...up.done.keys()], ["b"]);
  await queue.flush();
  assert.equal((await queue.mine()).length, 1, "it stays until somebody has read it");
  await queue.drop("a");
  assert.equal((await queue.mine()).length, 0);
});

test("a refusal met at once goes back to who asked", async () => {
  const s = shelf();
  const up = server();
  up.fate = () => 422;
  const outcome = await new Queue(s, (w) => up.send(w), "tamas").add(write("a"));
  assert.equal(outcome.state, "refused");
  assert.equal(outcome.problem.detail, "because 422");
  assert.equal(s.rows.size, 0);
});

test("what the server fails on again and again, or what cannot be sent, holds nobody up for good", async (t) => {
  t.mock.method(console, "error", () => {});
  for (const [name, fail] of [
    [
      "a defect of the server",
      () => new ApiProblem({ type: "t", title: "no", status: 500, detail: "defect" }),
    ],
    ["a write that no longer has an address", () => new TypeError("no value for {entry}")],
  ]) {
    const s = shelf();
    const up = server();
    up.fate = () => "lost on the way there";
    const queue = new Queue(
      s,
      async (w) => {
        if (w.key === "bad" && up.calls > 1) throw fail();
        return up.send(w);
      },
      "tamas",
    );
    for (const key of ["bad", "good"]) await queue.add(write(key));
    up.fate = () => "ok";
    let tries = 0;
    while (up.done.size === 0 && tries < 50) {
      await queue.flush();
      tries += 1;
    }
    assert.deepEqual([...up.done.keys()], ["good"], name);
    assert.deepEqual(
      (await queue.mine()).map((w) => [w.key, w.state, typeof w.problem?.detail]),
      [["bad", "refused", "string"]],
      name,
    );
  }
});

test("an outage is waited for, however long", async () => {
  const s = shelf();
  const up = server();
  up.fate = () => 503;
  const queue = new Queue(s, (w) => up.send(w), "tamas");
  await queue.add(write("a"));
  for (let n = 0; n < 50; n += 1) await queue.flush();
  assert.deepEqual(
    (await queue.mine()).map((w) => w.state),
    ["waiting"],
  );
});

test("signed out or overloaded is not refused", () => {
  assert.deepEqual(
    [400, 401, 403, 404, 408, 409, 412, 422, 425, 429, 500, 503].filter(isRefusal),
    [400, 403, 404, 409, 412, 422],
  );
});

test("one person's entries never go up under another's sign-in", async () => {
  const s = shelf();
  const up = server();
  up.fate = () => "lost on the way there";
  await new Queue(s, (w) => up.send(w), "tamas").add(write("a"));
  up.fate = () => "ok";
  const other = new Queue(s, (w) => up.send(w), "runa");
  await other.flush();
  assert.equal(up.done.size, 0);
  assert.equal(await other.others(), 1);
});

const found = (photos = 2) =>
  withPhotos(
    "/api/jobs/{job}/findings",
    "j",
    { zone_id: "z", what: "rust", note: "", photo_ids: [], repairs: [] },
    Array.from({ length: photos }, (_, n) => new Blob([`picture ${n}`])),
    "Rust",
  );

test("photos go up before what they show, which then names them", async () => {
  const s = shelf();
  const up = server();
  up.fate = () => "lost on the way there";
  const queue = new Queue(s, (w) => up.send(w), "tamas");
  const writes = found();
  await queue.keep(writes);
  await queue.flush();
  assert.equal(s.rows.size, 3);
  up.fate = () => "ok";
  // As after a restart: another queue over the same shelf.
  await new Queue(s, (w) => up.send(w), "tamas").flush();
  assert.deepEqual(
    [...up.done.keys()],
    writes.map((w) => w.key),
  );
  assert.equal(new Set(writes.map((w) => w.key)).size, 3, "a key of its own for each");
  assert.deepEqual([...up.done.values()].at(-1).photo_ids, ["photo 0", "photo 1"]);
  assert.equal(s.rows.size, 0);
});

test("whatever the network and the device do, a finding goes up once with each of its photos once", async () => {
  let seed = 19570104;
  const random = () => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 2 ** 32;
  };
  for (let round = 0; round < 50; round++) {
    const s = shelf();
    const up = server();
    up.fate = () =>
      random() < 0.3 ? "lost on the way there" : random() < 0.3 ? "lost on the way back" : "ok";
    // The device is switched off in the middle of a step, now and then.
    const dying = {
      ...s,
      remove: async (key) => {
        if (random() < 0.3) throw new Error("switched off");
        return s.remove(key);
      },
    };
    const writes = [...found(3), ...found(0), ...found(2)];
    await s.putAll(writes.map((w, order) => ({ ...w, order, person: "tamas", state: "waiting" })));
    for (let tries = 0; s.rows.size > 0 && tries < 1000; tries++)
      await new Queue(dying, (w) => up.send(w), "tamas").flush().catch(() => {});
    assert.equal(s.rows.size, 0);
    assert.equal(up.done.size, writes.length);
    for (const write of writes.filter((w) => !w.feeds)) {
      const own = writes.filter((w) => w.feeds === write.key).map((w) => up.done.get(w.key));
      assert.deepEqual(up.done.get(write.key).photo_ids, own);
    }
  }
});

test("a photo that is refused is kept and shown; the finding goes up with the others", async () => {
  const s = shelf();
  const up = server();
  const writes = found();
  up.fate = (w) => (w.key === writes[0].key ? 422 : "ok");
  const queue = new Queue(s, (w) => up.send(w), "tamas");
  await queue.keep(writes);
  await queue.flush();
  assert.deepEqual(up.done.get(writes[2].key).photo_ids.length, 1);
  assert.deepEqual(
    (await queue.mine()).map((w) => [w.key, w.state]),
    [[writes[0].key, "refused"]],
  );
});

test("a clock does not wait for the photos that were kept before it", async (t) => {
  t.mock.timers.enable({ apis: ["setTimeout"] });
  const s = shelf();
  const sent = [];
  /** @type {(value: unknown) => void} */
  let arrives = () => {};
  const queue = new Queue(
    s,
    (w) => {
      sent.push(w.label);
      return w.body instanceof Blob
        ? new Promise((done) => {
            arrives = () => done({ id: w.key });
          })
        : Promise.resolve({});
    },
    "tamas",
  );
  await queue.keep(found());
  while (sent.length < 1) await new Promise((next) => setImmediate(next));
  const stop = queue.add(write("stop"));
  await new Promise((next) => setImmediate(next));
  t.mock.timers.tick(3000);
  assert.deepEqual(await stop, { state: "waiting" }, "said after a moment, not after the photo");
  arrives();
  await new Promise((next) => setImmediate(next));
  assert.deepEqual(
    sent,
    ["Photo 1 of Rust", "stop", "Photo 2 of Rust"],
    "the clock goes before the next photo",
  );
});

test("a device without room says so and keeps none of it", async () => {
  const s = shelf();
  const queue = new Queue(
    {
      ...s,
      putAll: async () =>
        Promise.reject(new ApiProblem({ type: "t", title: "no room", status: 507, detail: "no room" })),
    },
    async () => ({}),
    "tamas",
  );
  await assert.rejects(queue.keep(found()), /no room/);
  assert.equal(s.rows.size, 0);
});

const card = {
  task_id: "t1",
  job_id: "j",
  job_number: 14,
  code: "A10",
  name: "Receive the car",
  to_go_hours: "2.00",
};
const today = { day: "2026-11-24", minutes_today: 30, next: [card], entries: [], jobs: [] };
const act = (key, path, body) => ({ ...write(key), path, body, person: "tamas", order: 1, state: "waiting" });

test("Today shows what waits: started, then stopped", () => {
  const start = act("s", "/api/bench/clock/start", { task_id: "t1", at: "2026-11-24T08:00:00Z" });
  const runs = project(today, [start]);
  assert.equal(runs.clock.task_name, "Receive the car");
  assert.deepEqual(runs.next, []);
  const stop = act("e", "/api/bench/clock/stop", {
    at: "2026-11-24T09:45:00Z",
    done: false,
    hours_to_go: "0.50",
  });
  const after = project(today, [start, stop]);
  assert.equal(after.clock, undefined);
  assert.equal(after.minutes_today, 135);
  assert.equal(after.entries[0].minutes, 105);
  assert.deepEqual(after.next, [card]);
  assert.equal(project(today, [{ ...start, state: "refused" }]).clock, undefined, "refused is not done");
});

test("what is free beside the plan can be begun without a network too", () => {
  const other = { ...card, task_id: "t2", name: "Strip the tail" };
  const day = { ...today, plan: { revision: 3, decided_by: "", others: [other] } };
  const runs = project(day, [
    act("s", "/api/bench/clock/start", { task_id: "t2", at: "2026-11-24T08:00:00Z" }),
  ]);
  assert.equal(runs.clock.task_name, "Strip the tail");
  assert.deepEqual([runs.next, runs.plan.others], [[card], []], "it stands in one place");
});

test("a refused write is typed in from what it says", () => {
  const at = "2026-11-24T08:00:00Z";
  const hours = { task_id: "t1", started_at: at, finished_at: "2026-11-24T09:00:00Z", done: false };
  assert.deepEqual(toType(act("h", "/api/bench/hours", hours)), hours);
  const begun = { task_id: "t1", started_at: at };
  assert.deepEqual(toType(act("s", "/api/bench/clock/start", { task_id: "t1", at })), begun);
  const over = { stop: { done: false, at }, start: { task_id: "t1", at } };
  assert.deepEqual(toType(act("o", "/api/bench/clock/switch", over)), begun);
  assert.equal(
    toType(act("e", "/api/bench/clock/stop", { done: false, at })),
    undefined,
    "its clock still runs",
  );
  assert.equal(toType(act("w", "/api/bench/clock/start", { waiting: "parts", job_id: "j", at })), undefined);
});
