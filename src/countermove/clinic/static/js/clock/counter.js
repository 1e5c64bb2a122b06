// A counter for one side: every press is one more in the trial that is in hand.
import { Fields } from "./fields.js";

export class Counter {
  constructor(part) {
    const fields = new Fields(part), button = part.querySelector("button");
    button.addEventListener("click", () => {
      const field = fields.inHand();
      field.value = String((parseInt(field.value, 10) || 0) + 1);
      part.querySelector("output").value = field.value;
    });
  }
}
