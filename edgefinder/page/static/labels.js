/**
 * Where labels stand: outside of their edge, the same size at every scale, and never
 * over one another. The less important one of two that collide is left out.
 */

const CELL = 64; // pixels of the grid in which neighbours are looked for
const GAP = 3; // pixels between two labels
/** Pixels from the edge that are tried, one after the other. */
const AWAY = [5, 20, -7];

/**
 * @typedef {object} Label
 * @property {SVGGElement} node its middle is its origin, its unit a pixel
 * @property {number} x of what it belongs to, millimetres
 * @property {number} y
 * @property {number} outX direction in which it stands
 * @property {number} outY
 * @property {number} width pixels
 * @property {number} height
 * @property {number} rank the smallest is the most important
 * @property {{width: number, y: number}} [within] of a piece, millimetres: if it is not
 *   as wide as the label, that stands over its upper end
 */

/**
 * Place labels for a scale.
 *
 * @param {Label[]} labels
 * @param {number} scale pixels to a millimetre
 */
export function placeLabels(labels, scale) {
  const taken = new Map();
  for (const label of [...labels].sort((a, b) => a.rank - b.rank)) {
    const spot = firstFree(label, scale, taken);
    label.node.classList.toggle("is-left-out", spot === null);
    const [x, y] = spot ?? spotOf(label, scale, AWAY[0]);
    const at = `${(x / scale).toFixed(3)} ${(y / scale).toFixed(3)}`;
    label.node.setAttribute("transform", `translate(${at}) scale(${1 / scale})`);
  }
}

/** Pixels beside the pieces that the labels of edges need. */
export function roomBeside(labels) {
  const widest = Math.max(0, ...labels.map(({ outX, width }) => Math.abs(outX) * width));
  return AWAY[0] + widest + GAP;
}

function firstFree(label, scale, taken) {
  for (const [x, y] of spotsOf(label, scale)) {
    const box = {
      left: x - label.width / 2 - GAP,
      right: x + label.width / 2 + GAP,
      top: y - label.height / 2 - GAP,
      bottom: y + label.height / 2 + GAP,
    };
    const cells = cellsOf(box);
    if (cells.some((cell) => (taken.get(cell) ?? []).some((one) => meet(one, box)))) {
      continue;
    }
    for (const cell of cells) {
      if (!taken.has(cell)) taken.set(cell, []);
      taken.get(cell).push(box);
    }
    return [x, y];
  }
  return null;
}

/** Where a label may stand, the best spot first. */
function spotsOf(label, scale) {
  const { within, width } = label;
  const isWider = within && width > within.width * scale;
  const anchors = isWider ? [{ ...label, y: within.y }, label] : [label];
  return anchors.flatMap((one) => AWAY.map((away) => spotOf(one, scale, away)));
}

/** The middle of a label in pixels; its border is as far away as is asked for. */
function spotOf(label, scale, away) {
  const reach = (Math.abs(label.outX) * label.width + Math.abs(label.outY) * label.height) / 2;
  const far = away < 0 ? away - reach : away + reach;
  return [label.x * scale + label.outX * far, label.y * scale + label.outY * far];
}

function meet(a, b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

function cellsOf({ left, right, top, bottom }) {
  const cells = [];
  for (let i = Math.floor(left / CELL); i <= Math.floor(right / CELL); i += 1) {
    for (let j = Math.floor(top / CELL); j <= Math.floor(bottom / CELL); j += 1) {
      cells.push(`${i} ${j}`);
    }
  }
  return cells;
}

/** @type {CanvasRenderingContext2D | null} */
let measure = null;
const widths = new Map();

/** How wide a text is in pixels, as the labels of the picture are written. */
export function textWidth(text) {
  if (!widths.has(text)) {
    if (measure === null) {
      measure = document.createElement("canvas").getContext("2d");
      measure.font = "600 12px system-ui, sans-serif";
    }
    widths.set(text, measure.measureText(text).width);
  }
  return widths.get(text);
}
