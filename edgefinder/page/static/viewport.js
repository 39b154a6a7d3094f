/** Which part of the drawing is seen, and how large. Millimetres inside, pixels out. */

const CLOSEST = 40; // pixels to a millimetre: a thread is wider than that
const ROOM = 64; // pixels round the pieces, for labels
const KEPT = 48; // pixels of the pieces that no hand can move out of sight
const USUAL = 16; // pixels of the letters of a page as browsers are set when they are new

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
    /** Pixels that labels need beside the pieces, with letters of the usual size. */
    this.beside = 0;
    this.isFitted = true;
    this.isSettling = false;
    this.measure();
    new ResizeObserver(() => this.resized()).observe(drawing);
  }

  /** Keep the size in pixels: asked for in the middle of a change, it costs a layout. */
  measure() {
    this.width = this.drawing.clientWidth || 1;
    this.height = this.drawing.clientHeight || 1;
    this.top = this.drawing.getBoundingClientRect().top + scrollY;
    this.window = `${innerWidth} ${innerHeight}`;
    /** How large letters are, 1 for the usual size: they grow with those of the page. */
    this.letters = parseFloat(getComputedStyle(document.documentElement).fontSize) / USUAL || 1;
  }

  /**
   * @param {Box} box that holds all there is to see
   * @param {number} beside pixels for labels to the left and to the right of it
   * @param {boolean} isNew whether it is another drawing than before, or another size
   */
  setAll(box, beside, isNew) {
    const isOther = Object.keys(box).some((side) => box[side] !== this.all[side]);
    this.all = box;
    this.beside = beside;
    if (isNew) this.settle();
    if (isNew || (this.isFitted && isOther)) this.fit();
    else this.onScale();
  }

  /** Fit once more when the rest of the page has been laid out for a new drawing. */
  settle() {
    this.isSettling = true;
    requestAnimationFrame(() =>
      requestAnimationFrame(() => {
        this.isSettling = false;
      })
    );
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

  /** Pixels round the pieces, less in a narrow window. */
  get room() {
    return Math.min(ROOM, this.width / 8);
  }

  scaleToFit() {
    const { left, top, right, bottom } = this.all;
    const { room } = this;
    // A long name may take no more than the half of a narrow window.
    const beside = Math.min(Math.max(room, this.beside * this.letters), this.width / 4);
    const wide = Math.max(this.width - 2 * beside, 40) / Math.max(right - left, 1);
    const high = Math.max(this.height - 2 * room, 40) / Math.max(bottom - top, 1);
    return Math.min(wide, high, CLOSEST);
  }

  /** What labels may take up at this scale: pixels from the origin of the drawing. */
  bounds() {
    const { left, top, right, bottom } = this.all;
    const beside = Math.max((this.width - (right - left) * this.scale) / 2, this.room);
    const over = Math.max((this.height - (bottom - top) * this.scale) / 2, this.room);
    return {
      left: left * this.scale - beside,
      right: right * this.scale + beside,
      top: top * this.scale - over,
      bottom: bottom * this.scale + over,
    };
  }

  resized() {
    const { width, height, top, window, letters } = this;
    this.measure();
    const isInner = !this.isSettling && window === this.window && width === this.width &&
      letters === this.letters;
    const down = this.top - top;
    if (isInner && (height === this.height || this.staysPut(height, down))) {
      // What opens on the page, as a message, does not move the pieces under the hand.
      this.y += down / this.scale;
      this.apply();
    } else if (this.isFitted) {
      this.fit();
    } else {
      this.apply();
      if (letters !== this.letters) this.onScale();
    }
  }

  /** Whether the pieces may stay where they are on the screen with another height. */
  staysPut(before, down) {
    if (!this.isFitted) return true;
    if (down !== 0) return this.height > before / 2;
    const { top, bottom } = this.all;
    return (top - this.y) * this.scale >= 0 && (bottom - this.y) * this.scale <= this.height;
  }

  /** Zoom so that a place on the screen stays where it is; pixels from the corner. */
  zoomAt(factor, px = this.width / 2, py = this.height / 2) {
    const least = this.scaleToFit() / 2;
    const scale = Math.min(Math.max(this.scale * factor, least), CLOSEST);
    this.x += px / this.scale - px / scale;
    this.y += py / this.scale - py / scale;
    this.scale = scale;
    this.isFitted = false;
    this.keepSome();
    this.apply();
    this.onScale();
  }

  /** Move what is seen along with a hand; pixels. */
  moveBy(dx, dy) {
    this.x -= dx / this.scale;
    this.y -= dy / this.scale;
    this.isFitted = false;
    this.keepSome();
    this.apply();
  }

  /** No hand moves all of the pieces out of sight. */
  keepSome() {
    const { left, top, right, bottom } = this.all;
    const kept = KEPT / this.scale;
    this.x = within(this.x, left, right, this.width / this.scale, kept);
    this.y = within(this.y, top, bottom, this.height / this.scale, kept);
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

/** Where a view of a length starts, so that it keeps some of what there is to see. */
function within(start, least, most, long, wanted) {
  const kept = Math.min(wanted, most - least, long);
  return Math.min(Math.max(start, least + kept - long), most - kept);
}
