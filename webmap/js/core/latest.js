// Latest: asks while somebody still turns a knob. The newest answer wins; one that comes late never takes its place.

/** A pause in turning after which it is asked. */
const PAUSE_MS = 80;
/** While somebody turns on and on, it is asked this often. */
const MAX_MS = 250;

/**
 * @template T
 * @param {(signal: AbortSignal) => Promise<T>} ask
 * @param {(answer: T) => void} came
 * @param {(fault: Error) => void} failed of the latest question only
 */
export function latest(ask, came, failed) {
  /** @type {Map<number, AbortController>} */
  const flying = new Map();
  let asked = 0;
  let shown = 0;
  let sentMs = -Infinity;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let pause;

  async function send() {
    const mine = ++asked;
    const control = new AbortController();
    sentMs = performance.now();
    // The one before may still come first and show the way; older ones are of no use.
    for (const [number, other] of flying) if (number < mine - 1) other.abort();
    flying.set(mine, control);
    try {
      const answer = await ask(control.signal);
      if (mine <= shown) return;
      shown = mine;
      came(answer);
    } catch (fault) {
      if (!control.signal.aborted && mine === asked && mine > shown) failed(/** @type {Error} */ (fault));
    } finally {
      flying.delete(mine);
    }
  }

  return {
    /** Something has changed. */
    soon() {
      clearTimeout(pause);
      pause = setTimeout(send, Math.max(0, Math.min(PAUSE_MS, sentMs + MAX_MS - performance.now())));
    },
    /** Nobody wants an answer any more. */
    drop() {
      clearTimeout(pause);
      shown = asked;
      for (const control of flying.values()) control.abort();
    },
    waiting: () => flying.size > 0,
  };
}
