// Keep by space, by foot pedal (it sends PageDown), by touch: once, however long it is held and
// however often it bounces.

/** Two presses nearer than this are one: a double click, a bouncing pedal [ms]. */
const ONE_PRESS_MS = 800;

export class KeepPress {
  /** @param act what one press does */
  constructor(act) {
    this.act = act;
    this.at = -Infinity;
  }

  press() {
    const now = performance.now();
    const again = now - this.at < ONE_PRESS_MS;
    this.at = now;
    if (!again) {
      this.act();
    }
  }
}

function takesText(node) {
  return node instanceof HTMLElement &&
    (node.isContentEditable || ["INPUT", "TEXTAREA", "SELECT"].includes(node.tagName));
}

/**
 * @param press a KeepPress
 * @param keepButton the button that keeps: a space on it is the key, not a click besides
 * @param ready whether keys keep now
 */
export function listenKeys(press, keepButton, ready) {
  const ours = (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || takesText(event.target) ||
        document.querySelector("dialog[open]") || !ready()) {
      return false;
    }
    if (event.key === "PageDown") {
      return true;
    }
    const control = event.target instanceof Element && event.target.closest("button, a, summary");
    return event.key === " " && (!control || control === keepButton);
  };
  document.addEventListener("keydown", (event) => {
    if (ours(event)) {
      event.preventDefault();
      if (!event.repeat) {
        press.press();
      }
    }
  });
  document.addEventListener("keyup", (event) => {
    if (ours(event)) {
      event.preventDefault();
    }
  });
}
