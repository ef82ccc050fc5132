// The line to the program: the whole state once, then events. Connection lost and back again is
// seen to here; EventSource sends the id of the last event, and gets what was missed.

const CLIENT = "meniscus-client";

function clientName() {
  let name = sessionStorage.getItem(CLIENT);
  if (!name) {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    name = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    sessionStorage.setItem(CLIENT, name);
  }
  return name;
}

/** GET, or POST of JSON or of a file; throws an Error with the program's own words. */
export async function ask(path, body) {
  const isFile = body instanceof Blob;
  const answer = await fetch(path, body === undefined ? {} : {
    method: "POST",
    headers: {"Content-Type": isFile ? body.type : "application/json"},
    body: isFile ? body : JSON.stringify(body),
  }).catch(() => {
    throw new Error("Not done: the program does not answer. What is kept is safe; this page comes back by itself.");
  });
  const json = await answer.json().catch(() => ({}));
  if (!answer.ok) {
    throw new Error(json.error ?? `the program answered ${answer.status}`);
  }
  return json;
}

/** Asked for when this file is read, while the rest of the page is still on its way; used once. */
let early = ask(`/api/state?client=${clientName()}`);
early.catch(() => {});

/** Whether one event id comes before another of the same run of the program. */
function isOlder(id, than) {
  const [run, number] = id.split("-");
  const [otherRun, otherNumber] = than.split("-");
  return run === otherRun && Number(number) < Number(otherNumber);
}

/**
 * Events: "whole" (all anew), "state", "ladder", "kept", "told", "instruments", "link".
 */
export class Live extends EventTarget {
  constructor() {
    super();
    this.client = clientName();
    this.whole = {running: false};
    this.linked = false;
    this.heardAt = performance.now();
    this.source = null;
    this.newest = "";
    this.ends = 0;
  }

  async start() {
    await this.refresh();
    this.connect();
  }

  /**
   * All anew; once more when an event that came meanwhile is newer than the answer, which is nothing
   * worth when the program said meanwhile that it ends.
   */
  async refresh() {
    const before = this.ends;
    let whole;
    do {
      const asked = early ?? ask(`/api/state?client=${this.client}`);
      early = null;
      whole = await asked;
    } while (isOlder(whole.event, this.newest));
    if (this.ends !== before) {
      return;
    }
    this.whole = whole;
    this.heardAt = performance.now();
    this.emit("whole", this.whole);
  }

  connect() {
    const source = new EventSource(`/api/live?client=${this.client}&after=${this.whole.event}`);
    this.source = source;
    source.onopen = () => {
      this.linked = true;
      this.emit("link", true);
    };
    source.onerror = () => {
      this.linked = false;
      this.emit("link", false);
      if (source.readyState === EventSource.CLOSED) {
        setTimeout(() => this.again(), 1500);
      }
    };
    source.addEventListener("state", (event) => {
      this.heardAt = performance.now();
      this.emit("state", JSON.parse(event.data));
    });
    source.addEventListener("upkeep_live", (event) => this.emit("upkeep_live", JSON.parse(event.data)));
    for (const name of ["ladder", "kept", "told", "instruments", "readings", "upkeep", "outlets"]) {
      source.addEventListener(name, (event) => {
        this.newest = event.lastEventId;
        const json = JSON.parse(event.data);
        if (name === "upkeep" || name === "outlets") {
          this.whole[name] = json;
        }
        this.emit(name, json);
      });
    }
    source.addEventListener("ended", (event) => this.ended(JSON.parse(event.data)));
    for (const name of ["changed", "reset"]) {
      source.addEventListener(name, (event) => {
        this.newest = event.lastEventId;
        this.refresh().catch(() => {});
      });
    }
  }

  /** The program said that it ends; when one is started again, the page goes on with that. */
  ended(last) {
    this.ends++;
    this.source.close();
    this.linked = false;
    this.whole = {...this.whole, running: false, prepares: null, test: null, guests: [], ...last, over: true};
    this.emit("whole", this.whole);
    this.emit("link", false);
    setTimeout(() => this.again(), 1500);
  }

  async again() {
    try {
      await this.refresh();
      this.connect();
    } catch {
      setTimeout(() => this.again(), 1500);
    }
  }

  command(body) {
    return ask("/api/command", {...body, client: this.client});
  }

  check(plan) {
    return ask("/api/check", {plan, client: this.client});
  }

  startTest(body) {
    return ask("/api/start", {...body, client: this.client});
  }

  emit(name, detail) {
    this.dispatchEvent(new CustomEvent(name, {detail}));
  }

  on(name, act) {
    this.addEventListener(name, (event) => act(event.detail));
  }
}
