/**
 * In a narrow window the messages stick to its upper end and the actions to its lower
 * one, and cover what lies there. What has the focus is kept between them.
 */

import { byId } from "./dom.js";

const OUTLINE = 4; // pixels of what shows the focus, as page.css has it
const ABOVE = ["bars"];
const BELOW = ["actions", "actions-folded"];

export function startCovered() {
  const watch = new ResizeObserver(keepInSight);
  for (const id of [...ABOVE, ...BELOW]) watch.observe(byId(id));
}

function keepInSight() {
  const above = Math.max(...ABOVE.map(coveredBy));
  const below = Math.max(...BELOW.map(coveredBy));
  const held = document.activeElement;
  const { top, bottom, height } = held.getBoundingClientRect();
  const { style } = document.documentElement;
  style.scrollPaddingTop = above ? `${above}px` : "";
  style.scrollPaddingBottom = below ? `${below}px` : "";
  if (!(above || below) || !byId("panels").contains(held) || held.id === "panels") return;
  // Taller than what is left of the window, as a whole list: that is seen well enough.
  if (height > innerHeight - above - below) return;
  if (top < above || bottom > innerHeight - below) held.scrollIntoView({ block: "nearest" });
}

function coveredBy(id) {
  const node = byId(id);
  const isSticking = getComputedStyle(node).position === "sticky" && node.offsetHeight > 0;
  return isSticking ? node.offsetHeight + OUTLINE : 0;
}
