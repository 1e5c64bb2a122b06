/* A canvas pen that knows the page's colours and type. */

const COLORS = ["ink", "pencil", "rule", "asked", "asked-wash", "paper"];

export class Pen {
  constructor(canvas) {
    this.canvas = canvas;
    this.raw = canvas.getContext("2d");
  }

  /* Take the size of the place and the colours of the page, and begin anew. */
  begin(place, width, height, density) {
    const { canvas, raw } = this, wide = Math.round(width * density), high = Math.round(height * density);
    if (canvas.width !== wide || canvas.height !== high) Object.assign(canvas, { width: wide, height: high });
    const style = getComputedStyle(place);
    this.color = Object.fromEntries(COLORS.map((name) => [name, style.getPropertyValue(`--${name}`).trim()]));
    this.sans = style.getPropertyValue("--sans");
    this.serif = style.getPropertyValue("--serif");
    raw.setTransform(density, 0, 0, density, 0, 0);
    raw.clearRect(0, 0, width, height);
    raw.lineJoin = "round";
  }

  stroke(color, width, path, dash = []) {
    const { raw } = this;
    raw.strokeStyle = color;
    raw.lineWidth = width;
    raw.setLineDash(dash);
    raw.beginPath();
    path(raw);
    raw.stroke();
    raw.setLineDash([]);
  }

  rule(color, width, x1, y1, x2, y2, dash) {
    this.stroke(color, width, (raw) => { raw.moveTo(x1, y1); raw.lineTo(x2, y2); }, dash);
  }

  dot(color, x, y, radius) {
    this.raw.fillStyle = color;
    this.raw.beginPath();
    this.raw.arc(x, y, radius, 0, 2 * Math.PI);
    this.raw.fill();
  }

  fill(color, x, y, wide, high) {
    this.raw.fillStyle = color;
    this.raw.fillRect(x, y, wide, high);
  }

  text(words, x, y, { color = this.color.ink, align = "left", font = `14px ${this.sans}` } = {}) {
    const { raw } = this;
    Object.assign(raw, { font, textAlign: align, strokeStyle: this.color.paper, lineWidth: 4, fillStyle: color });
    raw.strokeText(words, x, y);
    raw.fillText(words, x, y);
    return raw.measureText(words).width;
  }

  italic(words, x, y, look = {}) { return this.text(words, x, y, { ...look, font: `italic 15px ${this.serif}` }); }

  /* A violet letter and an ink number as one piece of text. */
  label(letter, words, x, y, align) {
    const { raw } = this, look = { font: `17px ${this.sans}` };
    raw.font = look.font;
    const wide = raw.measureText(` ${words}`).width;
    raw.font = `italic 15px ${this.serif}`;
    const all = wide + raw.measureText(letter).width;
    const start = x - all * { left: 0, center: 0.5, right: 1 }[align];
    const after = this.italic(letter, start, y, { color: this.color.asked });
    this.text(` ${words}`, start + after, y, look);
  }
}
