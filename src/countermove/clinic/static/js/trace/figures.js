/* The small figures of the still drawing, which keep standing over their moments as the view moves. */

const NAMES = ["lowest", "takeoff", "flight", "landing", "standing"], AIR_PX = 3;
const NS = "http://www.w3.org/2000/svg";

export class Figures {
  constructor(tracing) {
    this.tracing = tracing;
    this.svg = document.createElementNS(NS, "svg");
    this.svg.setAttribute("class", "figures");
    this.svg.setAttribute("aria-hidden", "true");
    tracing.holder.parentNode.before(this.svg);
  }

  /* A turned screen has figures of another size. */
  choose(narrow) {
    if (this.narrow === narrow) return;
    this.narrow = narrow;
    const still = this.tracing.figure.querySelector(`.still .${narrow ? "narrow" : "wide"} .moments`);
    this.svg.replaceChildren(...(still ? [still.cloneNode(true)] : []));
    this.floor = this.svg.querySelector(".hair");
    const all = [...this.svg.querySelectorAll(".moment")];
    this.marks = NAMES.map((name) => all.find((mark) => mark.dataset.name === name)).filter(Boolean);
  }

  draw() {
    const { tracing, svg } = this, { frame: { narrow, left, right } } = tracing, ends = [];
    this.choose(narrow);
    const floor = svg.clientHeight - 8;
    this.floor?.setAttribute("d", `M${left} ${floor}H${right}`);
    for (const mark of this.marks) {
      const x = tracing.x(Number(mark.dataset.at));
      const start = x + Number(mark.dataset.left) - AIR_PX, end = x + Number(mark.dataset.right) + AIR_PX;
      const shown = start >= left && end <= right && !ends.some(([from, to]) => start < to && from < end);
      if (shown) ends.push([start, end]);
      mark.setAttribute("display", shown ? "inline" : "none");
      mark.setAttribute("transform", `translate(${x.toFixed(1)} ${floor})`);
    }
  }
}
