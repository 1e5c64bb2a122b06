// The field of a trial that a press writes into: the one in hand, else the first that is empty.
export class Fields {
  constructor(part) {
    this.side = part.closest(".side");
    this.side.addEventListener("focusin", (event) => {
      if (event.target.matches(".trial input")) this.held = event.target;
    });
  }

  all() {
    return [...this.side.querySelectorAll(".trial input")];
  }

  next() {
    const fields = this.all();
    return fields.find((field) => !field.value.trim()) || fields[fields.length - 1];
  }

  inHand() {
    if (!this.held?.isConnected) this.held = this.next();
    return this.held;
  }
}
