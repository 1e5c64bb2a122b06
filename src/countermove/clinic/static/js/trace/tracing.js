/* A force trace on canvas: what is in view, where it lies on the paper, and when it is drawn. */
import { Figures } from "./figures.js";
import { Hands } from "./hands.js";
import { clamp } from "./numbers.js";
import { drawGround } from "./ground.js";
import { drawMarks } from "./marks.js";
import { Pen } from "./pen.js";
import { Reading } from "./reading.js";

const TICK_N = 500, NARROW_PX = 700;

export class Tracing {
  constructor(figure, marks, plates) {
    Object.assign(this, { figure, marks, plates });
    this.total = plates.length === 1 ? plates[0] : plates[0].map((_, i) => plates.reduce((sum, plate) => sum + plate[i], 0));
    this.first = marks.start;
    this.last = marks.start + (this.total.length - 1) / marks.rate;
    this.view = [...(figure.clientWidth < NARROW_PX ? marks.narrow_view : marks.view)];
    this.build();
    this.pen = new Pen(this.canvas);
    this.lay(this.holder.clientWidth, this.holder.clientHeight);
    this.reading = new Reading(this);
    this.hands = new Hands(this);
    this.figures = new Figures(this);
    const flight = marks.phases.find(([name]) => name === "flight");
    this.reading.read(flight?.[1] ?? this.view[0], true);
    this.listen();
    this.paint();
  }

  build() {
    const { figure } = this;
    this.holder = document.createElement("div");
    this.holder.className = "slide";
    this.holder.tabIndex = 0;
    const said = {
      role: "slider", "aria-label": figure.dataset.label, "aria-describedby": "wide-trace-desc",
      "aria-valuemin": this.first.toFixed(3), "aria-valuemax": this.last.toFixed(3),
    };
    for (const [name, value] of Object.entries(said)) this.holder.setAttribute(name, value);
    this.canvas = document.createElement("canvas");
    this.holder.append(this.canvas);
    const box = document.createElement("div");
    box.className = "sheet";
    box.append(this.holder);
    figure.querySelector(".still").before(box);
    figure.querySelector(".still").hidden = true;
    figure.querySelector("figcaption").hidden = false;
  }

  listen() {
    this.watcher = new ResizeObserver(() => this.schedule());
    this.watcher.observe(this.holder);
    this.watchDensity();
    document.fonts?.ready.then(() => this.schedule());
  }

  /* A window dragged to another screen has other pixels. */
  watchDensity() {
    if (!this.holder.isConnected) return;
    const density = matchMedia(`(resolution: ${devicePixelRatio}dppx)`);
    density.addEventListener("change", () => { this.schedule(); this.watchDensity(); }, { once: true });
  }

  sample(time) { return clamp(Math.round((time - this.first) * this.marks.rate), 0, this.total.length - 1); }
  x(time) { return this.frame.left + (time - this.view[0]) / (this.view[1] - this.view[0]) * this.frame.wide; }
  y(force) { return this.frame.floor - force / this.frame.most * (this.frame.floor - this.frame.top); }
  time(x) { return this.view[0] + (x - this.frame.left) / this.frame.wide * (this.view[1] - this.view[0]); }

  schedule() {
    if (this.waits) return;
    this.waits = requestAnimationFrame(() => { this.waits = 0; this.paint(); });
  }

  paint() {
    const { clientWidth: width, clientHeight: height } = this.holder;
    if (!width || !height) return;
    this.lay(width, height);
    this.pen.begin(this.holder, width, height, this.frame.density);
    this.hands.draw();
    drawGround(this);
    drawMarks(this);
    this.reading.draw();
    this.figures.draw();
  }

  /* Lay the frame: margins, and as much force as the view holds. */
  lay(width, height) {
    const narrow = width < NARROW_PX, left = narrow ? 6 : 58, right = narrow ? width - 6 : width - 76;
    const { marks: { rate }, view: [start, end], total } = this;
    this.from = this.sample(start - 1 / rate);
    this.to = this.sample(end + 1 / rate);
    let most = 0;
    for (let i = this.from; i <= this.to; i += 1) if (total[i] > most) most = total[i];
    this.frame = {
      width, narrow, density: devicePixelRatio || 1, left, right, wide: right - left, top: narrow ? 24 : 28,
      floor: height - 88, tick: TICK_N, most: TICK_N * Math.ceil((most + 0.3 * TICK_N) / TICK_N),
    };
  }
}
