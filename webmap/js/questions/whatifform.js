// What-if form: an area and the one thing of it that is changed on trial.
/** @import { Page } from "../core/types" */
import { fault, fillForm, readForm } from "../controls/lengths.js";
import { el, put } from "../core/dom.js";
import { unitName } from "../words/units.js";
import { scopeOf } from "./openwaterform.js";

/** What can be changed; the first of the fields of each says which it is. @type {[string, string, string[]][]} */
const KINDS = [
  ["scope", "the scope of every rode", ["scope"]],
  ["margin_m", "the margin between circles", ["margin_m"]],
  ["lying", "how the boats lie", ["lying"]],
  ["rule", "the rule of swing radius", ["rule"]],
  ["elastic", "elastic lines in place of chain", ["elastic", "elastic_ratio"]],
];
/** @type {[string, string][]} */
const LYINGS = [
  ["in_unison", "in unison, to one wind and stream"],
  ["independent", "each on its own"],
];
/** Those that ask for nothing more than is on record. @type {[string, string][]} */
const RULES = [
  ["taut_with_stretch", "taut, with what rope stretches"],
  ["taut", "taut, rope taken for rigid"],
  ["stretched", "stretched"],
  ["catenary", "catenary, by the statics of the tackle"],
];

/** @param {Page} page @param {HTMLFormElement} form @param {Node} answer */
export function changeForm(page, form, answer) {
  const options = (/** @type {[string, string][]} */ list) => list.map(([value, words]) => el("option", { value }, words));
  const unit = () => el("span", { class: "unit" }, unitName(page.units()));
  const area = el("select", { id: "free-area" });
  const kind = el("select", { id: "free-kind", change: choose }, ...options(KINDS.map(([value, words]) => [value, words])));
  const lying = el("select", { id: "free-lying" }, ...options(LYINGS));
  const rule = el("select", { id: "free-rule" }, ...options(RULES));
  const typed = (
    /** @type {string} */ name,
    /** @type {(Node | string)[]} */ label,
    /** @type {Record<string, string | boolean>} */ more,
  ) =>
    el(
      "label",
      { for: "free-" + name, "data-kind": name.startsWith("elastic") ? "elastic" : name },
      ...label,
      el("input", { id: "free-" + name, name, autocomplete: "off", required: true, ...more }),
    );
  put(
    form,
    el("p", { class: "quiet" }, "Try it on a whole area before anybody lifts a chain. Nothing is saved."),
    el("label", { for: "free-area" }, "Area", area),
    el("label", { for: "free-kind" }, "What is changed", kind),
    typed("scope", ["Rode to height, such as 3"], { inputmode: "decimal" }),
    typed("margin_m", ["Margin, ", unit()], { inputmode: "decimal", "data-length": true }),
    el("label", { for: "free-lying", "data-kind": "lying" }, "They lie", lying),
    el("label", { for: "free-rule", "data-kind": "rule" }, "Rule", rule),
    typed("elastic", ["Material, as the harbor's table of ropes calls it"], { autocapitalize: "off" }),
    typed("elastic_ratio", ["Its length over the depth at high water"], { inputmode: "decimal", value: "1.25" }),
    el("button", { type: "submit", class: "primary" }, "Compare"),
    answer,
  );
  areas();
  choose();

  function areas() {
    const was = area.value || page.store.get().area;
    put(area, ...page.data.info.areas.map((each) => el("option", { value: each.name }, each.name)));
    if (page.data.info.areas.some((each) => each.name === was)) area.value = was;
  }

  /** Only the fields of what is changed are there. */
  function choose() {
    for (const label of /** @type {NodeListOf<HTMLLabelElement>} */ (form.querySelectorAll("label[data-kind]"))) {
      const field = /** @type {HTMLInputElement | HTMLSelectElement} */ (label.querySelector("input, select"));
      label.hidden = field.disabled = label.dataset.kind !== kind.value;
    }
  }

  return {
    areas,
    focus() {
      area.focus({ preventScroll: true });
    },
    /** @returns {Record<string, string> | null} what is asked; null where something cannot be read, which is then told */
    read() {
      const values = readForm(form, page.units());
      if (!values) return null;
      /** @type {Record<string, string>} */
      const query = { area: area.value };
      if (kind.value === "lying") query.lying = lying.value;
      else if (kind.value === "rule") query.rule = rule.value;
      else
        for (const name of KINDS.find(([value]) => value === kind.value)?.[2] ?? [])
          query[name] = name === "scope" || name === "elastic_ratio" ? scopeOf(values[name]) : values[name];
      for (const name of ["scope", "elastic_ratio"]) {
        if (query[name] && !(Number(query[name]) > 0))
          return fault(/** @type {HTMLInputElement} */ (form.querySelector(`[name=${name}]`)), "Type a figure such as 3 or 2.5.");
      }
      return query;
    },
    /** Puts in what was asked. @param {Record<string, string>} query */
    fill(query) {
      areas();
      if (page.data.info.areas.some((each) => each.name === query.area)) area.value = query.area;
      kind.value = KINDS.find(([value]) => query[value])?.[0] ?? kind.value;
      if (query.lying) lying.value = query.lying;
      if (query.rule) rule.value = query.rule;
      fillForm(form, query, page.units());
      choose();
    },
  };
}
