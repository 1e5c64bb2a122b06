/* How much time is shown, and how the view glides to another stretch of it. */
import { clamp } from "./numbers.js";

const LEAST_SPAN_S = 0.05, GLIDE_MS = 140;
const still = matchMedia("(prefers-reduced-motion: reduce)");

/* Zoom about the reading line if it is in sight, else about the middle. */
export function zoom(tracing, factor) {
  const [start, end] = tracing.goal ?? tracing.view, { first, last } = tracing, { at, shown } = tracing.reading;
  const span = clamp((end - start) * factor, LEAST_SPAN_S, last - first);
  const middle = shown && at > start && at < end ? at : (start + end) / 2;
  const left = clamp(middle - span * (middle - start) / (end - start), first, last - span);
  glide(tracing, [left, left + span]);
}

export function glide(tracing, goal) {
  const from = [...tracing.view], began = performance.now();
  tracing.goal = goal;
  const step = (now) => {
    if (tracing.goal !== goal) return;
    const done = still.matches ? 1 : clamp((now - began) / GLIDE_MS, 0, 1), eased = done * (2 - done);
    tracing.view = from.map((edge, i) => edge + (goal[i] - edge) * eased);
    if (done < 1) requestAnimationFrame(step);
    else tracing.goal = null;
    tracing.paint();
  };
  requestAnimationFrame(step);
}

/* Pan so that a time is in sight. */
export function follow(tracing, time) {
  const [start, end] = tracing.view;
  const beyond = Math.min(0, time - start) + Math.max(0, time - end);
  if (beyond) tracing.view = [start + beyond, end + beyond];
}
