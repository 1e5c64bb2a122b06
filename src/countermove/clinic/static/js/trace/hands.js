/* Weighing and events under hands: handles on the trace, undo step by step, all back to found. */
import { clamp } from "./numbers.js";
import { Grip } from "./grip.js";
import { glide } from "./zoom.js";

const ROWS = { start_s: 0, end_s: 1, onset_s: 2, takeoff_s: 0, landing_s: 1 };
const ORDERS = [["start_s", "end_s"], ["onset_s", "takeoff_s", "landing_s"]];
const LEAST_WINDOW_S = 0.1, LEAST_S = 0.001;

export class Hands {
  constructor(tracing) {
    Object.assign(this, { tracing, grips: [], steps: [] });
    this.form = document.getElementById("moving");
    if (!this.form) return;
    this.grips = [...this.form.querySelectorAll("input[data-found]")].map((input) => new Grip(this, input, ROWS[input.name]));
    this.box = document.createElement("div");
    this.box.className = "grips";
    this.box.append(...this.grips.map((grip) => grip.mark));
    tracing.holder.after(this.box);
    this.form.querySelectorAll(".scripted").forEach((part) => { part.hidden = false; });
    this.back = this.form.querySelector("#step-back");
    this.back.addEventListener("click", () => this.stepBack());
    this.form.querySelector("#all-found").addEventListener("click", () => this.allFound());
    this.form.addEventListener("toggle", () => this.uncover());
    this.watch();
    this.grips.forEach((grip) => grip.tell());
    if (this.form.open) this.uncover();
  }

  get open() { return Boolean(this.form?.open); }

  grip(name) { return this.grips.find((grip) => grip.input.name === name); }

  /* What is typed into a field is a step too. */
  watch() {
    for (const grip of this.grips) {
      grip.input.addEventListener("focus", () => { this.typed = this.times(); });
      grip.input.addEventListener("change", () => { if (this.typed) this.remember(this.typed); this.typed = this.times(); });
      grip.input.addEventListener("input", () => { grip.tell(); this.tracing.schedule(); });
    }
  }

  times() { return Object.fromEntries(this.grips.map(({ input }) => [input.name, input.value])); }

  remember(times = this.times()) {
    this.steps.push(times);
    this.back.disabled = false;
  }

  write(times) {
    for (const grip of this.grips) {
      grip.input.value = times[grip.input.name];
      grip.tell();
    }
    this.tracing.schedule();
  }

  stepBack() {
    if (this.steps.length) this.write(this.steps.pop());
    this.back.disabled = this.steps.length === 0;
  }

  allFound() {
    this.remember();
    this.write(Object.fromEntries(this.grips.map(({ input }) => [input.name, input.dataset.found])));
  }

  /* From the reading line: an edge of the weighing goes where it stands. */
  put(name, time) {
    const grip = this.grip(name);
    if (!grip) return;
    this.form.open = true;
    this.remember();
    grip.input.value = clamp(time, this.tracing.first, this.tracing.last).toFixed(3);
    grip.tell();
    this.tracing.schedule();
  }

  /* Between which times an event may go: order is the page's, all else is the server's to judge. */
  room(grip) {
    const order = ORDERS.find((names) => names.includes(grip.input.name)), at = order.indexOf(grip.input.name);
    const least = order.length === 2 ? LEAST_WINDOW_S : LEAST_S;
    const before = this.grip(order[at - 1])?.time, after = this.grip(order[at + 1])?.time;
    const low = Number.isFinite(before) ? before + least : this.tracing.first;
    const high = Number.isFinite(after) ? after - least : this.tracing.last;
    return [low, Math.max(low, high)];
  }

  /* The whole weighing comes into sight when its form opens; on a phone its handles wait at the edge. */
  uncover() {
    const { tracing } = this, start = this.grip("start_s")?.time, end = this.grip("end_s")?.time;
    const [from, to] = tracing.view;
    this.box.hidden = !this.open;
    if (this.open && !tracing.frame?.narrow && Number.isFinite(start) && Number.isFinite(end) && (start < from || end > to)) {
      glide(tracing, [Math.max(tracing.first, Math.min(start - 0.2, from)), Math.max(end, to)]);
    } else tracing.schedule();
  }

  draw() {
    if (!this.box) return;
    this.box.hidden = !this.open;
    if (!this.open) return;
    this.drawWindow();
    for (const grip of this.grips) {
      grip.draw();
      grip.place();
    }
  }

  drawWindow() {
    const { tracing, tracing: { pen, frame: { left, right, top, floor } } } = this;
    const [start, end] = ["start_s", "end_s"].map((name) => clamp(tracing.x(this.grip(name).time), left, right));
    if (!(end > start)) return;
    pen.fill(pen.color["asked-wash"], start, top, end - start, floor - top);
  }
}
