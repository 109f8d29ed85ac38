// Seat: the saddle at any height on the seatpost's axis, with the angle under which one sits.

import { find } from "./dom.js";

/**
 * The effective seat tube angle: height·sin(effective − actual) = offset.
 * @param {number} angle actual seat tube angle [degrees]
 * @param {number} offset of the axis from the bottom bracket, positive forward [mm]
 * @param {number} height straight from the bottom bracket to the saddle [mm]
 * @returns {number} [degrees]
 */
export function effectiveAngle(angle, offset, height) {
  return angle + (Math.asin(offset / height) * 180) / Math.PI;
}

/** @param {import("./words.js").Words} words */
export function liveSeat(words) {
  const seat = find(".seat");
  if (seat === null) return;
  const [angle, offset, ground, radius, size] = ["angle", "offset", "ground", "arc", "size"]
    .map((key) => Number(seat.dataset[key]));
  const [line, arc] = seat.querySelectorAll(".moving path");
  const [saddle, label] = [seat.querySelector(".place"), seat.querySelector(".moving text")];
  const [input, output] = [seat.querySelector("input"), seat.querySelector("output")];
  const show = () => {
    const height = Number(input.value);
    const effective = effectiveAngle(angle, offset, height);
    const turn = (effective * Math.PI) / 180;
    // From the bottom bracket backward and up.
    const [back, up] = [height * Math.cos(turn), height * Math.sin(turn)];
    line.setAttribute("d", `M${-radius} 0H0L${-back} ${-up}`);
    arc.setAttribute("d", `M${-radius * Math.cos(turn)} ${-radius * Math.sin(turn)}`
      + `A${radius} ${radius} 0 0 0 ${-radius} 0`);
    saddle.setAttribute("cx", String(-back));
    saddle.setAttribute("cy", String(-up));
    label.setAttribute("x", String(-(radius + size) * Math.cos(turn / 2)));
    label.setAttribute("y", String(-(radius + size) * Math.sin(turn / 2)));
    label.textContent = words.quantity(effective, "degrees", 1);
    output.textContent = words.quantity(height, "mm", 0);
    input.setAttribute("aria-valuetext", `${output.textContent}, ${label.textContent}`);
    /** @type {Record<string, string>} */
    const told = {
      effective: label.textContent,
      behind: words.quantity(back, "mm", 0),
      over: words.quantity(up - ground, "mm", 0),
    };
    for (const place of seat.querySelectorAll("[data-moves]")) {
      place.textContent = told[place.dataset.moves];
    }
  };
  input.addEventListener("input", show);
  seat.querySelector(".slider").hidden = false;
}
