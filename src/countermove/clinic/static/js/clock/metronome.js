// A beat to hear and to see, at the tempo of the test. Each beat is laid on the clock of the sound
// ahead of time, so that a busy page does not make it stumble; what is seen follows the same clock.
const AHEAD_S = 0.15, EVERY_MS = 25, LONG_S = 0.05, HIGH_HZ = 1320, LOW_HZ = 880;

export class Metronome {
  constructor(part) {
    this.part = part;
    this.button = part.querySelector("button");
    this.sound = part.querySelector("input");
    this.words = [...part.querySelectorAll(".pulse b")];
    this.gap_s = 60 / Number(part.dataset.beats);
    this.button.addEventListener("click", () => (this.timer ? this.stop() : this.start()));
  }

  start() {
    const Sound = window.AudioContext || window.webkitAudioContext;
    this.heard = Sound ? new Sound() : null;
    this.heard?.resume();
    this.began = this.now() + 0.1;
    this.laid = this.seen = 0;
    this.timer = setInterval(() => this.look(), EVERY_MS);
    this.button.textContent = this.button.dataset.stop;
    this.button.setAttribute("aria-pressed", "true");
  }

  // Seconds. A device that was refused its sound keeps its clock at zero; then the page's own counts.
  now() {
    return performance.now() / 1000;
  }

  look() {
    if (!this.part.isConnected) return this.stop();
    const now = this.now();
    while (this.began + this.laid * this.gap_s < now + AHEAD_S) this.click(this.laid++, now);
    while (this.began + this.seen * this.gap_s <= now) this.show(this.seen++);
    return undefined;
  }

  click(number, now) {
    if (!this.sound.checked || this.heard?.state !== "running") return;
    const at = this.heard.currentTime + Math.max(0, this.began + number * this.gap_s - now);
    const tone = this.heard.createOscillator(), loud = this.heard.createGain();
    tone.frequency.value = number % 2 ? LOW_HZ : HIGH_HZ;
    loud.gain.setValueAtTime(0.4, at);
    loud.gain.exponentialRampToValueAtTime(0.001, at + LONG_S);
    tone.connect(loud).connect(this.heard.destination);
    tone.start(at);
    tone.stop(at + LONG_S);
  }

  show(number) {
    this.part.dataset.seen = String(number + 1);
    this.words.forEach((word, i) => word.classList.toggle("now", i === number % 2));
  }

  stop() {
    clearInterval(this.timer);
    this.timer = 0;
    this.heard?.close();
    this.words.forEach((word) => word.classList.remove("now"));
    this.button.textContent = this.button.dataset.start;
    this.button.setAttribute("aria-pressed", "false");
  }
}
