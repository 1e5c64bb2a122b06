/* A force trace on canvas: the drawing that the server sent, made to zoom, read and set by hand.
   Without this script the drawing stands as it is, and the form takes the times as numbers. */
import { Tracing } from "./trace/tracing.js";

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
function goOn() {
  const title = document.querySelector("h1");
  if (document.activeElement !== document.body || !title) return;
  title.tabIndex = -1;
  title.focus({ preventScroll: true });
}

const begin = () => document.querySelectorAll("figure.tracing:not([data-on])").forEach(trace);
document.addEventListener("htmx:afterSettle", () => { begin(); goOn(); });
begin();
