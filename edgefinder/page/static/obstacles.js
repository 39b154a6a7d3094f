/** Where the pieces lie, for labels that are not to stand on them. Millimetres. */

/** @typedef {{left: number, top: number, right: number, bottom: number}} Box */

/**
 * @typedef {object} Obstacle a piece as labels see it
 * @property {string} name
 * @property {number} x
 * @property {number} y
 * @property {number} width
 * @property {number} height
 * @property {import("./types.js").Line[]} outlines from x and y
 * @property {import("./types.js").Line | null} grain
 */

/** @returns {boolean} whether a box meets the cloth of any piece but one */
export function meetsAnother(pieces, box, own) {
  return pieces.some((piece) =>
    isNear(piece, box) && piece.name !== own && liesOn(piece, box) !== "outside"
  );
}

/** Whether a box meets the box of a piece; most boxes are far from most pieces. */
function isNear({ x, y, width, height }, { left, right, top, bottom }) {
  return right >= x && left <= x + width && bottom >= y && top <= y + height;
}

/**
 * How a box lies to the cloth of a piece.
 *
 * @param {Obstacle} piece
 * @param {Box} box
 * @returns {"outside" | "across" | "inside"} of its outlines
 */
export function liesOn(piece, box) {
  if (!isNear(piece, box)) return "outside";
  const own = from(piece, box);
  if (piece.outlines.some((line) => lineMeets(line, own, true))) return "across";
  const x = (own.left + own.right) / 2;
  const y = (own.top + own.bottom) / 2;
  const turns = piece.outlines.reduce((sum, line) => sum + crossings(line, x, y), 0);
  return turns % 2 ? "inside" : "outside";
}

/** Whether a box meets the grain line of a piece. */
export function meetsGrain(piece, box) {
  return piece.grain !== null && lineMeets(piece.grain, from(piece, box), false);
}

/** A box as it lies to the upper left corner of a piece. */
function from({ x, y }, { left, right, top, bottom }) {
  return { left: left - x, right: right - x, top: top - y, bottom: bottom - y };
}

function lineMeets(line, box, closes) {
  const last = line.length - 2;
  for (let i = 0; i < last; i += 2) {
    if (partMeets(line[i], line[i + 1], line[i + 2], line[i + 3], box)) return true;
  }
  return closes && partMeets(line[last], line[last + 1], line[0], line[1], box);
}

/** Whether a straight part of a line has a point inside a box. */
function partMeets(x1, y1, x2, y2, { left, right, top, bottom }) {
  if (x1 < left && x2 < left || x1 > right && x2 > right) return false;
  if (y1 < top && y2 < top || y1 > bottom && y2 > bottom) return false;
  // What is left misses the box only if all corners lie on one side of the part.
  const side = (x, y) => (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1);
  const sides = [side(left, top), side(right, top), side(right, bottom), side(left, bottom)];
  return Math.min(...sides) <= 0 && Math.max(...sides) >= 0;
}

/** How often the ray from a point to the right crosses a closed line. */
function crossings(line, x, y) {
  let count = 0;
  for (let i = 0; i < line.length; i += 2) {
    const j = (i + 2) % line.length;
    if (line[i + 1] > y === line[j + 1] > y) continue;
    const at = (y - line[i + 1]) / (line[j + 1] - line[i + 1]);
    if (x < line[i] + at * (line[j] - line[i])) count += 1;
  }
  return count;
}
