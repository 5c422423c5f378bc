import type { MixDocument } from '../fill/mix-document.js';
import { Html, html, nameHtml } from './html.js';
import type { Paper } from './run-sheet-style.js';

export type WearerSide = 'left' | 'right';

/** The wearer's side as the piece's name says it: `brow left`, `brow-l`, `L_ear`; nothing where it says none or both. */
export function sideOf(name: string): WearerSide | undefined {
  const words = name.toLowerCase().split(/[^\p{L}\p{N}]+/u);
  const left = words.includes('left') || words.includes('l');
  const right = words.includes('right') || words.includes('r');
  return left === right ? undefined : left ? 'left' : 'right';
}

export interface LabelInput {
  readonly mix: MixDocument;
  /** The character's code; never the performer's name, which does not belong on a box that travels. */
  readonly character?: string | undefined;
  readonly castDate?: string | undefined;
  readonly lots?: string | undefined;
  readonly colour?: string | undefined;
  readonly way?: string | undefined;
  /** What dissolves the edge, as the barrier's sheet says. */
  readonly edgeDissolvesIn?: string | undefined;
  /** Labels for each piece; 1 where not given. */
  readonly copies?: number | undefined;
  readonly paper?: Paper | undefined;
}

const pageSize: Record<Paper, string> = { a4: 'size: A4;', letter: 'size: Letter;', any: '' };

/** Two labels across and five down, to be cut along the lines: fits A4 and Letter. */
const style = (paper: Paper): string => `
@page { ${pageSize[paper]} margin: 8mm; }
* { box-sizing: border-box; }
:root { color-scheme: light; }
body { margin: 0 auto; max-width: 196mm; background: #fff; color: #000; font: 10pt/1.25 system-ui, "Liberation Sans", Arial, sans-serif; }
ul { display: grid; grid-template-columns: 1fr 1fr; list-style: none; margin: 0; padding: 0; }
li { height: 51mm; padding: 3mm 4mm; border: 0.2mm dashed #000; margin: -0.1mm; break-inside: avoid; overflow: hidden; display: flex; flex-direction: column; }
.code { display: flex; justify-content: space-between; align-items: baseline; gap: 3mm; font-size: 20pt; font-weight: 700; line-height: 1.1; white-space: nowrap; }
.code > :first-child { flex: 1; overflow: hidden; text-overflow: ellipsis; }
.piece { font-size: 14pt; font-weight: 700; overflow: hidden; text-overflow: ellipsis; white-space: nowrap; margin-bottom: 1mm; }
dl { display: grid; grid-template-columns: max-content 1fr max-content 25mm; gap: 0.6mm 2mm; margin: 0; }
dt { white-space: nowrap; }
dd { margin: 0; font-weight: 600; min-height: 5mm; border-bottom: 0.2mm solid #000; overflow: hidden; white-space: nowrap; text-overflow: ellipsis; }
.wide { grid-column: 2 / -1; }
.grade { display: flex; gap: 5mm; margin-top: auto; }
.grade i { display: inline-block; width: 4mm; height: 4mm; border: 0.4mm solid #000; vertical-align: -0.5mm; margin-right: 1.5mm; }
@media screen { body { padding: 6mm; } }
@media screen and (max-width: 640px) { ul { grid-template-columns: 1fr; } }
`;

/** Labels for the boxes that the pieces are kept in, as one HTML file; what is not given is left to be written in. */
export function labels(input: LabelInput): string {
  const { mix, character, castDate, lots, colour, way, edgeDissolvesIn, copies = 1, paper = 'any' } = input;
  const each = mix.perCavity.flatMap((entry) => Array.from({ length: copies }, () => entry));
  const field = (value: string | undefined): Html => html`${value !== undefined && nameHtml(value, 60)}`;
  return html`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<title>Labels</title><style>${new Html(style(paper))}</style></head><body><ul>
${each.map(
  (entry) => html`<li>
<div class="code"><span>${character === undefined ? 'code ______' : nameHtml(character, 24)}</span><span>no ${entry.number}</span></div>
<div class="piece">${nameHtml(entry.name, 40)}</div>
<dl><dt>wearer's side</dt><dd>${field(sideOf(entry.name))}</dd><dt>cast</dt><dd>${field(castDate)}</dd>
<dt>lots</dt><dd>${field(lots)}</dd><dt>colour</dt><dd>${field(colour)}</dd>
<dt>way of casting</dt><dd class="wide">${field(way)}</dd>
<dt>edge dissolves in</dt><dd class="wide">${field(edgeDissolvesIn)}</dd></dl>
<div class="grade">${['hero', 'background', 'reject'].map((grade) => html`<span><i></i>${grade}</span>`)}</div>
</li>`,
)}
</ul></body></html>
`.text;
}
