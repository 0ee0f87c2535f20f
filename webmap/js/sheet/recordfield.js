// Record field: one field of a record in a form. It knows what stands on record and what was typed over it; what was not touched is not
// sent.
/** @import { Page } from "../core/types" */
/** @import { FieldSpec, Kind, Value } from "../core/recordtypes" */
import { fault } from "../controls/lengths.js";
import { readTyped, shownText, unitOf } from "../controls/quantity.js";
import { el } from "../core/dom.js";
import { PART_KINDS, partWords } from "../words/record.js";

/** @typedef {ReturnType<typeof createField>} Field */

let made = 0;

/**
 * @param {Kind} kind
 * @param {Page} page
 * @param {string} id
 * @param {string} value
 * @returns {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement}
 */
function control(kind, page, id, value) {
  const choices = (/** @type {[string, string][]} */ all) => {
    // What is on record may be choosable no more.
    if (!all.some(([each]) => each === value)) all.push([value, value || "not on record"]);
    return el("select", { id }, ...all.map(([each, words]) => el("option", { value: each }, words)));
  };
  switch (kind) {
    case "long":
      return el("textarea", { id, rows: 3 });
    case "date":
      return el("input", { id, type: "date", min: "1900-01-01", max: "2100-12-31" });
    case "year":
      return el("input", { id, inputmode: "numeric", autocomplete: "off", maxlength: 4 });
    case "part":
      return choices([
        ...(value ? [] : [/** @type {[string, string]} */ (["", "choose"])]),
        ...PART_KINDS.map((each) => /** @type {[string, string]} */ ([each, partWords(each)])),
      ]);
    case "area":
      return choices([["", "none"], ...page.data.info.areas.map((each) => /** @type {[string, string]} */ ([each.name, each.name]))]);
    case "resident":
      return choices([
        ["", "not on record"],
        ["yes", "yes"],
        ["no", "no"],
      ]);
    case "names":
      return el("input", {
        id,
        autocomplete: "off",
        placeholder: [
          page.data.info.areas
            .slice(0, 2)
            .map((each) => each.name)
            .join(", "),
          "empty: any",
        ]
          .filter(Boolean)
          .join("; "),
      });
    case "text":
      return el("input", { id, autocomplete: "off" });
  }
  return el("input", { id, inputmode: "decimal", autocomplete: "off" });
}

/** @param {FieldSpec} spec @param {Value | undefined} value on record @param {Page} page */
export function createField({ path, label: words, kind }, value, page) {
  let base = value;
  let units = page.units();
  let shown = shownText(kind, value, units);
  /** What was typed last, and in which units, so that switching forth and back loses nothing. */
  let typed = { text: shown, units };
  const id = `field-${++made}`;
  const input = control(kind, page, id, shown);
  const unit = el("span", { class: "unit-of" });
  const label = el(
    "label",
    { for: id, class: ["long", "text", "names"].includes(kind) && !path.startsWith("tackle") ? "broad" : null, "data-field": path },
    el("span", {}, words, unit),
    input,
  );
  input.value = shown;
  label.classList.toggle("changed", false);
  writeUnit();
  input.addEventListener("input", () => {
    typed = { text: input.value, units };
    mark();
  });

  function writeUnit() {
    const name = unitOf(kind, units);
    unit.textContent = name && ", " + name;
  }

  const isChanged = () => input.value !== shown;
  const mark = () => label.classList.toggle("changed", isChanged());
  const read = () => readTyped(kind, input.value, units);

  return {
    path,
    label,
    input,
    isChanged,
    read,
    text: () => input.value,
    /** Something else stands on record now; what was typed over the old stays. @param {Value | undefined} next */
    rebase(next) {
      const kept = isChanged();
      base = next;
      shown = shownText(kind, base, units);
      if (!kept) input.value = shown;
      mark();
    },
    /** Puts a text in as if it had been typed. @param {string} text */
    type(text) {
      input.value = text;
      typed = { text, units };
      mark();
    },
    /** What is on record is taken. */
    untype() {
      input.value = shown;
      mark();
    },
    /** Other units. */
    rewrite() {
      if (units === page.units()) return;
      const kept = isChanged();
      const was = kept ? readTyped(kind, typed.text, typed.units) : null;
      units = page.units();
      shown = shownText(kind, base, units);
      writeUnit();
      if (!kept) input.value = shown;
      else if (typed.units === units) input.value = typed.text;
      else if (was && "value" in was && unitOf(kind, units)) input.value = shownText(kind, was.value, units);
      mark();
    },
  };
}

/**
 * Shows that what was typed cannot be read, and unfolds what the field lies in.
 * @param {Field} field
 * @param {string} want what would be right
 * @returns {null}
 */
export function unreadable(field, want) {
  const group = field.label.closest("details");
  if (group) group.open = true;
  return fault(field.input, `“${field.text()}” cannot be read. ${want}`);
}
