import type { Colour, Picture, PictureMark } from './picture.js';
import { pixelAdvance, pixelGlyph, pixelHeight } from './pixel-font.js';
import { encodePng } from './png.js';

class Canvas {
  readonly rgb: Uint8Array;

  constructor(
    readonly width: number,
    readonly height: number,
    readonly scale: number,
  ) {
    this.rgb = new Uint8Array(3 * width * height).fill(255);
  }

  /** Lays a colour over a pixel, `share` of it. */
  blend(x: number, y: number, [red, green, blue]: Colour, share: number): void {
    if (x < 0 || y < 0 || x >= this.width || y >= this.height || share <= 0) return;
    const at = 3 * (y * this.width + x);
    const keep = 1 - Math.min(1, share);
    this.rgb[at] = Math.round(this.rgb[at]! * keep + red * (1 - keep));
    this.rgb[at + 1] = Math.round(this.rgb[at + 1]! * keep + green * (1 - keep));
    this.rgb[at + 2] = Math.round(this.rgb[at + 2]! * keep + blue * (1 - keep));
  }

  /** Lays a colour over all pixels by how far `distance` (in pixels, of a pixel's middle) is inside the shape. */
  shade(box: readonly number[], colour: Colour, distance: (x: number, y: number) => number): void {
    const [xFrom, yFrom, xTo, yTo] = [Math.floor(box[0]! - 1), Math.floor(box[1]! - 1), box[2]! + 1, box[3]! + 1];
    for (let y = Math.max(0, yFrom); y <= Math.min(this.height - 1, yTo); y++) {
      for (let x = Math.max(0, xFrom); x <= Math.min(this.width - 1, xTo); x++) {
        this.blend(x, y, colour, 0.5 - distance(x + 0.5, y + 0.5));
      }
    }
  }
}

function drawLine(canvas: Canvas, mark: PictureMark & { kind: 'line' }): void {
  const { points, closed, colour } = mark;
  const s = canvas.scale;
  const half = Math.max(1, mark.widthMm * s) / 2;
  const count = points.length / 2;
  // Each pixel takes the colour once, by its nearest segment, so that joints are not darker.
  const nearest = new Map<number, number>();
  for (let i = 0; i < (closed ? count : count - 1); i++) {
    const j = (i + 1) % count;
    const [ax, ay, bx, by] = [points[2 * i]! * s, points[2 * i + 1]! * s, points[2 * j]! * s, points[2 * j + 1]! * s];
    const [dx, dy] = [bx - ax, by - ay];
    const length = dx * dx + dy * dy;
    const box = [Math.min(ax, bx) - half, Math.min(ay, by) - half, Math.max(ax, bx) + half, Math.max(ay, by) + half];
    for (let y = Math.max(0, Math.floor(box[1]! - 1)); y <= Math.min(canvas.height - 1, box[3]! + 1); y++) {
      for (let x = Math.max(0, Math.floor(box[0]! - 1)); x <= Math.min(canvas.width - 1, box[2]! + 1); x++) {
        const [px, py] = [x + 0.5 - ax, y + 0.5 - ay];
        const t = length === 0 ? 0 : Math.min(1, Math.max(0, (px * dx + py * dy) / length));
        const away = Math.hypot(px - t * dx, py - t * dy);
        if (away > half + 0.5) continue;
        const at = y * canvas.width + x;
        nearest.set(at, Math.min(nearest.get(at) ?? Infinity, away));
      }
    }
  }
  for (const [at, away] of nearest) {
    canvas.blend(at % canvas.width, Math.floor(at / canvas.width), colour, half + 0.5 - away);
  }
}

/** A convex area. */
function drawArea(canvas: Canvas, { points, fill }: PictureMark & { kind: 'area' }): void {
  const p = points.map((value) => value * canvas.scale);
  const [xs, ys] = [0, 1].map((k) => p.filter((_, i) => i % 2 === k)) as [number[], number[]];
  let twice = 0;
  for (let i = 0, j = xs.length - 1; i < xs.length; j = i++) twice += xs[j]! * ys[i]! - xs[i]! * ys[j]!;
  const turn = twice > 0 ? 1 : -1;
  canvas.shade([Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)], fill, (x, y) => {
    let outside = Number.NEGATIVE_INFINITY;
    for (let i = 0, j = xs.length - 1; i < xs.length; j = i++) {
      const [dx, dy] = [xs[i]! - xs[j]!, ys[i]! - ys[j]!];
      outside = Math.max(outside, (turn * (dy * (x - xs[j]!) - dx * (y - ys[j]!))) / Math.hypot(dx, dy));
    }
    return outside;
  });
}

function drawText(canvas: Canvas, mark: PictureMark & { kind: 'text' }): void {
  const dot = Math.max(1, Math.round((mark.highMm * canvas.scale) / pixelHeight));
  const letters = [...mark.text];
  const width = (letters.length * pixelAdvance - 1) * dot;
  const shift = { start: 0, middle: width / 2, end: width }[mark.anchor];
  const left = Math.round(mark.at[0] * canvas.scale - shift);
  const top = Math.round(mark.at[1] * canvas.scale) - pixelHeight * dot;
  const put = (colour: Colour, grow: number): void => {
    for (const [i, letter] of letters.entries()) {
      for (const [x, y] of pixelGlyph(letter)) {
        const [x0, y0] = [left + (i * pixelAdvance + x) * dot - grow, top + y * dot - grow];
        for (let k = 0; k < (dot + 2 * grow) ** 2; k++) {
          canvas.blend(x0 + (k % (dot + 2 * grow)), y0 + Math.floor(k / (dot + 2 * grow)), colour, 1);
        }
      }
    }
  };
  if (mark.halo) put(mark.halo, dot);
  put(mark.colour, 0);
}

function drawPixels(canvas: Canvas, mark: PictureMark & { kind: 'pixels' }): void {
  const ratio = mark.pixelsPerMm / canvas.scale;
  const [left, top] = [Math.round(mark.at[0] * canvas.scale), Math.round(mark.at[1] * canvas.scale)];
  for (let y = 0; y < Math.round(mark.height / ratio); y++) {
    for (let x = 0; x < Math.round(mark.width / ratio); x++) {
      const at = 4 * (Math.floor((y + 0.5) * ratio) * mark.width + Math.floor((x + 0.5) * ratio));
      const { rgba } = mark;
      if (rgba[at + 3] === 255) canvas.blend(left + x, top + y, [rgba[at]!, rgba[at + 1]!, rgba[at + 2]!], 1);
    }
  }
}

/** The picture as PNG, with its scale in it. */
export function picturePng({ widthMm, heightMm, marks }: Picture, pixelsPerMm: number): Uint8Array {
  const canvas = new Canvas(Math.ceil(widthMm * pixelsPerMm), Math.ceil(heightMm * pixelsPerMm), pixelsPerMm);
  for (const mark of marks) {
    if (mark.kind === 'rect') {
      const [x, y, w, h] = mark.box.map((value) => value * pixelsPerMm) as [number, number, number, number];
      canvas.shade([x, y, x + w, y + h], mark.fill, (px, py) => Math.max(x - px, px - x - w, y - py, py - y - h));
    } else if (mark.kind === 'line') drawLine(canvas, mark);
    else if (mark.kind === 'area') drawArea(canvas, mark);
    else if (mark.kind === 'text') drawText(canvas, mark);
    else drawPixels(canvas, mark);
  }
  return encodePng(canvas.width, canvas.height, canvas.rgb, 3, pixelsPerMm);
}
