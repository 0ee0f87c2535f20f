// Coalesce: asks about something that keeps moving. One question is under way at a time; whatever was wanted meanwhile is forgotten but for
// the last.

/**
 * @template W, A
 * @param {(wanted: W, signal: AbortSignal) => Promise<A>} ask
 * @param {(answer: A, wanted: W, last: boolean) => void} came `last`: nothing newer is wanted
 * @param {(fault: Error, wanted: W) => void} failed of the newest question only: that an older one failed is of no use to anybody
 */
export function coalesce(ask, came, failed) {
  /** @type {{wanted: W} | null} */
  let next = null;
  /** @type {AbortController | null} of the question under way */
  let flying = null;

  async function go() {
    while (next && !flying) {
      const { wanted } = next;
      const mine = new AbortController();
      next = null;
      flying = mine;
      try {
        const answer = await ask(wanted, mine.signal);
        if (!mine.signal.aborted) came(answer, wanted, !next);
      } catch (fault) {
        if (!mine.signal.aborted && !next) failed(/** @type {Error} */ (fault), wanted);
      }
      if (flying === mine) flying = null;
    }
  }

  return {
    /** @param {W} wanted */
    after(wanted) {
      next = { wanted };
      go();
    },
    /** Nobody wants an answer any more. */
    drop() {
      next = null;
      flying?.abort();
      flying = null;
    },
    /** Whether an answer is still to come. */
    behind: () => Boolean(next || flying),
  };
}
