/* A force trace on canvas: the drawing that the server sent, made to zoom, read and weigh by hand.
   Without this script the drawing stands as it is. Marks and places are those of charts/trace.py. */
"use strict";

(() => {
  const HATCH_S = 0.1, TICK_N = 500, LEAST_SPAN_S = 0.05, ZOOM = 1.6, GLIDE_MS = 140, GRIP_PX = 22;
  const NARROW_PX = 700, LETTER_PX = 7.2, LENGTH_PX = 40;
  // Where the words of a point stand: alignment, how far right, how far below it.
  const PLACES = {
    least: ["center", 0, -10], bottom: ["right", -14, -27], peak: ["right", -14, -27],
    power: ["left", 14, -20], takeoff: ["left", 40, -52], landing: ["left", 14, -2],
  };
  const NARROW_PLACES = { right: [-8, -6], center: [0, -10], left: [10, -6] };
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  const clamp = (value, low, high) => Math.min(Math.max(value, low), high);

  class Tracing {
    constructor(figure, marks, plates) {
      Object.assign(this, { figure, marks, plates, at: null, grip: null });
      this.total = plates.length === 1 ? plates[0] : plates[0].map((_, i) => plates.reduce((sum, plate) => sum + plate[i], 0));
      this.first = marks.start;
      this.last = marks.start + (this.total.length - 1) / marks.rate;
      this.view = [...(figure.clientWidth < NARROW_PX ? marks.narrow_view : marks.view)];
      this.build();
      this.listen();
      this.paint();
    }

    build() {
      this.holder = document.createElement("div");
      this.holder.className = "slide";
      this.holder.tabIndex = 0;
      const said = {
        role: "slider", "aria-label": this.figure.dataset.label, "aria-describedby": "wide-trace-desc",
        "aria-valuemin": this.first.toFixed(3), "aria-valuemax": this.last.toFixed(3),
      };
      for (const [name, value] of Object.entries(said)) this.holder.setAttribute(name, value);
      this.canvas = document.createElement("canvas");
      this.holder.append(this.canvas);
      this.figure.querySelector(".still").before(this.holder);
      this.figure.querySelector(".still").hidden = true;
      this.figure.querySelector("figcaption").hidden = false;
      this.output = this.figure.querySelector("output");
      this.moving = document.getElementById("moving");
      this.edges = this.moving ? [...this.moving.querySelectorAll("input[type=number]")] : [];
      this.read(this.phase("flight")?.[1] ?? this.view[0], true);
    }

    phase(name) { return this.marks.phases.find((phase) => phase[0] === name); }

    listen() {
      const holder = this.holder;
      holder.addEventListener("keydown", (event) => this.key(event));
      holder.addEventListener("focus", () => this.schedule());
      holder.addEventListener("blur", () => this.schedule());
      holder.addEventListener("pointerdown", (event) => this.press(event));
      holder.addEventListener("pointermove", (event) => this.drag(event));
      holder.addEventListener("pointerup", () => { this.grip = null; });
      holder.addEventListener("pointercancel", () => { this.grip = null; });
      this.figure.querySelectorAll("[data-zoom]").forEach((button) => {
        button.addEventListener("click", () => this.zoom(button.dataset.zoom === "in" ? 1 / ZOOM : ZOOM));
      });
      this.edges.forEach((edge) => edge.addEventListener("input", () => this.schedule()));
      this.moving?.addEventListener("toggle", () => this.uncover());
      this.watcher = new ResizeObserver(() => this.schedule());
      this.watcher.observe(holder);
      this.watchDensity();
      document.fonts?.ready.then(() => this.schedule());
      if (this.moving?.open) this.uncover();
    }

    /* A window dragged to another screen has other pixels. */
    watchDensity() {
      if (!this.holder.isConnected) return;
      const density = matchMedia(`(resolution: ${devicePixelRatio}dppx)`);
      density.addEventListener("change", () => { this.schedule(); this.watchDensity(); }, { once: true });
    }

    /* Reading line */

    read(time, quietly) {
      this.at = clamp(time, this.first, this.last);
      const force = Math.round(this.total[this.sample(this.at)]) + 0;
      const words = this.figure.dataset.reads.replace("{time}", this.at.toFixed(3)).replace("{force}", String(force).replace("-", "\u2212"));
      this.holder.setAttribute("aria-valuenow", this.at.toFixed(3));
      this.holder.setAttribute("aria-valuetext", words);
      this.output.textContent = words;
      this.shown = this.shown || !quietly;
      if (quietly) return;
      const [start, end] = this.view;
      const beyond = Math.min(0, this.at - start) + Math.max(0, this.at - end);
      if (beyond) this.view = [start + beyond, end + beyond];
      this.schedule();
    }

    sample(time) { return clamp(Math.round((time - this.first) * this.marks.rate), 0, this.total.length - 1); }

    key(event) {
      const span = this.view[1] - this.view[0];
      const step = Math.max(1 / this.marks.rate, span / this.frame.wide) * (event.shiftKey ? 10 : 1);
      const acts = {
        ArrowLeft: () => this.read(this.at - step), ArrowRight: () => this.read(this.at + step),
        ArrowDown: () => this.read(this.at - step), ArrowUp: () => this.read(this.at + step),
        PageDown: () => this.read(this.at - HATCH_S), PageUp: () => this.read(this.at + HATCH_S),
        Home: () => this.read(this.first), End: () => this.read(this.last),
        "+": () => this.zoom(1 / ZOOM), "=": () => this.zoom(1 / ZOOM), "-": () => this.zoom(ZOOM),
        "[": () => this.set(0, this.at), "]": () => this.set(1, this.at),
      };
      if (!acts[event.key] || event.ctrlKey || event.altKey || event.metaKey) return;
      event.preventDefault();
      acts[event.key]();
    }

    press(event) {
      if (event.button !== 0) return;
      const time = this.time(event.offsetX);
      const near = this.window()?.map((edge) => Math.abs(this.x(edge) - event.offsetX)) ?? [];
      const best = near.indexOf(Math.min(...near));
      this.grip = near[best] <= GRIP_PX ? best : "line";
      this.holder.setPointerCapture(event.pointerId);
      if (this.grip === "line") this.read(time);
    }

    drag(event) {
      if (this.grip === null) return;
      const time = clamp(this.time(event.offsetX), this.first, this.last);
      if (this.grip === "line") this.read(time);
      else this.set(this.grip, time);
    }

    /* Weighing window, as the form holds it */

    window() {
      if (!this.moving?.open) return null;
      const edges = this.edges.map((edge) => parseFloat(edge.value));
      return edges.length === 2 && edges.every(Number.isFinite) ? edges : null;
    }

    set(which, time) {
      if (!this.edges.length) return;
      this.moving.open = true;
      this.edges[which].value = time.toFixed(2);
      this.schedule();
    }

    uncover() {
      const window = this.window();
      if (window && (window[0] < this.view[0] || window[1] > this.view[1])) {
        this.glide([Math.max(this.first, Math.min(window[0] - 0.5, this.view[0])), Math.max(window[1], this.view[1])]);
      } else this.schedule();
    }

    /* Zoom */

    zoom(factor) {
      const [start, end] = this.goal ?? this.view;
      const span = clamp((end - start) * factor, LEAST_SPAN_S, this.last - this.first);
      const middle = this.shown && this.at > start && this.at < end ? this.at : (start + end) / 2;
      const left = clamp(middle - span * (middle - start) / (end - start), this.first, this.last - span);
      this.glide([left, left + span]);
    }

    glide(goal) {
      const from = [...this.view], began = performance.now();
      this.goal = goal;
      const step = (now) => {
        if (this.goal !== goal) return;
        const done = still.matches ? 1 : clamp((now - began) / GLIDE_MS, 0, 1), eased = done * (2 - done);
        this.view = from.map((edge, i) => edge + (goal[i] - edge) * eased);
        if (done < 1) requestAnimationFrame(step);
        else this.goal = null;
        this.paint();
      };
      requestAnimationFrame(step);
    }

    /* Drawing */

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
      const density = devicePixelRatio || 1, narrow = width < NARROW_PX;
      if (this.canvas.width !== Math.round(width * density) || this.canvas.height !== Math.round(height * density)) {
        this.canvas.width = Math.round(width * density);
        this.canvas.height = Math.round(height * density);
      }
      const left = narrow ? 6 : 58, right = narrow ? width - 6 : width - 76;
      this.frame = { width, narrow, density, left, right, wide: right - left, top: narrow ? 24 : 28, floor: height - 88, most: TICK_N };
      this.from = this.sample(this.view[0] - 1 / this.marks.rate);
      this.to = this.sample(this.view[1] + 1 / this.marks.rate);
      let most = 0;
      for (let i = this.from; i <= this.to; i += 1) if (this.total[i] > most) most = this.total[i];
      this.frame.most = TICK_N * Math.ceil((most + 0.3 * TICK_N) / TICK_N);
      const style = getComputedStyle(this.holder);
      this.color = Object.fromEntries(["ink", "pencil", "rule", "asked", "asked-wash", "paper"].map((name) => [name, style.getPropertyValue(`--${name}`).trim()]));
      this.sans = style.getPropertyValue("--sans");
      this.serif = style.getPropertyValue("--serif");
      const pen = this.canvas.getContext("2d");
      this.pen = pen;
      pen.setTransform(density, 0, 0, density, 0, 0);
      pen.clearRect(0, 0, width, height);
      pen.lineJoin = "round";
      this.drawWindow();
      this.drawAxis();
      this.drawWeight();
      this.drawFloor();
      this.drawFeet();
      this.drawLine(this.total, this.color.ink, 2);
      this.drawBrackets();
      this.drawPoints();
      this.drawReading();
    }

    stroke(color, width, path, dash = []) {
      const pen = this.pen;
      pen.strokeStyle = color;
      pen.lineWidth = width;
      pen.setLineDash(dash);
      pen.beginPath();
      path(pen);
      pen.stroke();
      pen.setLineDash([]);
    }

    rule(color, width, x1, y1, x2, y2) {
      this.stroke(color, width, (pen) => { pen.moveTo(x1, y1); pen.lineTo(x2, y2); });
    }

    text(words, x, y, { color = this.color.ink, align = "left", font = `14px ${this.sans}` } = {}) {
      const pen = this.pen;
      Object.assign(pen, { font, textAlign: align, strokeStyle: this.color.paper, lineWidth: 4, fillStyle: color });
      pen.strokeText(words, x, y);
      pen.fillText(words, x, y);
      return pen.measureText(words).width;
    }

    italic(words, x, y, look = {}) { return this.text(words, x, y, { ...look, font: `italic 15px ${this.serif}` }); }

    drawWindow() {
      const window = this.window();
      if (!window) return;
      const [start, end] = window.map((edge) => clamp(this.x(edge), this.frame.left, this.frame.right));
      this.pen.fillStyle = this.color["asked-wash"];
      this.pen.fillRect(start, this.frame.top, end - start, this.frame.floor - this.frame.top);
      for (const edge of window) {
        const x = this.x(edge);
        if (x < this.frame.left - 1 || x > this.frame.right + 1) continue;
        this.rule(this.color.asked, 1.5, x, this.frame.top, x, this.frame.floor);
        this.rule(this.color.asked, 3, x - 6, this.frame.top, x + 6, this.frame.top);
      }
      this.text(this.figure.dataset.weighing, start + 8, this.frame.top + 18, { color: this.color.asked });
    }

    drawAxis() {
      const { narrow, left, top, most } = this.frame;
      if (narrow) return;
      for (let force = 0; force <= most; force += TICK_N) {
        this.rule(this.color.ink, 1, left - 5, this.y(force), left, this.y(force));
        this.text(String(force), left - 10, this.y(force) + 5, { color: this.color.pencil, align: "right" });
      }
      this.italic("newtons", 0, top - 14, { color: this.color.pencil });
    }

    drawWeight() {
      const { weight } = this.marks, { left, right, narrow } = this.frame;
      if (weight === null) return;
      this.rule(this.color.asked, 1.25, left, this.y(weight), right, this.y(weight));
      if (narrow) return;
      this.text("weight", right + 6, this.y(weight) - 2, { color: this.color.asked });
      this.text(`${weight.toFixed(0)} N`, right + 6, this.y(weight) + 14, { color: this.color.asked });
    }

    drawFloor() {
      const { left, right, floor, wide } = this.frame, span = this.view[1] - this.view[0];
      this.rule(this.color.ink, 2.5, left, floor, right, floor);
      // Where tenths would run together, only whole seconds keep their stroke.
      const every = wide * HATCH_S / span < 5 ? 10 : 1;
      this.stroke(this.color.ink, 1, (pen) => {
        for (let tenth = Math.ceil(this.view[0] / HATCH_S - 1e-9); tenth * HATCH_S <= this.view[1] + 1e-9; tenth += 1) {
          if (tenth % every) continue;
          const x = this.x(tenth * HATCH_S);
          pen.moveTo(x, floor + 1);
          pen.lineTo(x - 6, floor + 8);
        }
      });
    }

    drawFeet() {
      const { sides } = this.marks, { left, floor, narrow } = this.frame;
      if (!sides.includes("left") || !sides.includes("right")) return;
      sides.forEach((side, i) => this.drawLine(this.plates[i], this.color.pencil, 1, side === "left" ? [5, 3] : []));
      if (!narrow) this.text(this.figure.dataset.feet, left + 8, floor - 14, { color: this.color.pencil });
    }

    /* A column of pixels keeps its least and its greatest force, in the order they came. */
    drawLine(force, color, width, dash) {
      const { from, to, frame } = this, count = to - from + 1, { rate } = this.marks;
      const columns = Math.ceil(frame.wide * frame.density);
      const at = (pen, i) => pen.lineTo(this.x(this.first + i / rate), this.y(force[i]));
      this.pen.save();
      this.pen.beginPath();
      this.pen.rect(frame.left, 0, frame.wide, frame.floor + 12);
      this.pen.clip();
      this.stroke(color, width, (pen) => {
        if (count <= 2 * columns) {
          for (let i = from; i <= to; i += 1) at(pen, i);
          return;
        }
        for (let column = 0; column < columns; column += 1) {
          const start = from + Math.floor(column * count / columns), stop = from + Math.floor((column + 1) * count / columns);
          let low = start, high = start;
          for (let i = start + 1; i < stop; i += 1) {
            if (force[i] < force[low]) low = i;
            if (force[i] > force[high]) high = i;
          }
          at(pen, Math.min(low, high));
          if (low !== high) at(pen, Math.max(low, high));
        }
      }, dash);
      this.pen.restore();
    }

    drawBrackets() {
      const { left, right, floor, top, narrow, width } = this.frame, ends = [0, 0, -Infinity];
      for (const [name, from, to] of this.marks.phases) {
        const start = clamp(this.x(from), left, right), end = clamp(this.x(to), left, right), y = floor + 28;
        if (end - start < 20) continue;
        const openLeft = this.x(from) < left - 0.5, openRight = this.x(to) > right + 0.5;
        this.stroke(this.color.ink, 1.25, (pen) => {
          pen.moveTo(openLeft ? start : start + 2, openLeft ? y : y - 8);
          pen.lineTo(openLeft ? start : start + 2, y);
          pen.lineTo(openRight ? end : end - 2, y);
          if (!openRight) pen.lineTo(end - 2, y - 8);
        });
        if (!narrow && !openLeft) this.rule(this.color.rule, 1, start, top, start, floor);
        const half = LETTER_PX * name.length / 2, middle = clamp((start + end) / 2, half, width - half);
        const line = ends.findIndex((edge) => middle - half >= edge);
        ends[line] = line < 2 ? middle + half + LETTER_PX : -Infinity;
        if (!narrow && line === 2) continue;
        this.italic(name, middle, y + 18 + (narrow ? 18 : 38) * line, { align: "center" });
        if (!narrow && line === 0 && end - start >= LENGTH_PX) this.text(`${(to - from).toFixed(2)} s`, middle, y + 38, { align: "center", color: this.color.pencil });
      }
    }

    drawPoints() {
      const { left, right, narrow } = this.frame;
      for (const [key, letter, time, force, words, under] of this.marks.points) {
        const x = this.x(time), y = this.y(force);
        if (x < left || x > right) continue;
        const [align, aside, below] = PLACES[key], least = key === "least";
        const beside = least ? Math.min(y, this.y(this.marks.weight)) : y;
        if (least) this.rule(this.color.pencil, 1, x, beside - 6, x, y - 4);
        this.pen.fillStyle = this.color.paper;
        this.stroke(this.color.ink, 1.5, (pen) => { pen.arc(x, y, 4, 0, 2 * Math.PI); pen.fill(); });
        if (narrow) {
          const [dx, dy] = NARROW_PLACES[align];
          this.italic(letter, x + dx, beside + dy, { align, color: this.color.asked });
          continue;
        }
        this.label(letter, words, x + aside, beside + below, align);
        if (!least) this.text(under, x + aside, beside + below + 17, { align, color: this.color.pencil });
      }
    }

    /* A violet letter and an ink number as one piece of text. */
    label(letter, words, x, y, align) {
      const look = { font: `17px ${this.sans}` };
      this.pen.font = look.font;
      const wide = this.pen.measureText(` ${words}`).width;
      this.pen.font = `italic 15px ${this.serif}`;
      const all = wide + this.pen.measureText(letter).width;
      const start = x - all * { left: 0, center: 0.5, right: 1 }[align];
      const after = this.italic(letter, start, y, { color: this.color.asked });
      this.text(` ${words}`, start + after, y, look);
    }

    drawReading() {
      if (!this.shown && document.activeElement !== this.holder) return;
      const x = this.x(this.at), { left, right, top, floor } = this.frame;
      if (x < left || x > right) return;
      this.rule(this.color.asked, 1, x, top, x, floor);
      this.pen.fillStyle = this.color.asked;
      this.pen.beginPath();
      this.pen.arc(x, this.y(this.total[this.sample(this.at)]), 4.5, 0, 2 * Math.PI);
      this.pen.fill();
    }
  }

  async function trace(figure) {
    figure.dataset.on = "1";
    const marks = JSON.parse(figure.dataset.marks);
    const answer = await fetch(figure.dataset.signal, { credentials: "same-origin" });
    if (!answer.ok) return;
    const all = new Float32Array(await answer.arrayBuffer()), length = all.length / marks.sides.length;
    figure.tracing = new Tracing(figure, marks, marks.sides.map((_, i) => all.subarray(i * length, (i + 1) * length)));
    figure.dataset.on = "2";
  }

  /* After a part of the page was exchanged, reading goes on at its title, not at the page's top. */
  const goOn = () => {
    const title = document.querySelector("h1");
    if (document.activeElement !== document.body || !title) return;
    title.tabIndex = -1;
    title.focus({ preventScroll: true });
  };
  const begin = () => document.querySelectorAll("figure.tracing:not([data-on])").forEach(trace);
  document.addEventListener("DOMContentLoaded", begin);
  document.addEventListener("htmx:afterSettle", () => { begin(); goOn(); });
})();
