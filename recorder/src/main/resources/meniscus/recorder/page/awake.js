// While a test runs the screen stays on; a computer that slept all the same is said.

/** A timer that is so late was not late by itself: the computer slept, or the page was put away [ms]. */
const SLEPT_MS = 15_000;
const LOOK_MS = 3_000;

export class Awake {
  /** @param tell is given a sentence when readings may be missing */
  constructor(tell) {
    this.tell = tell;
    this.wanted = false;
    this.lock = null;
    this.at = Date.now();
    document.addEventListener("visibilitychange", () => this.hold());
    setInterval(() => this.look(), LOOK_MS);
  }

  /** @param wanted whether a test runs */
  want(wanted) {
    this.wanted = wanted;
    this.hold();
  }

  async hold() {
    if (this.wanted && document.visibilityState === "visible" && !this.lock && navigator.wakeLock) {
      try {
        this.lock = await navigator.wakeLock.request("screen");
        this.lock.addEventListener("release", () => this.lock = null);
      } catch {
        // On a low battery the system refuses: the screen goes dark as ever, and the test goes on.
        this.lock = null;
      }
    }
    if (!this.wanted && this.lock) {
      this.lock.release();
    }
    document.documentElement.dataset.awake = String(Boolean(this.lock));
  }

  look() {
    const late = Date.now() - this.at - LOOK_MS;
    this.at = Date.now();
    if (this.wanted && late > SLEPT_MS && document.visibilityState === "visible") {
      this.tell(`This computer slept for ${Math.round(late / 1000)} s: nothing was read meanwhile. Let it not sleep during a test; what was kept is safe.`);
    }
  }
}
