// DOM: elements made in one line each. Data only ever becomes text, never markup.

/** @typedef {Node | string | number | null | undefined | false} Child */
/** @typedef {Record<string, string | number | boolean | null | undefined | ((event: any) => void)>} Props */

const SVG = "http://www.w3.org/2000/svg";

/**
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag @param {Props} [props] attributes, and listeners as functions by the event's name
 * @param {...(Child | Child[])} children
 * @returns {HTMLElementTagNameMap[T]}
 */
export function el(tag, props = {}, ...children) {
  return fill(document.createElement(tag), props, children);
}

/**
 * @template {keyof SVGElementTagNameMap} T
 * @param {T} tag @param {Props} [props] @param {...(Child | Child[])} children
 * @returns {SVGElementTagNameMap[T]}
 */
export function svg(tag, props = {}, ...children) {
  return fill(/** @type {SVGElementTagNameMap[T]} */ (document.createElementNS(SVG, tag)), props, children);
}

/** @template {Element} E @param {E} element @param {Props} props @param {(Child | Child[])[]} children */
function fill(element, props, children) {
  for (const [name, value] of Object.entries(props)) {
    if (typeof value === "function") element.addEventListener(name, value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, String(value));
  }
  for (const child of children.flat()) {
    if (child !== null && child !== undefined && child !== false) element.append(child instanceof Node ? child : String(child));
  }
  return element;
}

/** The element of an id that the page is known to have. @param {string} id @returns {HTMLElement} */
export function byId(id) {
  const found = document.getElementById(id);
  if (!found) throw new Error("the page has no #" + id);
  return found;
}

/** @param {string} id */
export function inputById(id) {
  return /** @type {HTMLInputElement} */ (byId(id));
}

/** Puts children in place of what was there. @param {Element} element @param {...(Child | Child[])} children */
export function put(element, ...children) {
  element.replaceChildren();
  fill(element, {}, children);
}

/**
 * As put, but what stands there already and is to stay is not touched: whoever types in it goes on typing. What stays has to keep its
 * order.
 * @param {Element} element @param {Node[]} children
 */
export function renew(element, children) {
  const next = new Set(children);
  for (const old of [...element.childNodes]) if (!next.has(old)) old.remove();
  let at = element.firstChild;
  for (const child of children) {
    if (child === at) at = at.nextSibling;
    else element.insertBefore(child, at);
  }
}

export const reducedMotion = () => matchMedia("(prefers-reduced-motion: reduce)").matches;
export const onPhone = () => matchMedia("(max-width: 899px)").matches;
