// What tells the operator from afar that a point is kept: a sound and a flash over the whole
// screen, other ones for a doubtful point. The flash is one change of picture, not a flicker.

import {say} from "./build.js";

const FLASH_MS = 1100;

export class Cues {
  constructor(soundButton, flash) {
    this.button = soundButton;
    this.flash = flash;
    this.audio = null;
    this.timer = 0;
    this.wanted = localStorage.getItem("meniscus-sound") !== "off";
    soundButton.addEventListener("click", (event) => {
      const on = this.audio?.state === "running" && this.wanted;
      this.wanted = !on;
      localStorage.setItem("meniscus-sound", this.wanted ? "on" : "off");
      this.unlock();
      if (event.detail > 0) {
        soundButton.blur();
      }
    });
    // Browsers allow sound after the first key or click only.
    for (const gesture of ["keydown", "pointerdown"]) {
      document.addEventListener(gesture, () => this.unlock(), {capture: true});
    }
    this.show();
  }

  unlock() {
    const allowed = navigator.userActivation?.hasBeenActive ?? true;
    if (this.wanted && !this.audio && window.AudioContext && allowed) {
      this.audio = new AudioContext();
      this.audio.onstatechange = () => this.show();
    }
    this.audio?.resume?.().then(() => this.show(), () => {});
    this.show();
  }

  show() {
    const on = this.wanted && this.audio?.state === "running";
    say(this.button, on ? "Sound on" : this.wanted ? "Sound: press any key" : "Sound off");
    this.button.setAttribute("aria-pressed", String(Boolean(on)));
  }

  /** Rising for a kept point; falling, longer and twice for a doubtful one. */
  chime(doubtful) {
    if (!this.wanted || this.audio?.state !== "running") {
      return;
    }
    const notes = doubtful ? [[740, 0], [494, 0.22], [740, 0.55], [494, 0.77]] : [[880, 0], [1319, 0.16]];
    for (const [hertz, after] of notes) {
      const at = this.audio.currentTime + after;
      const tone = new OscillatorNode(this.audio, {type: "triangle", frequency: hertz});
      const gain = new GainNode(this.audio, {gain: 0});
      gain.gain.setValueAtTime(0, at);
      gain.gain.linearRampToValueAtTime(0.6, at + 0.015);
      gain.gain.exponentialRampToValueAtTime(0.001, at + (doubtful ? 0.3 : 0.45));
      tone.connect(gain).connect(this.audio.destination);
      tone.start(at);
      tone.stop(at + 0.5);
    }
  }

  kept(doubtful, title, text) {
    this.chime(doubtful);
    this.flash.dataset.kind = doubtful ? "doubtful" : "kept";
    this.flash.replaceChildren();
    const word = document.createElement("strong");
    word.textContent = title;
    const sentence = document.createElement("span");
    sentence.textContent = text;
    this.flash.append(word, sentence);
    this.flash.classList.add("shown");
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.flash.classList.remove("shown"), FLASH_MS);
  }
}
