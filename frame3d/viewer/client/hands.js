// Hands: what pointer and wheel do on the canvas, besides turning it.

const STEADY = 5; // a click moves less than this [px]

/**
 * Call a function at every click or tap that is no drag.
 * @param {HTMLElement} canvas
 * @param {(event: PointerEvent) => void} clicked
 */
export function onClick(canvas, clicked) {
  /** @type {PointerEvent | null} */
  let down = null;
  canvas.addEventListener("pointerdown", (event) => {
    down = event.isPrimary && event.button === 0 ? event : null;
    canvas.focus({ preventScroll: true });
  });
  canvas.addEventListener("pointerup", (event) => {
    const still = down !== null && down.pointerId === event.pointerId &&
      Math.hypot(event.clientX - down.clientX, event.clientY - down.clientY) < STEADY;
    down = null;
    if (still) clicked(event);
  });
}

/**
 * Leave the wheel to the page until the canvas has been chosen.
 * @param {HTMLElement} element around the canvas
 * @param {HTMLElement} canvas
 */
export function sparesWheel(element, canvas) {
  /** @param {WheelEvent} event */
  const turned = (event) => {
    if (!event.ctrlKey && document.activeElement !== canvas) event.stopPropagation();
  };
  element.addEventListener("wheel", turned, { capture: true, passive: true });
  return () => element.removeEventListener("wheel", turned, { capture: true });
}
