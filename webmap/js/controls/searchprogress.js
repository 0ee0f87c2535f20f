// Search progress: how far a search has come, and a button that stops it.
/** @import { Page } from "../core/types" */
import { el } from "../core/dom.js";
import { stopSearch, watch } from "../core/longrequest.js";

/**
 * @param {Page} page @param {string} doing what is under way: "Counting the places"
 * @returns {{box: HTMLElement, run(path: string, query: Record<string, string | number>, begun?: () => void): Promise<any>, away(): void}}
 * `begun`: the service has taken the question; `away`: nobody waits for it any more
 */
export function searching(page, doing) {
  const bar = el("progress", { max: 100, "aria-label": doing });
  const figure = el("span", { class: "figure" });
  const stop = el("button", { type: "button", class: "plain stop", click: halt }, "Stop");
  const box = el("div", { class: "searching" }, el("p", {}, el("span", {}, doing + " …"), figure), bar, stop);
  const gone = new AbortController();
  let search = "";
  let halted = false;

  async function halt() {
    halted = true;
    stop.textContent = "Stopping …";
    stop.setAttribute("aria-disabled", "true");
    if (!search) return;
    try {
      await stopSearch(search);
    } catch {
      // It may have ended by itself; if not, it can be stopped again.
      stop.textContent = "Stop";
      stop.removeAttribute("aria-disabled");
    }
  }

  return {
    box,
    run: (path, query, begun) =>
      watch(
        path,
        query,
        {
          begun(name) {
            search = name;
            if (halted) halt();
            else page.say(doing + ".");
            begun?.();
          },
          progress(done, total) {
            const percent = total ? Math.floor((100 * done) / total) : 0;
            bar.value = percent;
            figure.textContent = percent + "\u00a0%";
          },
        },
        gone.signal,
      ),
    away: () => gone.abort(),
  };
}
