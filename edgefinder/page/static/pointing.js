/** Pointing at the picture: by mouse, by touch and by keys. */

import { keyFinish } from "./actions.js";
import { byId, svg } from "./dom.js";
import { edgesInside, markBeside, nearestEdge, oneTabStop, readOut, viewport } from "./picture.js";
import { choose, choosePlace, hover, keyOf, shown, toggle } from "./shown.js";

const STILL = 4; // pixels that a hand shakes at a click
const STEP = 60; // pixels that an arrow key moves
const CLOSER = 1.3; // factor of a key or a button
const WHEEL = 0.0015; // of the logarithm of the scale, for a pixel of the wheel

const host = byId("picture");
/** @type {Map<number, {x: number, y: number}>} */
const hands = new Map();
/** @type {{event: PointerEvent, moved: boolean, box: SVGRectElement | null} | null} */
let press = null;

export function startPointing(onPlace) {
  host.addEventListener("pointerdown", down);
  host.addEventListener("pointermove", move);
  host.addEventListener("pointerup", (event) => up(event, onPlace));
  host.addEventListener("pointercancel", cancel);
  host.addEventListener("pointerleave", () => {
    hover(null);
    readOut();
  });
  host.addEventListener("wheel", wheel, { passive: false });
  host.addEventListener("keydown", (event) => key(event, onPlace));
  host.addEventListener("focusin", (event) => {
    const mark = event.target.closest(".place");
    if (!mark) return;
    oneTabStop(mark);
    readOut(mark);
  });
  host.addEventListener("focusout", () => readOut());
  byId("closer").addEventListener("click", () => viewport.zoomAt(CLOSER));
  byId("farther").addEventListener("click", () => viewport.zoomAt(1 / CLOSER));
  byId("fit").addEventListener("click", () => viewport.fit());
  byId("several").addEventListener("click", ({ currentTarget }) => {
    const isOn = currentTarget.getAttribute("aria-pressed") === "true";
    currentTarget.setAttribute("aria-pressed", String(!isOn));
  });
}

const takesSeveral = (event) =>
  event.shiftKey || event.ctrlKey || event.metaKey ||
  byId("several").getAttribute("aria-pressed") === "true";

/** The edge that an event means: the nearest of those whose target it hits. */
function edgeAt(event) {
  const label = event.target.closest(".label[data-edge]");
  if (label) return keyOf(label);
  const target = event.target.closest(".target");
  return target ? nearestEdge(target.dataset.piece, ...viewport.pointOf(event)) : null;
}

function down(event) {
  if (event.button !== 0) return;
  hands.set(event.pointerId, { x: event.clientX, y: event.clientY });
  host.setPointerCapture(event.pointerId);
  if (hands.size > 1) {
    dropBox();
    press = null;
    return;
  }
  const isBox = event.shiftKey && !edgeAt(event) && !event.target.closest(".place");
  press = { event, moved: false, box: isBox ? svg("rect", { class: "choosing" }) : null };
  if (press.box) byId("drawing").append(press.box);
}

function move(event) {
  const before = hands.get(event.pointerId);
  if (!before) {
    if (event.pointerType !== "touch") hover(edgeAt(event));
    readOut(event.target.closest(".place"));
    return;
  }
  const now = { x: event.clientX, y: event.clientY };
  if (hands.size === 2) pinch(event.pointerId, before, now);
  else if (press) drag(event, before, now);
  hands.set(event.pointerId, now);
}

function drag(event, before, now) {
  const { clientX, clientY } = press.event;
  press.moved ||= Math.hypot(now.x - clientX, now.y - clientY) > STILL;
  if (!press.moved) return;
  if (press.box) {
    const { left, top, right, bottom } = boxBetween(press.event, event);
    const box = { x: left, y: top, width: right - left, height: bottom - top };
    for (const [name, value] of Object.entries(box)) press.box.setAttribute(name, value);
  } else {
    viewport.moveBy(now.x - before.x, now.y - before.y);
  }
}

function pinch(id, before, now) {
  const other = [...hands].find(([one]) => one !== id)[1];
  const was = Math.hypot(before.x - other.x, before.y - other.y) || 1;
  const is = Math.hypot(now.x - other.x, now.y - other.y) || 1;
  const middle = { clientX: (now.x + other.x) / 2, clientY: (now.y + other.y) / 2 };
  viewport.moveBy((now.x - before.x) / 2, (now.y - before.y) / 2);
  viewport.zoomAt(is / was, ...viewport.pixelOf(middle));
}

function boxBetween(one, other) {
  const [x1, y1] = viewport.pointOf(one);
  const [x2, y2] = viewport.pointOf(other);
  return {
    left: Math.min(x1, x2),
    top: Math.min(y1, y2),
    right: Math.max(x1, x2),
    bottom: Math.max(y1, y2),
  };
}

function up(event, onPlace) {
  hands.delete(event.pointerId);
  const pressed = press;
  press = null;
  if (!pressed) return;
  if (pressed.box) {
    pressed.box.remove();
    if (pressed.moved) {
      choose([...shown.chosen, ...edgesInside(boxBetween(pressed.event, event))]);
    }
    return;
  }
  if (pressed.moved) return;
  const mark = pressed.event.target.closest(".place");
  if (mark) {
    onPlace(Number(mark.dataset.place), false);
    return;
  }
  const key = edgeAt(pressed.event);
  if (!key) return;
  if (takesSeveral(pressed.event)) toggle(key);
  else choose([key]);
}

function cancel(event) {
  hands.delete(event.pointerId);
  dropBox();
  press = null;
}

function dropBox() {
  press?.box?.remove();
}

function wheel(event) {
  event.preventDefault();
  const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
  viewport.zoomAt(Math.exp(-event.deltaY * lines * WHEEL), ...viewport.pixelOf(event));
}

function key(event, onPlace) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const mark = event.target.closest(".place");
  const done = mark ? markKey(event.key, mark, onPlace) : pictureKey(event.key);
  if (done || keyFinish(event.key)) event.preventDefault();
}

function markKey(pressed, mark, onPlace) {
  if (pressed === "Enter" || pressed === " ") {
    onPlace(Number(mark.dataset.place), true);
    return true;
  }
  const way = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[pressed];
  if (way) {
    markBeside(mark, way)?.focus();
    return true;
  }
  return pictureKey(pressed);
}

function pictureKey(pressed) {
  const moves = {
    ArrowLeft: () => viewport.moveBy(STEP, 0),
    ArrowRight: () => viewport.moveBy(-STEP, 0),
    ArrowUp: () => viewport.moveBy(0, STEP),
    ArrowDown: () => viewport.moveBy(0, -STEP),
    "+": () => viewport.zoomAt(CLOSER),
    "=": () => viewport.zoomAt(CLOSER),
    "-": () => viewport.zoomAt(1 / CLOSER),
    0: () => viewport.fit(),
    Escape: () => {
      choose([]);
      choosePlace(null);
    },
  };
  if (!Object.hasOwn(moves, pressed)) return false;
  moves[pressed]();
  return true;
}
