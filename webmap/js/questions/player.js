// Player: the bar that plays a reel of frames: pause, a moment to drag, speed. It keeps the clock; what is drawn is somebody else's.
/** @import { Reel } from "../core/types" */
import { byId, el, put, reducedMotion, svg } from "../core/dom.js";
import { closeIcon } from "../core/icons.js";

/** Frames a second: once round the compass in 24 s, a tide of half a day in half a minute. */
const RATE = { shift: 3, tide: 2.5 };
const FAST = 4;
/** A frame that comes later than this is a tab that was away, not time that has passed. */
const MAX_STEP_S = 0.1;
/** Figures that change oftener than this cannot be read. */
const WORDS_MS = 100;

/** @param {"pause" | "go"} name */
const icon = (name) =>
  svg(
    "svg",
    { class: "icon", viewBox: "0 0 24 24", width: 24, height: 24, "aria-hidden": "true" },
    svg("path", { d: name === "pause" ? "M8 5h3v14H8zM14 5h3v14h-3z" : "M7 4.5l12.5 7.5L7 19.5z", class: "solid" }),
  );

/**
 * @param {{moved(reel: Reel, moment: number, settled: boolean): void, words(reel: Reel, moment: number): string, away(): void}} how
 * `settled`: words may be written; `away`: somebody has had enough
 */
export function player(how) {
  const box = byId("player");
  const still = reducedMotion();
  const pause = el("button", { type: "button", id: "play-pause", class: "icon-button", click: toggle });
  const scrub = el("input", {
    type: "range",
    id: "play-moment",
    min: 0,
    step: still ? 1 : 0.05,
    "aria-label": "Moment",
    input: () => {
      hold();
      seek(Number(scrub.value));
    },
  });
  const said = el("output", { id: "play-words", for: "play-moment" });
  const faster = el(
    "button",
    {
      type: "button",
      id: "play-fast",
      class: "icon-button",
      "aria-label": FAST + "× as fast",
      click: () => choose(speed === 1 ? FAST : 1),
    },
    FAST + "×",
  );
  put(
    box,
    still ? null : pause,
    el("div", { class: "moment" }, said, scrub),
    still ? null : faster,
    el(
      "button",
      { type: "button", id: "play-stop", class: "icon-button", "aria-label": "Stop playing", click: () => how.away() },
      closeIcon(),
    ),
  );

  /** @type {Reel | null} */
  let reel = null;
  let moment = 0;
  let speed = 1;
  let frame = 0;
  let before = 0;
  let written = 0;

  scrub.addEventListener("keydown", (event) => {
    // A key goes from frame to frame: what lies between them is only drawn, not worked out.
    const by = /** @type {Record<string, number>} */ ({ ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 })[event.key];
    if (!by || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    hold();
    seek(Math.round(moment) + by);
  });

  /** @param {number} now */
  function step(now) {
    if (!reel) return;
    moment += Math.min((now - before) / 1000, MAX_STEP_S) * RATE[reel.play] * speed;
    before = now;
    if (moment >= reel.last) {
      seek(reel.last);
      return hold();
    }
    frame = requestAnimationFrame(step);
    const readable = now - written >= WORDS_MS;
    if (readable) {
      written = now;
      write();
    }
    how.moved(reel, moment, readable);
  }

  function write() {
    if (!reel) return;
    const words = how.words(reel, moment);
    scrub.value = String(moment);
    scrub.setAttribute("aria-valuetext", words);
    said.textContent = words;
  }

  /** @param {number} to */
  function seek(to) {
    if (!reel) return;
    moment = Math.min(Math.max(to, 0), reel.last);
    write();
    how.moved(reel, moment, true);
    name();
  }

  function name() {
    const running = frame !== 0;
    const over = reel !== null && moment >= reel.last;
    pause.setAttribute("aria-label", running ? "Pause" : over ? "Play again" : "Go on");
    put(pause, icon(running ? "pause" : "go"));
  }

  function go() {
    if (!reel || frame) return;
    if (moment >= reel.last) moment = 0;
    before = performance.now();
    frame = requestAnimationFrame(step);
    name();
  }

  function hold() {
    cancelAnimationFrame(frame);
    frame = 0;
    name();
  }

  function toggle() {
    if (frame) hold();
    else go();
  }

  /** @param {number} next */
  function choose(next) {
    speed = next;
    faster.setAttribute("aria-pressed", String(speed === FAST));
  }
  choose(1);

  return {
    /** @param {Reel} next */
    start(next) {
      hold();
      reel = next;
      moment = 0;
      scrub.max = String(next.last);
      box.hidden = false;
      seek(0);
      if (!still) go();
      (still ? scrub : pause).focus({ preventScroll: true });
    },
    stop() {
      hold();
      reel = null;
      box.hidden = true;
    },
    /** Shows one frame and stays there. @param {number} to */
    seek(to) {
      hold();
      seek(to);
    },
    /** Writes the same moment again, in other units. */
    render: write,
    playing: () => reel !== null,
  };
}
