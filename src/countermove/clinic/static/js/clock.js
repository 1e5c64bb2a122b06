/* Watch, counter and beat of a card. Without this script each trial is a plain field for a number. */
import { Counter } from "./clock/counter.js";
import { Metronome } from "./clock/metronome.js";
import { Stopwatch } from "./clock/stopwatch.js";

const KINDS = { seconds: Stopwatch, reps: Counter, beat: Metronome };

function begin() {
  for (const part of document.querySelectorAll("[data-clock]:not([data-on])")) {
    part.dataset.on = "1";
    part.hidden = false;
    part.clock = new KINDS[part.dataset.clock](part);
  }
}

document.addEventListener("htmx:afterSettle", begin);
begin();
