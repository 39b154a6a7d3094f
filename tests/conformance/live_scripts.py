"""What a browser is asked about the local page, as scripts."""

from typing import Final

TABS: Final = ("edges", "runs", "cloth", "figures", "findings")
"""The lists of the page."""
WAIT: Final = """
const done = arguments[arguments.length - 1];
const given = [...arguments].slice(0, -1);
const look = () => {
  const found = (function () { SCRIPT }).apply(null, given);
  if (found) done(found);
  else setTimeout(look, 10);
};
look();
"""
"""Looks from inside the page, which leaves this process to the server in it."""
SAID: Final = """
const said = document.getElementById("status").textContent;
return !document.body.hasAttribute("aria-busy") && said !== ""
  && arguments[0].every(word => said.includes(word));
"""
SHOWN: Final = """
return [...document.querySelectorAll("#status, #bars, .wrong:not([hidden])")]
  .map(one => one.textContent).join(" | ");
"""
SPOT: Final = """
const [piece, label] = arguments;
const target = [...document.querySelectorAll(".target")].find(one =>
  one.dataset.piece === piece && one.dataset.label === label);
const matrix = target.getScreenCTM(), long = target.getTotalLength();
const parts = [...Array(39).keys()].map(i => (i + 1) / 40)
  .sort((a, b) => Math.abs(a - 0.5) - Math.abs(b - 0.5));
for (const part of parts) {
  const at = target.getPointAtLength(part * long).matrixTransform(matrix);
  const hit = document.elementFromPoint(at.x, at.y);
  const seen = hit?.closest(".target, .label[data-edge], .place");
  if (seen?.classList.contains("place")) continue;
  if (seen?.dataset.piece !== piece) continue;
  if (seen.classList.contains("label") && seen.dataset.label !== label) continue;
  return [at.x, at.y];
}
return null;
"""
GROUND: Final = """
const box = document.getElementById("drawing").getBoundingClientRect();
for (let y = box.top + 12; y < box.bottom - 12; y += 8) {
  for (let x = box.left + 12; x < box.right - 12; x += 8) {
    if (document.elementFromPoint(x, y)?.id === "drawing") return [x, y];
  }
}
return null;
"""
CHOSEN: Final = """
return [...document.querySelectorAll(".edge-row input:checked")]
  .map(one => `${one.dataset.piece} ${one.dataset.label}`);
"""
FOCUS: Final = "return document.activeElement?.id ?? '';"
STOPS_TO: Final = """
const all = [...document.querySelectorAll("*")].filter(one =>
  one.tabIndex >= 0 && !one.disabled && !one.closest("[inert]") && one.checkVisibility()
  && one.matches("a, button, input, select, textarea, summary, [tabindex]"));
const here = document.activeElement;
if ((one => CONDITION)(here)) return 0;
const at = all.findIndex(one => CONDITION);
const from = all.findIndex(one => one === here);
const before = all.filter(one =>
  one.compareDocumentPosition(here) & Node.DOCUMENT_POSITION_FOLLOWING).length;
if (at < 0) return 1;
return from >= 0 ? at - from : at >= before ? at - before + 1 : at - before;
"""
"""How often the tab key is to be pressed, backwards if negative: a guess."""
ROWS_TO: Final = """
return [...document.querySelectorAll(".edge-row input")].findIndex(one =>
  one.dataset.piece === arguments[0] && one.dataset.label === arguments[1]);
"""
AT_EDGE: Final = """
return [document.activeElement.dataset.piece, document.activeElement.dataset.label];
"""
AXE: Final = """
const done = arguments[arguments.length - 1];
const rules = arguments[0];
const all = {resultTypes: ["violations", "incomplete"]};
axe.run(rules.length ? {...all, runOnly: rules} : all).then(done, error =>
  done({violations: [{id: String(error), impact: "critical", nodes: []}],
        incomplete: []}));
"""
