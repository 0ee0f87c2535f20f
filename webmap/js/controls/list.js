// List: rows that open something. One Tab stop for the whole list, arrows go from row to row, long lists come in pages.
import { el, put } from "../core/dom.js";

const PAGE_ROWS = 40;

/**
 * @template T
 * @typedef {{heading: string} | {item: T}} Entry
 */

/**
 * @template T
 * @param {HTMLElement} list a ul
 * @param {{row(item: T): Node[], open(item: T): void, current?(item: T): boolean}} how
 */
export function createList(list, how) {
  /** @type {Entry<T>[]} */
  let entries = [];
  let shown = PAGE_ROWS;
  let stop = 0;
  /** @type {(string | Node)[]} */
  let empty = [];

  /** @param {number} index @param {boolean} focus */
  function rove(index, focus) {
    const rows = /** @type {HTMLButtonElement[]} */ ([...list.querySelectorAll("button")]);
    stop = Math.max(0, Math.min(index, rows.length - 1));
    rows.forEach((row, i) => {
      row.tabIndex = i === stop ? 0 : -1;
    });
    if (focus) rows[stop]?.focus();
  }

  /** @type {Map<HTMLButtonElement, T>} */
  const itemOf = new Map();

  /** @param {T} item */
  function rowOf(item) {
    const button = el("button", { type: "button", class: "row", click: () => how.open(item) }, ...how.row(item));
    itemOf.set(button, item);
    return el("li", {}, button);
  }

  /** Shows which row is current; the rows themselves stay, and the focus with them. */
  function mark() {
    for (const [button, item] of itemOf) {
      if (how.current?.(item)) button.setAttribute("aria-current", "true");
      else button.removeAttribute("aria-current");
    }
  }

  function render() {
    // What nobody sees is written when it is shown.
    if (list.hidden) return;
    const held = list.contains(document.activeElement);
    itemOf.clear();
    const items = entries
      .slice(0, shown)
      .map((entry) => ("item" in entry ? rowOf(entry.item) : el("li", { class: "heading" }, entry.heading)));
    const more = entries.length - shown;
    if (more > 0)
      items.push(
        el(
          "li",
          {},
          el("button", { type: "button", class: "row more", click: showMore }, `Show ${Math.min(more, PAGE_ROWS)} more of ${more}`),
        ),
      );
    if (!entries.length) items.push(el("li", { class: "empty" }, ...empty));
    put(list, items);
    mark();
    rove(stop, held);
  }

  function showMore() {
    const first = list.querySelectorAll("button").length - 1;
    shown += PAGE_ROWS;
    render();
    rove(first, true);
  }

  list.addEventListener("keydown", (event) => {
    /** @type {Record<string, number>} */
    const to = { ArrowDown: stop + 1, ArrowUp: stop - 1, Home: 0, End: Infinity };
    if (!(event.key in to) || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    rove(to[event.key], true);
  });
  list.addEventListener("focusin", (event) => {
    const index = [...list.querySelectorAll("button")].findIndex((row) => row === event.target);
    if (index >= 0) rove(index, false);
  });

  return {
    /** @param {Entry<T>[]} next @param {(string | Node)[]} saying what to do when there is nothing in it */
    show(next, saying) {
      entries = next;
      empty = saying;
      shown = PAGE_ROWS;
      stop = 0;
      render();
    },
    /** Writes the same rows again, in other units. */
    render,
    mark,
  };
}
