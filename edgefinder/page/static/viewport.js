/** Which part of the drawing is seen, and how large. Millimetres inside, pixels out. */

const CLOSEST = 40; // pixels to a millimetre: a thread is wider than that
const ROOM = 64; // pixels round the pieces, for labels

/** @typedef {{left: number, top: number, right: number, bottom: number}} Box */

export class Viewport {
  /**
   * @param {SVGSVGElement} drawing
   * @param {() => void} onScale called when the scale has changed
   */
  constructor(drawing, onScale) {
    this.drawing = drawing;
    this.onScale = onScale;
    /** Pixels to a millimetre. */
    this.scale = 1;
    this.x = 0;
    this.y = 0;
    /** @type {Box} */
    this.all = { left: 0, top: 0, right: 100, bottom: 100 };
    /** Pixels that labels need beside the pieces. */
    this.beside = 0;
    this.isFitted = true;
    this.measure();
    new ResizeObserver(() => this.resized()).observe(drawing);
  }

  /** Keep the size in pixels: asked for in the middle of a change, it costs a layout. */
  measure() {
    this.width = this.drawing.clientWidth || 1;
    this.height = this.drawing.clientHeight || 1;
  }

  /**
   * @param {Box} box that holds all there is to see
   * @param {number} beside pixels for labels to the left and to the right of it
   */
  setAll(box, beside) {
    this.all = box;
    this.beside = beside;
    if (this.isFitted) this.fit();
    else this.onScale();
  }

  /** Show all of it. */
  fit() {
    const { left, top, right, bottom } = this.all;
    this.isFitted = true;
    this.scale = this.scaleToFit();
    this.x = (left + right) / 2 - this.width / 2 / this.scale;
    this.y = (top + bottom) / 2 - this.height / 2 / this.scale;
    this.apply();
    this.onScale();
  }

  scaleToFit() {
    const { left, top, right, bottom } = this.all;
    const room = Math.min(ROOM, this.width / 8);
    // A long name may take no more than the half of a narrow window.
    const beside = Math.min(Math.max(room, this.beside), this.width / 4);
    const wide = Math.max(this.width - 2 * beside, 40) / Math.max(right - left, 1);
    const high = Math.max(this.height - 2 * room, 40) / Math.max(bottom - top, 1);
    return Math.min(wide, high, CLOSEST);
  }

  resized() {
    this.measure();
    if (this.isFitted) this.fit();
    else this.apply();
  }

  /** Zoom so that a place on the screen stays where it is; pixels from the corner. */
  zoomAt(factor, px = this.width / 2, py = this.height / 2) {
    const least = this.scaleToFit() / 2;
    const scale = Math.min(Math.max(this.scale * factor, least), CLOSEST);
    this.x += px / this.scale - px / scale;
    this.y += py / this.scale - py / scale;
    this.scale = scale;
    this.isFitted = false;
    this.apply();
    this.onScale();
  }

  /** Move what is seen along with a hand; pixels. */
  moveBy(dx, dy) {
    this.x -= dx / this.scale;
    this.y -= dy / this.scale;
    this.isFitted = false;
    this.apply();
  }

  /** Bring a point of the drawing into the middle. */
  centre(x, y) {
    this.x = x - this.width / 2 / this.scale;
    this.y = y - this.height / 2 / this.scale;
    this.isFitted = false;
    this.apply();
  }

  /** Whether a point of the drawing is well inside of what is seen. */
  shows(x, y) {
    const px = (x - this.x) * this.scale;
    const py = (y - this.y) * this.scale;
    return px > ROOM && py > ROOM && px < this.width - ROOM && py < this.height - ROOM;
  }

  /** Pixels from the corner of the picture, of a pointer. */
  pixelOf(event) {
    const box = this.drawing.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  }

  /** The point of the drawing under a pointer. */
  pointOf(event) {
    const [px, py] = this.pixelOf(event);
    return [this.x + px / this.scale, this.y + py / this.scale];
  }

  apply() {
    const size = `${this.width / this.scale} ${this.height / this.scale}`;
    this.drawing.setAttribute("viewBox", `${this.x} ${this.y} ${size}`);
  }
}
