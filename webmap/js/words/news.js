// News: what somebody else has just changed, in one line.
/** @import { News } from "../core/recordtypes" */
import { nounWords } from "./record.js";

/** So many are named. */
const NAMED = 3;

/** @param {News} news @returns {string[]} the moorings among what was changed */
export const numbersOf = ({ changed }) => (changed ?? []).filter(({ noun }) => noun === "mooring").map(({ name }) => name);

/** "Mooring 217 changed by N. N.: the pennant was worn". @param {News} news */
export function newsWords(news) {
  const numbers = numbersOf(news);
  const others = (news.changed ?? []).filter(({ noun }) => noun !== "mooring");
  const what =
    numbers.length === 1
      ? `Mooring ${numbers[0]}`
      : numbers.length
        ? `Moorings ${listed(numbers)}`
        : others.length === 1
          ? nounWords(others[0].noun, others[0].name)
          : others.length
            ? `${others.length} records`
            : "The harbor";
  return `${what} changed${news.who ? " by " + news.who : ""}${news.why ? ": " + news.why : ""}`;
}

/** @param {string[]} names */
function listed(names) {
  if (names.length <= NAMED) return names.slice(0, -1).join(", ") + " and " + names.at(-1);
  return `${names.slice(0, NAMED).join(", ")} and ${names.length - NAMED} more`;
}
