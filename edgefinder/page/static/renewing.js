/**
 * Bringing a part of the page up to date in place: an element that stays is changed, not
 * put in anew, so that the focus, a press of the mouse, what is typed and what is
 * unfolded stay with it. Elements are the same if they have one id, or stand in one
 * place without any.
 */

import { handleLike } from "./dom.js";

/** Says of a new element that the one with its id is to be left as it is. */
export const AS_IT_IS = "data-as-it-is";

/**
 * @param {HTMLElement} container
 * @param {(Node | null)[]} children
 */
export function renew(container, ...children) {
  const active = document.activeElement;
  const held = container.contains(active) ? active : null;
  renewChildren(container, children.filter((child) => child !== null));
  if (!held || held === document.activeElement) return;
  const isThere = held.isConnected && !held.disabled;
  (isThere ? held : container).focus({ preventScroll: true });
}

function renewChildren(parent, children) {
  const wanted = new Set(children.map((child) => child.id).filter(Boolean));
  let at = parent.firstChild;
  for (const child of children) {
    while (at?.id && !wanted.has(at.id)) at = removed(at);
    const same = sameAs(child, at, parent);
    if (!same) {
      parent.insertBefore(child, at);
      continue;
    }
    if (same !== at) parent.insertBefore(same, at);
    renewNode(same, child);
    at = same.nextSibling;
  }
  while (at) at = removed(at);
}

function removed(node) {
  const next = node.nextSibling;
  node.remove();
  return next;
}

/** The node that is there already for a new one, or null. */
function sameAs(child, at, parent) {
  const there = child.id
    ? [...parent.children].find((one) => one.id === child.id)
    : at && !at.id
    ? at
    : null;
  return there?.nodeName === child.nodeName ? there : null;
}

function renewNode(node, fresh) {
  if (!(node instanceof Element)) {
    if (node.data !== fresh.data) node.data = fresh.data;
    return;
  }
  if (fresh.hasAttribute(AS_IT_IS)) return;
  renewAttributes(node, fresh);
  handleLike(node, fresh);
  renewChildren(node, [...fresh.childNodes]);
  if (!("value" in node) || node.type === "file") return;
  if (node.value !== fresh.value) node.value = fresh.value;
  if (node.checked !== fresh.checked) node.checked = fresh.checked;
}

function renewAttributes(node, fresh) {
  for (const { name } of [...node.attributes]) {
    // What is unfolded is the person's choice.
    if (name !== "open" && !fresh.hasAttribute(name)) node.removeAttribute(name);
  }
  for (const { name, value } of fresh.attributes) {
    // The policy of the page takes styles from scripts, but not as an attribute.
    if (name === "style") node.style.cssText = value;
    else if (node.getAttribute(name) !== value) node.setAttribute(name, value);
  }
}
