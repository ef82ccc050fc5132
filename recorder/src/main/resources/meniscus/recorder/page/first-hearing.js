// Before there is a bench file: what is plugged in is listened to, one line after the other, and the
// form begins with what was recognised.

import {button, el, say} from "./build.js";
import {ask} from "./live.js";

export class FirstHearing {
  /** @param begin is given the members of a bench file to start from */
  constructor(live, begin) {
    this.live = live;
    this.begin = begin;
    this.list = el("ul", {class: "heard"});
    this.said = el("p", {role: "status", id: "heard"});
    this.again = button("Listen again", () => this.listen(), {id: "hear-again"});
    this.node = el("section", {class: "card", "aria-label": "What is plugged in"}, el("h3", {}, "What is plugged in"), this.said, this.list, el("p", {}, this.again));
  }

  /** Listens once by itself; later only when asked. */
  once(lines) {
    if (!this.heard) {
      this.heard = true;
      this.listen(lines);
    }
  }

  async listen(known) {
    const lines = (known ?? (await ask("/api/found")).lines).filter((line) => line.kind === "serial");
    const rows = lines.map((line) => el("li", {}, `${line.port}${line.description ? `, ${line.description}` : ""}: …`));
    this.list.replaceChildren(...rows);
    if (!lines.length) {
      say(this.said, "No serial or USB instrument is plugged in. Plug one in and listen again; instruments in the network are added below by their address.");
      return;
    }
    let bench = null;
    let recognised = 0;
    for (const [i, line] of lines.entries()) {
      say(this.said, `Listening to ${line.port}, ${i + 1} of ${lines.length} …`);
      try {
        const heard = await ask("/api/hear", {port: line.port, client: this.live.client});
        if (heard.given_up) {
          return say(this.said, "Something else was begun meanwhile.");
        }
        bench = heard.bench ?? bench;
        recognised += heard.sheet ? 1 : 0;
        say(rows[i], `${heard.sheet ? "✓" : "○"} ${line.port}: ${words(heard)}`);
      } catch (error) {
        say(rows[i], `▲ ${line.port}: ${error.message}`);
      }
    }
    say(this.said, bench ? "Recognised. The form below begins with these instruments; what cannot be heard is guessed widely: put in what stands on your bench."
      : recognised ? "Recognised, but a bench needs two pressures, of the port and of the flow element. Add the missing one below." : "Nothing was recognised: choose the sheets below.");
    if (bench) {
      this.begin(bench);
    }
  }
}

function words({sheet, frames, trouble, heard}) {
  return sheet ? `${sheet}, ${frames} readings` : trouble ? `cannot be listened to: ${trouble}`
    : heard ? `no sheet fits; what came was like “${heard}”` : "says nothing: is it switched on, or does it speak only when asked?";
}
