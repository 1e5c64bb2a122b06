/* What the marks stand on: axis, weight, floor, and the force itself. */

const HATCH_S = 0.1;

export function drawGround(tracing) {
  drawAxis(tracing);
  drawWeight(tracing);
  drawFloor(tracing);
  drawFeet(tracing);
  drawLine(tracing, tracing.total, tracing.pen.color.ink, 2);
}

function drawAxis(tracing) {
  const { pen, frame: { narrow, left, top, most, tick } } = tracing, { color } = pen;
  if (narrow) return;
  for (let force = 0; force <= most; force += tick) {
    pen.rule(color.ink, 1, left - 5, tracing.y(force), left, tracing.y(force));
    pen.text(String(force), left - 10, tracing.y(force) + 5, { color: color.pencil, align: "right" });
  }
  pen.italic("newtons", 0, top - 14, { color: color.pencil });
}

function drawWeight(tracing) {
  const { pen, marks: { weight }, frame: { left, right, narrow } } = tracing, look = { color: pen.color.asked };
  if (weight === null) return;
  pen.rule(look.color, 1.25, left, tracing.y(weight), right, tracing.y(weight));
  if (narrow) return;
  pen.text("weight", right + 6, tracing.y(weight) - 2, look);
  pen.text(`${weight.toFixed(0)} N`, right + 6, tracing.y(weight) + 14, look);
}

function drawFloor(tracing) {
  const { pen, view: [start, end], frame: { left, right, floor, wide } } = tracing;
  pen.rule(pen.color.ink, 2.5, left, floor, right, floor);
  // Where tenths would run together, only whole seconds keep their stroke.
  const every = wide * HATCH_S / (end - start) < 5 ? 10 : 1;
  pen.stroke(pen.color.ink, 1, (raw) => {
    for (let tenth = Math.ceil(start / HATCH_S - 1e-9); tenth * HATCH_S <= end + 1e-9; tenth += 1) {
      if (tenth % every) continue;
      const x = tracing.x(tenth * HATCH_S);
      raw.moveTo(x, floor + 1);
      raw.lineTo(x - 6, floor + 8);
    }
  });
}

function drawFeet(tracing) {
  const { pen, marks: { sides }, frame: { left, floor, narrow } } = tracing, { pencil } = pen.color;
  if (!sides.includes("left") || !sides.includes("right")) return;
  sides.forEach((side, i) => drawLine(tracing, tracing.plates[i], pencil, 1, side === "left" ? [5, 3] : []));
  if (!narrow) pen.text(tracing.figure.dataset.feet, left + 8, floor - 14, { color: pencil });
}

/* A column of pixels keeps its least and its greatest force, in the order they came. */
function drawLine(tracing, force, color, width, dash) {
  const { pen, from, to, frame, marks: { rate } } = tracing, count = to - from + 1;
  const columns = Math.ceil(frame.wide * frame.density);
  const at = (raw, i) => raw.lineTo(tracing.x(tracing.first + i / rate), tracing.y(force[i]));
  pen.raw.save();
  pen.raw.beginPath();
  pen.raw.rect(frame.left, 0, frame.wide, frame.floor + 12);
  pen.raw.clip();
  pen.stroke(color, width, (raw) => {
    if (count <= 2 * columns) {
      for (let i = from; i <= to; i += 1) at(raw, i);
      return;
    }
    for (let column = 0; column < columns; column += 1) {
      const start = from + Math.floor(column * count / columns), stop = from + Math.floor((column + 1) * count / columns);
      let low = start, high = start;
      for (let i = start + 1; i < stop; i += 1) {
        if (force[i] < force[low]) low = i;
        if (force[i] > force[high]) high = i;
      }
      at(raw, Math.min(low, high));
      if (low !== high) at(raw, Math.max(low, high));
    }
  }, dash);
  pen.raw.restore();
}
