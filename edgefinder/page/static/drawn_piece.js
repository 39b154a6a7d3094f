/** Drawing one piece from the coordinates of the state; nothing is measured here. */

import { svg } from "./dom.js";
import { colourLike, dashesOf } from "./pens.js";
import { edgeKey, titleOf } from "./shown.js";

/**
 * Something of one size on the screen, at a place of the drawing.
 *
 * @typedef {{node: SVGElement, x: number, y: number, turn?: number}} Anchored
 */

/** @param {import("./types.js").Line} line */
function pathOf(line, closes = false) {
  let path = "";
  for (let i = 0; i < line.length; i += 2) {
    path += `${i ? "L" : "M"}${line[i]} ${line[i + 1]}`;
  }
  return closes ? `${path}Z` : path;
}

/** What is said of an edge when it is pointed at. */
export function edgeWords(piece, edge, runs) {
  const title = titleOf(edgeKey(piece, edge));
  const names = edge.runs.map((index) => runs[index]?.name).filter(Boolean);
  const finish = names.length ? `bound in ${names.join(", ")}` : edge.finish;
  return `${title}: ${finish}, ${edge.length}`;
}

/**
 * @param {import("./types.js").Piece} piece
 * @param {import("./types.js").Run[]} runs by their index
 * @param {Anchored[]} anchored takes what has one size on the screen
 * @returns {SVGGElement}
 */
export function drawnPiece(piece, runs, anchored) {
  const outline = piece.outlines.map((line) => pathOf(line, true)).join("");
  return svg(
    "g",
    { class: "piece", transform: `translate(${piece.x} ${piece.y})` },
    svg("path", { class: "cloth", d: outline }, svg("title", {}, piece.name)),
    ...piece.edges.map((edge) =>
      svg("path", {
        class: "edge-ring",
        d: pathOf(edge.line),
        "data-piece": piece.name,
        "data-label": edge.label,
      })
    ),
    ...piece.bound.map(({ line }) => svg("path", { class: "run-case", d: pathOf(line) })),
    svg("g", { class: "bands", "data-piece": piece.name }, ...drawnBands(piece.bands)),
    ...grain(piece, anchored),
    ...piece.edges.map((edge) => edgeLine(edge)),
    ...piece.bound.map((one) => runLine(one, runs)),
    ...notches(piece, anchored),
    ...starts(piece, anchored),
    ...piece.edges.map((edge) => target(piece, edge, runs)),
  );
}

/** @param {import("./types.js").Band[]} bands */
export function drawnBands(bands) {
  return bands.map(({ verdict, line }) =>
    svg("path", { class: `band is-${verdict.replaceAll(" ", "-")}`, d: pathOf(line, true) })
  );
}

function edgeLine(edge) {
  const finish = edge.isFold ? "fold" : edge.finish;
  const isOnRun = edge.runs.length > 0;
  const kind = isOnRun ? "edge-line is-under" : `edge-line is-${finish}`;
  return svg("path", { class: kind, d: pathOf(edge.line) });
}

function runLine({ run, line }, runs) {
  const drawn = svg("path", {
    class: "run-line",
    d: pathOf(line),
    "stroke-dasharray": runs[run] ? dashesOf(runs[run]) : null,
  });
  if (runs[run]) colourLike(drawn, runs[run]);
  return drawn;
}

function target(piece, edge, runs) {
  return svg(
    "path",
    {
      class: "target",
      d: pathOf(edge.line),
      "data-piece": piece.name,
      "data-edge": edge.number,
      "data-label": edge.label,
    },
    svg("title", {}, edgeWords(piece, edge, runs)),
  );
}

/** Where each edge starts: lengths along it are counted from there. */
function starts(piece, anchored) {
  return piece.edges.map((edge) => {
    const node = svg("rect", { class: "start", x: -3, y: -3, width: 6, height: 6 });
    anchored.push({ node, x: edge.line[0], y: edge.line[1] });
    return node;
  });
}

function notches(piece, anchored) {
  return piece.notches.map(({ at, in: inwards, place }) => {
    const node = svg(
      "g",
      { class: "notch" },
      svg("path", { d: "M0 -4.5L9 0L0 4.5Z" }),
      svg("title", {}, place),
    );
    anchored.push({ node, x: at[0], y: at[1], turn: Math.atan2(inwards[1], inwards[0]) });
    return node;
  });
}

function grain(piece, anchored) {
  if (!piece.grain) return [];
  const [x1, y1, x2, y2] = piece.grain;
  const turn = Math.atan2(y2 - y1, x2 - x1);
  const line = svg("path", { class: "grain", d: pathOf(piece.grain) });
  line.append(svg("title", {}, "grain line"));
  const heads = [[x1, y1, turn + Math.PI], [x2, y2, turn]].map(([x, y, way]) => {
    const node = svg("path", { class: "grain-head", d: "M0 0L-10 -4V4Z" });
    anchored.push({ node, x, y, turn: way });
    return node;
  });
  return [line, ...heads];
}
