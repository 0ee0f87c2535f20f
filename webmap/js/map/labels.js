// Labels: keeps what is written on the map from colliding. Whoever asks first gets the room.
/** @import { Room } from "../core/types" */

const CELL_PX = 48;

/** @returns {Room} */
export function createRoom() {
  /** @type {Map<number, number[]>} boxes by cell, four numbers each: left, top, right, bottom */
  const cells = new Map();
  const key = (/** @type {number} */ i, /** @type {number} */ j) => i * 65536 + j;

  /**
   * @param {number} l
   * @param {number} t
   * @param {number} r
   * @param {number} b
   * @param {(boxes: number[] | undefined, key: number) => boolean} visit
   */
  function eachCell(l, t, r, b, visit) {
    for (let i = Math.floor(l / CELL_PX); i <= Math.floor(r / CELL_PX); i++) {
      for (let j = Math.floor(t / CELL_PX); j <= Math.floor(b / CELL_PX); j++) {
        const k = key(i, j);
        if (!visit(cells.get(k), k)) return false;
      }
    }
    return true;
  }

  return {
    take(x, y, width, height) {
      const l = x - width / 2;
      const r = x + width / 2;
      const t = y - height / 2;
      const b = y + height / 2;
      const free = eachCell(l, t, r, b, (boxes) => {
        for (let n = 0; boxes && n < boxes.length; n += 4) {
          if (boxes[n] < r && boxes[n + 2] > l && boxes[n + 1] < b && boxes[n + 3] > t) return false;
        }
        return true;
      });
      if (!free) return false;
      eachCell(l, t, r, b, (boxes, k) => {
        if (boxes) boxes.push(l, t, r, b);
        else cells.set(k, [l, t, r, b]);
        return true;
      });
      return true;
    },
  };
}

/**
 * Writes a text with a halo, its middle at x, y.
 * @param {CanvasRenderingContext2D} ctx
 * @param {string} text
 * @param {number} x
 * @param {number} y
 * @param {string} colour
 * @param {string} halo
 */
export function write(ctx, text, x, y, colour, halo) {
  ctx.textAlign = "center";
  ctx.textBaseline = "middle";
  ctx.lineJoin = "round";
  ctx.lineWidth = 3;
  ctx.strokeStyle = halo;
  ctx.strokeText(text, x, y);
  ctx.fillStyle = colour;
  ctx.fillText(text, x, y);
}

/** Widths that were measured before, by font and text: measuring thousands of numbers takes longer than drawing their circles. */
export function createMeasure() {
  /** @type {Map<string, number>} */
  const widths = new Map();
  /** @param {CanvasRenderingContext2D} ctx with its font set @param {string} text */
  return (ctx, text) => {
    const key = ctx.font + text;
    let width = widths.get(key);
    if (width === undefined) widths.set(key, (width = ctx.measureText(text).width));
    return width;
  };
}
