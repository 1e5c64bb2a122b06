/* Brackets under the floor and numbers at their points, placed as charts/trace.py places them. */
import { clamp } from "./numbers.js";

const LETTER_PX = 7.2, LENGTH_PX = 40, LEAST_BRACKET_PX = 20;
// Where the words of a point stand: alignment, how far right, how far below it.
const PLACES = {
  least: ["center", 0, -10], bottom: ["right", -14, -27], peak: ["right", -14, -27],
  power: ["left", 14, -20], takeoff: ["left", 40, -52], landing: ["left", 14, -2],
};
const NARROW_PLACES = { right: [-8, -6], center: [0, -10], left: [10, -6] };

export function drawMarks(tracing) {
  drawFound(tracing);
  drawBrackets(tracing);
  drawPoints(tracing);
}

/* Where an event was found that a hand moved. */
function drawFound(tracing) {
  const { pen, frame: { left, right, top, floor } } = tracing;
  for (const time of tracing.marks.was_found) {
    const x = tracing.x(time);
    if (x > left && x < right) pen.rule(pen.color.pencil, 1, x, top, x, floor, [2, 4]);
  }
}

function drawBrackets(tracing) {
  const { pen, frame: { left, right, floor, narrow, width } } = tracing, ends = [0, 0, -Infinity];
  for (const [name, from, to] of tracing.marks.phases) {
    const start = clamp(tracing.x(from), left, right), end = clamp(tracing.x(to), left, right), y = floor + 28;
    if (end - start < LEAST_BRACKET_PX) continue;
    drawBracket(tracing, from, to, start, end);
    const half = LETTER_PX * name.length / 2, middle = clamp((start + end) / 2, half, width - half);
    const line = ends.findIndex((edge) => middle - half >= edge);
    ends[line] = line < 2 ? middle + half + LETTER_PX : -Infinity;
    if (!narrow && line === 2) continue;
    pen.italic(name, middle, y + 18 + (narrow ? 18 : 38) * line, { align: "center" });
    if (narrow || line > 0 || end - start < LENGTH_PX) continue;
    pen.text(`${(to - from).toFixed(2)} s`, middle, y + 38, { align: "center", color: pen.color.pencil });
  }
}

/* A bracket that goes on beyond the view stays open there. */
function drawBracket(tracing, from, to, start, end) {
  const { pen, frame: { left, right, floor, top, narrow } } = tracing, y = floor + 28;
  const openLeft = tracing.x(from) < left - 0.5, openRight = tracing.x(to) > right + 0.5;
  pen.stroke(pen.color.ink, 1.25, (raw) => {
    raw.moveTo(openLeft ? start : start + 2, openLeft ? y : y - 8);
    raw.lineTo(openLeft ? start : start + 2, y);
    raw.lineTo(openRight ? end : end - 2, y);
    if (!openRight) raw.lineTo(end - 2, y - 8);
  });
  if (!narrow && !openLeft) pen.rule(pen.color.rule, 1, start, top, start, floor);
}

function drawPoints(tracing) {
  const { pen, hands, frame: { left, right, narrow } } = tracing, { color } = pen;
  for (const [key, letter, time, force, words, under] of tracing.marks.points) {
    const x = tracing.x(time), y = tracing.y(force);
    if (x < left || x > right) continue;
    const [align, aside, below] = PLACES[key], least = key === "least";
    const beside = least ? Math.min(y, tracing.y(tracing.marks.weight)) : y;
    if (least) pen.rule(color.pencil, 1, x, beside - 6, x, y - 4);
    pen.dot(color.paper, x, y, 4);
    pen.stroke(color.ink, 1.5, (raw) => raw.arc(x, y, 4, 0, 2 * Math.PI));
    if (narrow || hands.open) { // handles need the room of the words
      const [dx, dy] = NARROW_PLACES[align];
      pen.italic(letter, x + dx, beside + dy, { align, color: color.asked });
      continue;
    }
    pen.label(letter, words, x + aside, beside + below, align);
    if (!least) pen.text(under, x + aside, beside + below + 17, { align, color: color.pencil });
  }
}
