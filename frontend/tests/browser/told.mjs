// The telling: each step a line, a count at the end, and pictures of everybody's page where one fails.

import { mkdir } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** @import { Person } from "./people.mjs" */

export class Told {
  /** @param {() => Person[]} everybody */
  constructor(everybody) {
    this.everybody = everybody;
    this.passed = 0;
    this.failed = 0;
    this.began = Date.now();
  }

  /**
   * One step. It fails when it throws, and when a page complains of anything that the step did not expect.
   * @param {string} name
   * @param {() => Promise<unknown>} act
   */
  async step(name, act) {
    const began = Date.now();
    try {
      await act();
      const complaints = this.everybody().flatMap((who) => who.complaints.splice(0));
      if (complaints.length > 0) throw new Error(`a page complained:\n    ${complaints.join("\n    ")}`);
      this.passed += 1;
      console.log(`ok    ${name} (${((Date.now() - began) / 1000).toFixed(1)} s)`);
    } catch (error) {
      this.failed += 1;
      const words = error instanceof Error ? error.message : String(error);
      console.log(`FAIL  ${name}\n    ${words}`);
      for (const who of this.everybody()) who.complaints.length = 0;
      await this.#pictures();
    }
  }

  async #pictures() {
    const folder = process.env["TMPDIR"] || tmpdir();
    await mkdir(folder, { recursive: true });
    for (const who of this.everybody()) {
      const path = join(folder, `story-${this.failed}-${who.name.replaceAll(" ", "-")}.png`);
      const taken = await who.page.screenshot({ path, timeout: 10_000 }).then(
        () => true,
        () => false,
      );
      if (taken) console.log(`    picture: ${path}`);
    }
  }

  /** Says how it went. @returns {number} the exit status */
  end() {
    console.log(`story: ${this.passed} passed, ${this.failed} failed`);
    console.log(`       in ${((Date.now() - this.began) / 1000).toFixed(0)} s`);
    return this.failed === 0 && this.passed > 0 ? 0 : 1;
  }
}
