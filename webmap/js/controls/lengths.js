// Lengths: lengths typed in feet or metres. What is typed stays typed; when the unit is switched, the figure follows.
/** @import { Store, Units } from "../core/types" */
import { el } from "../core/dom.js";
import { figure, inUnits, parseLength, unitName } from "../words/units.js";

/** @type {WeakMap<HTMLInputElement, {text: string, units: Units}>} as it was typed last, so that switching forth and back loses nothing */
const typed = new WeakMap();

/** @param {ParentNode} root @returns {HTMLInputElement[]} */
function lengthInputs(root) {
  return [.../** @type {NodeListOf<HTMLInputElement>} */ (root.querySelectorAll("input[data-length]"))];
}

/** @param {Store} store @param {() => Units} units */
export function watchLengths(store, units) {
  document.addEventListener("input", (event) => {
    const input = event.target;
    if (!(input instanceof HTMLInputElement || input instanceof HTMLTextAreaElement)) return;
    clearFault(input);
    if (input instanceof HTMLInputElement && input.dataset.length !== undefined) typed.set(input, { text: input.value, units: units() });
  });
  function switchUnits() {
    for (const unit of document.querySelectorAll(".unit")) unit.textContent = unitName(units());
    for (const input of lengthInputs(document)) {
      const was = typed.get(input);
      if (!was?.text.trim()) continue;
      const metres = parseLength(was.text, was.units);
      if (metres !== null) input.value = was.units === units() ? was.text : figure(inUnits(metres, units()));
    }
  }

  store.subscribe(["units"], switchUnits);
  switchUnits();
}

/**
 * @param {HTMLFormElement} form @param {Units} units
 * @returns {Record<string, string> | null} what is typed, lengths in metres under their field's name; null when one cannot be read, which
 *   is then shown
 */
export function readForm(form, units) {
  /** @type {Record<string, string>} */
  const values = {};
  for (const input of fieldsIn(form)) {
    // A field that is put away, since something else is chosen in its place, keeps what was typed but says nothing. One without a name is
    // read by who made it.
    if (input.disabled || !input.name || ["radio", "file"].includes(input.type)) continue;
    const text = input.value.trim();
    clearFault(input);
    if (!text) {
      if (input.required) return fault(input, "Please fill this in.");
      continue;
    }
    if (input.dataset.length === undefined) {
      values[input.name] = text;
      continue;
    }
    const was = input instanceof HTMLInputElement ? typed.get(input) : undefined;
    const metres = parseLength(text, was?.text === input.value ? was.units : units);
    if (metres === null || metres < 0) return fault(input, `“${text}” is not a length. Type 9.8, 32 ft or 32'6".`);
    values[input.name] = String(Math.round(metres * 1e4) / 1e4);
  }
  return values;
}

/** @param {HTMLFormElement} form @returns {(HTMLInputElement | HTMLTextAreaElement)[]} */
function fieldsIn(form) {
  return [.../** @type {NodeListOf<HTMLInputElement | HTMLTextAreaElement>} */ (form.querySelectorAll("input, textarea"))];
}

/**
 * Puts in what an address holds, lengths in metres; a field of which it says nothing keeps what is typed.
 * @param {HTMLFormElement} form
 * @param {Record<string, string>} values
 * @param {Units} units
 */
export function fillForm(form, values, units) {
  for (const input of form.querySelectorAll("input")) {
    const value = values[input.name];
    if (value === undefined) continue;
    input.value = input.dataset.length === undefined || units === "metres" ? value : figure(inUnits(Number(value), units));
    if (input.dataset.length !== undefined) typed.set(input, { text: value, units: "metres" });
  }
}

/** @param {HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement} input @param {string} words @returns {null} */
export function fault(input, words) {
  const id = input.id + "-fault";
  input.setAttribute("aria-invalid", "true");
  input.setAttribute("aria-describedby", id);
  input.closest("label")?.after(el("p", { id, class: "field-fault", role: "alert" }, words));
  input.focus();
  return null;
}

/** @param {HTMLElement} input */
export function clearFault(input) {
  document.getElementById(input.id + "-fault")?.remove();
  input.removeAttribute("aria-invalid");
  input.removeAttribute("aria-describedby");
}
