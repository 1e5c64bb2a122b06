// Visit: minus and plus, one more trial, the next card. Every form works without this file.
"use strict";

function wake(root) {
  for (const hidden of root.querySelectorAll(".less, .plus, .another, [data-copies]")) hidden.hidden = false;
}

function press(button, sign) {
  const row = button.closest(".trial"), field = row.querySelector("input"), step = Number(row.dataset.step);
  const above = row.previousElementSibling?.querySelector?.("input:not([type=hidden])");
  const from = field.value.trim() || (above && above.value.trim()) || "0";
  const value = Number(from.replace(",", ".")), fresh = !field.value.trim() && from !== "0";
  if (!Number.isNaN(value)) field.value = String(Math.round((fresh ? value : value + sign * step) * 1000) / 1000);
}

function oneMore(form) {
  for (const side of form.querySelectorAll(".side")) {
    const rows = side.querySelectorAll(".trial"), last = rows[rows.length - 1], n = rows.length;
    if (!last || n >= 10) continue;
    const next = last.cloneNode(true), field = next.querySelector("input"), label = next.querySelector("label");
    const count = (text) => text.replace(new RegExp("\\b" + n + "\\b"), n + 1);
    field.id = field.id.replace(/\d+$/, n);
    field.name = field.name.replace(/\d+$/, n);
    field.value = "";
    label.htmlFor = field.id;
    label.textContent = count(label.textContent);
    for (const part of next.querySelectorAll("[aria-label]")) part.setAttribute("aria-label", count(part.getAttribute("aria-label")));
    last.after(next);
  }
}

document.addEventListener("click", (event) => {
  const button = event.target.closest("button");
  if (!button) return;
  if (button.matches(".less")) press(button, -1);
  if (button.matches(".plus")) press(button, +1);
  if (button.matches(".another")) oneMore(button.form);
  if (button.dataset.copies) {
    const text = document.getElementById(button.dataset.copies);
    text.select();
    const done = () => { document.getElementById("copied").hidden = false; };
    if (navigator.clipboard) navigator.clipboard.writeText(text.value).then(done);
    else if (document.execCommand("copy")) done();
  }
});

// A kept card keeps the place of the hand: focus goes to what was said, or to what was refused.
document.addEventListener("htmx:afterSettle", (event) => {
  let card = document.getElementById(event.detail.target?.id || "") || event.detail.elt;
  wake(document);
  if (card?.matches?.("#taken")) card = takenOff(card);
  if (card?.matches?.("#work")) return speak(card);
  if (!card?.matches?.(".card")) return;
  const summary = card.querySelector("summary");
  const place = card.querySelector(".slip") || summary;
  if (place !== summary) place.tabIndex = -1;
  place.focus();
  if (place === summary && card.matches(".done")) openNext(card);
});

// A test was taken off the shelf: its card is the last one, its name leaves the shelf.
function takenOff(place) {
  const card = place.lastElementChild, key = card.id.slice("card-".length);
  document.querySelector(`.shelves [value="${key}"]`)?.remove();
  return card;
}

// The work list looks again after a card was kept, but not under a hand that is writing in it.
document.addEventListener("htmx:beforeSwap", (event) => {
  const work = event.detail.target, looks = event.detail.requestConfig?.verb === "get";
  if (!looks || work.id !== "work") return;
  const writes = [...work.querySelectorAll("input:not([type=hidden])")].some((field) => field.value.trim());
  if (writes || work.contains(document.activeElement)) event.detail.shouldSwap = false;
});

// The work list was changed, or refused: it is said. After a card was kept it looks again in silence.
function speak(work) {
  const slip = work.querySelector(".slip") || (work.dataset.asked && work.querySelector(".swapped"));
  if (!slip) return;
  slip.tabIndex = -1;
  slip.focus();
}

// Kept and go on: the next card to do stands open below, what came out stays in sight.
function openNext(card) {
  const cards = [...document.querySelectorAll(".card")];
  const next = cards.slice(cards.indexOf(card) + 1).find((one) => !one.matches(".done, .closed"));
  if (next) next.querySelector("details").open = true;
}

document.addEventListener("htmx:sendError", (event) => tell(event.detail.elt));
document.addEventListener("htmx:responseError", (event) => tell(event.detail.elt));

function tell(form) {
  const old = form.querySelector(".slip") || document.createElement("p");
  old.className = "slip";
  old.setAttribute("role", "alert");
  old.textContent = form.closest("[data-unsent]")?.dataset.unsent || "Not kept.";
  form.prepend(old);
}

wake(document);
