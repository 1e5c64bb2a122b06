// A watch for one side: start, stop, and the time stands in the next empty trial. It stops by itself
// where the test ends, and when its card was exchanged.
import { Fields } from "./fields.js";

const EVERY_MS = 100;

export class Stopwatch {
  constructor(part) {
    this.part = part;
    this.fields = new Fields(part);
    this.face = part.querySelector("output");
    this.button = part.querySelector("button");
    this.ends_s = Number(part.dataset.ends) || Infinity;
    this.began = 0;
    this.button.addEventListener("click", () => (this.began ? this.stop() : this.start()));
  }

  start() {
    this.began = performance.now();
    this.button.textContent = this.button.dataset.stop;
    this.timer = setInterval(() => this.look(), EVERY_MS);
    this.look();
  }

  seconds() {
    return Math.min((performance.now() - this.began) / 1000, this.ends_s);
  }

  look() {
    if (!this.part.isConnected) return clearInterval(this.timer);
    this.face.value = this.seconds().toFixed(1);
    if (this.seconds() >= this.ends_s) this.stop();
    return undefined;
  }

  stop() {
    clearInterval(this.timer);
    const told = String(Math.round(this.seconds() * 10) / 10);
    this.face.value = told;
    this.fields.next().value = told;
    this.began = 0;
    this.button.textContent = this.button.dataset.start;
  }
}
