/* One handle of an event: a slider of its own, moved by pointer or keys; the form holds the time. */
import { clamp, minus } from "./numbers.js";
import { follow } from "./zoom.js";

const STEP_S = 0.001, LONG_STEP_S = 0.01, PAGE_S = 0.1;
const KEYS = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 };
const PAGES = { PageDown: -PAGE_S, PageUp: PAGE_S };

export class Grip {
  constructor(hands, input, row) {
    Object.assign(this, { hands, tracing: hands.tracing, input, row, held: null });
    this.name = input.labels[0].textContent.replace(/:$/, "");
    this.mark = document.createElement("span");
    this.mark.className = "grip";
    this.mark.tabIndex = 0;
    this.mark.dataset.event = input.name;
    this.mark.textContent = this.name;
    this.mark.setAttribute("role", "slider");
    this.mark.setAttribute("aria-label", this.tracing.figure.dataset.handle.replace("{name}", this.name));
    const { mark } = this;
    mark.addEventListener("keydown", (event) => this.key(event));
    mark.addEventListener("focus", () => { follow(this.tracing, this.time); this.tracing.schedule(); });
    mark.addEventListener("pointerdown", (event) => this.press(event));
    mark.addEventListener("pointermove", (event) => this.drag(event));
    for (const name of ["pointerup", "pointercancel"]) mark.addEventListener(name, () => this.leave());
  }

  get time() { return parseFloat(this.input.value); }
  get found() { return parseFloat(this.input.dataset.found); }
  get stands() { return Number.isFinite(this.time); }

  /* Move to a time, between the neighbours it has to stay between. */
  set(time) {
    const [low, high] = this.hands.room(this);
    this.input.value = clamp(time, low, high).toFixed(3);
    this.tell();
    this.tracing.schedule();
  }

  tell() {
    const { time, found, mark, tracing } = this, { first, last, figure: { dataset } } = tracing;
    if (!this.stands) return;
    const apart = Math.round(1000 * (time - found));
    const words = Number.isFinite(apart) && apart !== 0 ? dataset.moved : dataset.stays;
    const signed = minus(`${apart > 0 ? "+" : ""}${apart}`);
    const said = { now: time.toFixed(3), min: first.toFixed(3), max: last.toFixed(3),
      text: words.replace("{time}", time.toFixed(3)).replace("{apart}", signed) };
    for (const [key, value] of Object.entries(said)) mark.setAttribute(`aria-value${key}`, value);
  }

  key(event) {
    if ((event.ctrlKey || event.metaKey) && event.key === "z") {
      event.preventDefault();
      this.hands.stepBack();
      return;
    }
    const way = KEYS[event.key], page = PAGES[event.key];
    if ((!way && !page) || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    if (!event.repeat) this.hands.remember();
    this.set(this.time + (page ?? way * (event.shiftKey ? LONG_STEP_S : STEP_S)));
    follow(this.tracing, this.time);
  }

  press(event) {
    if (event.button !== 0) return;
    event.preventDefault();
    this.mark.focus({ preventScroll: true });
    this.mark.setPointerCapture(event.pointerId);
    this.held = { x: event.clientX, time: this.time, moved: false };
  }

  drag(event) {
    const { held, tracing } = this;
    if (!held || event.clientX === held.x && !held.moved) return;
    if (!held.moved) this.hands.remember();
    held.moved = true;
    const [start, end] = tracing.view;
    this.set(held.time + (event.clientX - held.x) / tracing.frame.wide * (end - start));
  }

  leave() { this.held = null; }

  /* The handle stands on its line; beyond the view it waits at the edge. */
  place() {
    const { mark, tracing, row, stands } = this, { left, right, top } = tracing.frame;
    mark.hidden = !stands;
    if (!stands) return;
    const x = tracing.x(this.time);
    mark.style.left = `${clamp(x, left, right)}px`;
    mark.style.top = `${top + 46 * row}px`;
    mark.classList.toggle("beyond", x < left || x > right);
    mark.classList.toggle("turned", clamp(x, left, right) > right - 90);
  }

  draw() {
    const { tracing, time, found, stands } = this, { pen, frame: { left, right, top, floor } } = tracing;
    if (!stands) return;
    const inside = (x) => x >= left - 1 && x <= right + 1, x = tracing.x(time), was = tracing.x(found);
    if (Number.isFinite(found) && found !== time && inside(was)) pen.rule(pen.color.pencil, 1, was, top, was, floor, [2, 4]);
    if (inside(x)) pen.rule(pen.color.asked, 1.5, x, top, x, floor);
  }
}
