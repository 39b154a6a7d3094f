/** Starts the page: each part draws itself anew when the state changes. */

import { startActions } from "./actions.js";
import { inTurn, lookOutside, taken } from "./asking.js";
import { startCloth } from "./cloth_panel.js";
import { startCovered } from "./covered.js";
import { startEdgeList } from "./edge_list.js";
import { goToPlace, startFigures } from "./figures_panel.js";
import { startFiles } from "./files_list.js";
import { startFindings } from "./findings_panel.js";
import { startFirstStep } from "./first_step.js";
import { startHead } from "./head_line.js";
import { startLegend } from "./legend.js";
import { isShut, showLost } from "./notices.js";
import { startDropping } from "./opening.js";
import { startPicture } from "./picture.js";
import { startPointing } from "./pointing.js";
import { startRuns } from "./runs_panel.js";
import { getForms, getState, takeToken } from "./server.js";
import { shown } from "./shown.js";
import { drawWhenSeen, showPanel, startTabs } from "./tabs.js";

const LOOK_MS = 2000; // between two looks at what changed from outside

startHead();
startPicture();
startPointing(goToPlace);
startLegend();
startActions();
startEdgeList(drawWhenSeen);
startRuns(drawWhenSeen);
startCloth(drawWhenSeen);
startFigures(drawWhenSeen);
startFindings(drawWhenSeen);
startFirstStep();
startFiles();
startDropping();
startTabs();
startCovered();

if (takeToken()) await open();
else showLost(true);

async function open() {
  const state = await inTurn(async () => {
    shown.forms = await getForms();
    return getState("");
  });
  const isOpen = taken(state, () =>
    `${state.name || state.file} is open. Findings: ${state.findings.length}.`);
  if (!isOpen) return;
  if (state.mistakes.length || state.doubts.length || state.findings.length) showPanel("findings");
  let isLooking = false;
  setInterval(async () => {
    if (isShut() || isLooking || document.visibilityState !== "visible") return;
    isLooking = true;
    await lookOutside();
    isLooking = false;
  }, LOOK_MS);
}
