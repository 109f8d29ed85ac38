// Elements made by script: texts go in as text, never as markup.

const SVG_SPACE = "http://www.w3.org/2000/svg";

/** @typedef {Record<string, string | number | boolean | null>} Attributes */

/**
 * An HTML element.
 * @param {string} tag
 * @param {Attributes} [attributes] null and false leave one out, true writes its bare name
 * @param {...(Node | string | null)} children
 * @returns {any}
 */
export function make(tag, attributes = {}, ...children) {
  return filled(document.createElement(tag), attributes, children);
}

/**
 * An SVG element.
 * @param {string} tag
 * @param {Attributes} [attributes]
 * @param {...(Node | string | null)} children
 * @returns {any}
 */
export function draw(tag, attributes = {}, ...children) {
  return filled(document.createElementNS(SVG_SPACE, tag), attributes, children);
}

/**
 * @param {Element} element
 * @param {Attributes} attributes
 * @param {(Node | string | null)[]} children
 */
function filled(element, attributes, children) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== false) element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...children.filter((child) => child !== null));
  return element;
}

/**
 * @param {string} selector
 * @returns {any} the first element that there is; null where there is none
 */
export function find(selector) {
  return document.querySelector(selector);
}

/**
 * A button.
 * @param {string} label
 * @param {() => void} act
 * @param {Attributes} [attributes]
 * @returns {HTMLButtonElement}
 */
export function button(label, act, attributes = {}) {
  const made = make("button", { type: "button", ...attributes }, label);
  made.addEventListener("click", act);
  return made;
}
