// Rules: the swing radius, and what it would be by each of the rules that an area can choose between.
/** @import { ByRule, Sheet, Units } from "../core/types" */
/** @import { Folds } from "../controls/fold.js" */
import { basisWords, radiusWords, ruleWords, workingOf } from "../controls/working.js";
import { el } from "../core/dom.js";
import { sentence } from "../words/names.js";
import { length } from "../words/units.js";

/** @param {Sheet} sheet @param {Units} units @param {Folds} folds @returns {Node[]} */
export function radiusParts(sheet, units, folds) {
  const { swing } = sheet;
  return [
    el(
      "p",
      { class: "radius" },
      el("strong", {}, radiusWords(swing, units)),
      el("span", {}, `${basisWords(swing)}, by rule: ${ruleWords(swing.rule)}`),
    ),
    el(
      "div",
      { class: "folds" },
      ...othersOf(sheet).map((each) => ruleFold(each, sheet, units, folds)),
      // The one that counts comes last, so that its working, which is shown at once, does not part the others.
      folds.fold(
        "rule " + swing.rule,
        { title: titleOf(swing.rule, sheet), figure: radiusWords(swing, units), words: wordsOf(swing.rule, sheet, units) },
        () => workingOf(swing, units),
        true,
      ),
    ),
  ];
}

/** @param {Sheet} sheet */
function othersOf(sheet) {
  return (sheet.by_rules ?? []).filter((each) => each.rule !== sheet.swing.rule);
}

/** @param {ByRule} each @param {Sheet} sheet @param {Units} units @param {Folds} folds */
function ruleFold(each, sheet, units, folds) {
  const figure = each.radius_m === null ? "unknown" : (each.bound ? "at most " : "") + length(each.radius_m, units);
  return folds.fold("rule " + each.rule, { title: titleOf(each.rule, sheet), figure, words: wordsOf(each.rule, sheet, units) }, () =>
    workingOf(each, units),
  );
}

/** @param {string} rule @param {Sheet} sheet @returns {(Node | string)[]} */
function titleOf(rule, sheet) {
  const area = sheet.rules.swing?.rule;
  const mark = rule === area ? "the area's rule" : rule === sheet.swing.rule ? "on record for this mooring" : "";
  return [sentence(rule.replaceAll("_", " ")).slice(0, -1), mark && el("span", { class: "mark" }, mark)].filter(Boolean);
}

/**
 * What choosing the rule gives up; for a rule that is not one of those, what it is.
 * @param {string} rule
 * @param {Sheet} sheet
 * @param {Units} units
 */
function wordsOf(rule, sheet, units) {
  return sheet.by_rules?.find((each) => each.rule === rule)?.words[units] || ruleWords(rule);
}
