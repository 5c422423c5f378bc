import { hexColour } from '../base/ramp.js';
import { type Html, html } from './html.js';
import type { Picture, PictureMark } from './picture.js';
import { encodePng } from './png.js';

const mm = (value: number): number => Math.round(value * 1000) / 1000;

function base64(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(text);
}

const path = (points: readonly number[], closed: boolean): string =>
  `M${points.map((value, i) => (i > 0 && i % 2 === 0 ? `L${mm(value)}` : mm(value))).join(' ')}${closed ? 'Z' : ''}`;

function markSvg(mark: PictureMark): Html {
  switch (mark.kind) {
    case 'rect': {
      const [x, y, w, h] = mark.box;
      return html`<rect x="${mm(x)}" y="${mm(y)}" width="${mm(w)}" height="${mm(h)}" fill="${hexColour(mark.fill)}"/>`;
    }
    case 'area':
      return html`<path d="${path(mark.points, true)}" fill="${hexColour(mark.fill)}"/>`;
    case 'line':
      return html`<path d="${path(mark.points, mark.closed ?? false)}" fill="none" stroke="${hexColour(mark.colour)}" stroke-width="${mm(mark.widthMm)}" stroke-linejoin="round" stroke-linecap="round"/>`;
    case 'text': {
      const halo =
        mark.halo &&
        html` stroke="${hexColour(mark.halo)}" stroke-width="${mm(mark.highMm * 0.35)}" stroke-linejoin="round" paint-order="stroke"`;
      // A digit is about 0.72 of the font's size high.
      return html`<text x="${mm(mark.at[0])}" y="${mm(mark.at[1])}" font-size="${mm(mark.highMm / 0.72)}" text-anchor="${mark.anchor}" fill="${hexColour(mark.colour)}"${halo}>${mark.text}</text>`;
    }
    case 'pixels': {
      const { at, width, height, pixelsPerMm, rgba } = mark;
      const png = encodePng(width, height, rgba, 4);
      return html`<image x="${mm(at[0])}" y="${mm(at[1])}" width="${mm(width / pixelsPerMm)}" height="${mm(height / pixelsPerMm)}" style="image-rendering:pixelated" href="data:image/png;base64,${base64(png)}"/>`;
    }
  }
}

/** The picture as SVG, in mm at 1:1. */
export function pictureSvg({ widthMm, heightMm, title, marks }: Picture): string {
  const [width, height] = [mm(widthMm), mm(heightMm)];
  const svg = html`<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="${height}mm" viewBox="0 0 ${width} ${height}" font-family="sans-serif" role="img"><title>${title}</title>
${marks.map((mark) => html`${markSvg(mark)}\n`)}</svg>
`;
  return svg.text;
}
