/** The parts beside the picture, one at a time; only the one that is seen is drawn. */

import { byId, el } from "./dom.js";
import { shown, titleOf, whenChanged } from "./shown.js";

const TITLES = {
  edges: () => "Edges",
  runs: (state) => counted("Runs", state.runs.length),
  cloth: () => "Tapes and cloth",
  figures: () => "Figures",
  findings: (state) =>
    counted("Findings", state.findings.length + state.mistakes.length + state.missing.length),
};

/** Lists beside which the actions of chosen edges are folded, until they are wanted. */
const APART = new Set(["cloth", "figures", "findings"]);

const names = Object.keys(TITLES);
let seen = names[0];
/** @type {Map<string, () => void>} */
const drawers = new Map();
/** Panels that have not been drawn since the state changed. */
const stale = new Set();

export function startTabs() {
  const tabs = byId("tabs");
  for (const name of names) {
    tabs.append(
      el("button", {
        type: "button",
        id: `tab-${name}`,
        role: "tab",
        "aria-controls": `panel-${name}`,
        on: { click: () => showPanel(name), keydown: onKey },
      }, TITLES[name]({ runs: [], findings: [], mistakes: [], missing: [] })),
    );
  }
  showPanel(seen);
  byId("actions-unfold").addEventListener("click", () => {
    foldActions(false);
    byId("actions").focus({ preventScroll: true });
  });
  whenChanged("chosen", () => foldActions(false));
  whenChanged("state", () => {
    for (const name of names) {
      byId(`tab-${name}`).textContent = TITLES[name](shown.state);
      stale.add(name);
    }
    foldActions(byId("actions").hidden);
    drawSeen();
  });
}

/** Leave the room to the list; what is chosen stays chosen. */
function foldActions(isFolded) {
  const chosen = [...shown.chosen];
  const isNow = isFolded && chosen.length > 0;
  byId("actions").hidden = isNow;
  byId("actions-folded").hidden = !isNow;
  if (!isNow) return;
  const who = chosen.length === 1 ? titleOf(chosen[0]) : `${chosen.length} chosen edges`;
  byId("actions-unfold").textContent = `Finish ${who}`;
}

/** Have a panel drawn after every change, once it is seen. */
export function drawWhenSeen(name, draw) {
  drawers.set(name, draw);
}

export function showPanel(name) {
  if (name !== seen) foldActions(APART.has(name));
  seen = name;
  for (const one of names) {
    const tab = byId(`tab-${one}`);
    tab.setAttribute("aria-selected", String(one === name));
    tab.tabIndex = one === name ? 0 : -1;
    byId(`panel-${one}`).hidden = one !== name;
  }
  drawSeen();
}

function drawSeen() {
  if (stale.delete(seen)) drawers.get(seen)?.();
}

function onKey(event) {
  const at = names.indexOf(seen);
  const goes = {
    ArrowRight: (at + 1) % names.length,
    ArrowLeft: (at + names.length - 1) % names.length,
    Home: 0,
    End: names.length - 1,
  }[event.key];
  if (goes === undefined) return;
  event.preventDefault();
  showPanel(names[goes]);
  byId(`tab-${names[goes]}`).focus();
}

function counted(title, count) {
  return count ? `${title} (${count})` : title;
}
