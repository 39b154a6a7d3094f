/** How lines are drawn on the screen: weight, dashes and colour together. */

import { svg } from "./dom.js";

/** Pixels for one millimetre of paper: the pen of a run is 1 mm there. */
const PIXELS = 5;

/**
 * Okabe and Ito's colours that keep 3:1 on a dark ground, in the place of those that
 * keep it on white (Color Universal Design, 2002; contrast by WCAG 2.2, 1.4.11).
 */
const ON_DARK = {
  "#0072B2": "#56B4E9",
  "#D55E00": "#E69F00",
  "#009E73": "#009E73",
  "#CC79A7": "#CC79A7",
  "#000000": "#F0E442",
};

/** Dashes of a run's pen in pixels. */
export function dashesOf(run) {
  return run.dashes.length ? run.dashes.map((one) => one * PIXELS).join(" ") : null;
}

/** Give an element the colour of a run, in both colour schemes. */
export function colourLike(node, run) {
  node.style.setProperty("--pen", run.colour);
  node.style.setProperty("--pen-dark", ON_DARK[run.colour] ?? run.colour);
}

/** A short line as the picture draws it, for lists. */
export function sample(finish, run) {
  const line = svg("path", {
    d: "M2 8H38",
    class: run ? "run-line" : `edge-line is-${finish}`,
    "stroke-dasharray": run ? dashesOf(run) : null,
  });
  if (run) colourLike(line, run);
  return svg(
    "svg",
    { class: "sample", viewBox: "0 0 40 16", width: 40, height: 16, "aria-hidden": "true" },
    line,
  );
}

/** What a finish means, for the legend. */
export const FINISH_WORDS = {
  bound: "bound with tape; the letter is that of its run",
  seam: "sewn to another edge",
  fold: "lies on the fold of the fabric",
  hem: "turned under",
  facing: "faced",
  raw: "left as it is cut",
};
