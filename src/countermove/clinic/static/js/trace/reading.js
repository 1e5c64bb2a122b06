/* The reading line: a time on the trace and the force there, by finger, mouse or keys. */
import { clamp, minus } from "./numbers.js";
import { follow, zoom } from "./zoom.js";

const ZOOM = 1.6, PAGE_S = 0.1;

export class Reading {
  constructor(tracing) {
    Object.assign(this, { tracing, at: 0, shown: false, held: false });
    this.output = tracing.figure.querySelector("output");
    const { holder, figure } = tracing;
    holder.addEventListener("keydown", (event) => this.key(event));
    for (const name of ["focus", "blur"]) holder.addEventListener(name, () => tracing.schedule());
    holder.addEventListener("pointerdown", (event) => this.press(event));
    holder.addEventListener("pointermove", (event) => { if (this.held) this.read(tracing.time(event.offsetX)); });
    for (const name of ["pointerup", "pointercancel"]) holder.addEventListener(name, () => { this.held = false; });
    figure.querySelectorAll("[data-zoom]").forEach((button) => {
      button.addEventListener("click", () => zoom(tracing, button.dataset.zoom === "in" ? 1 / ZOOM : ZOOM));
    });
  }

  /* Put the line somewhere; quietly where nobody asked for it yet. */
  read(time, quietly) {
    const { tracing, output } = this, { holder, figure, total } = tracing;
    this.at = clamp(time, tracing.first, tracing.last);
    const force = Math.round(total[tracing.sample(this.at)]) + 0;
    const words = figure.dataset.reads.replace("{time}", this.at.toFixed(3)).replace("{force}", minus(String(force)));
    holder.setAttribute("aria-valuenow", this.at.toFixed(3));
    holder.setAttribute("aria-valuetext", words);
    output.textContent = words;
    this.shown = this.shown || !quietly;
    if (quietly) return;
    follow(tracing, this.at);
    tracing.schedule();
  }

  key(event) {
    const { tracing, at } = this, [start, end] = tracing.view;
    const step = Math.max(1 / tracing.marks.rate, (end - start) / tracing.frame.wide) * (event.shiftKey ? 10 : 1);
    const acts = {
      ArrowLeft: () => this.read(at - step), ArrowRight: () => this.read(at + step),
      ArrowDown: () => this.read(at - step), ArrowUp: () => this.read(at + step),
      PageDown: () => this.read(at - PAGE_S), PageUp: () => this.read(at + PAGE_S),
      Home: () => this.read(tracing.first), End: () => this.read(tracing.last),
      "+": () => zoom(tracing, 1 / ZOOM), "=": () => zoom(tracing, 1 / ZOOM), "-": () => zoom(tracing, ZOOM),
      "[": () => tracing.hands.put("start_s", at), "]": () => tracing.hands.put("end_s", at),
    };
    if (!acts[event.key] || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    acts[event.key]();
  }

  press(event) {
    if (event.button !== 0) return;
    this.held = true;
    this.tracing.holder.setPointerCapture(event.pointerId);
    this.read(this.tracing.time(event.offsetX));
  }

  draw() {
    const { tracing, at } = this, { pen, frame: { left, right, top, floor } } = tracing;
    if (!this.shown && document.activeElement !== tracing.holder) return;
    const x = tracing.x(at);
    if (x < left || x > right) return;
    pen.rule(pen.color.asked, 1, x, top, x, floor);
    pen.dot(pen.color.asked, x, tracing.y(tracing.total[tracing.sample(at)]), 4.5);
  }
}
