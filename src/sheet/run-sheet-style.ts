/** A4, Letter, or whatever paper the printer holds. */
export type Paper = 'a4' | 'letter' | 'any';

const pageSize: Record<Paper, string> = { a4: 'size: A4;', letter: 'size: Letter;', any: '' };

/**
 * Black on white, large figures, no colour: it hangs beside the scale, is read at arm's length, gets wet, and is copied
 * on whatever copier there is. Boxes and rules are drawn as borders, since browsers leave backgrounds off the paper.
 * @param footer short plain text for the foot of every page; letters, digits, blanks and dots only
 */
export function runSheetStyle(paper: Paper, footer: string): string {
  return `
@page { ${pageSize[paper]} margin: 12mm 12mm 15mm;
  @bottom-left { content: "${footer.replace(/[^\w .:-]/g, '')}"; font: 8pt sans-serif; }
  @bottom-right { content: counter(page) " / " counter(pages); font: 700 9pt sans-serif; } }
* { box-sizing: border-box; }
:root { color-scheme: light; }
body { margin: 0 auto; padding: 6mm; max-width: 200mm; background: #fff; color: #000;
  font: 11pt/1.35 system-ui, "Liberation Sans", Arial, sans-serif; font-variant-numeric: tabular-nums; }
h1 { font-size: 24pt; line-height: 1.1; margin: 0; overflow-wrap: anywhere; }
h2 { font-size: 15pt; margin: 8mm 0 2mm; padding-top: 1.5mm; border-top: 1.2mm solid #000; break-after: avoid; }
h3 { font-size: 12pt; margin: 4mm 0 1mm; break-after: avoid; }
p { margin: 0 0 1.5mm; }
small { font-size: 9pt; }
.head { display: flex; justify-content: space-between; align-items: end; gap: 6mm; }
.head p { margin: 0; text-align: right; white-space: nowrap; }
.key { display: flex; flex-wrap: wrap; margin: 4mm 0; padding: 0; list-style: none; border: 0.5mm solid #000; overflow: hidden; }
.key li { flex: 1 1 24mm; padding: 1.5mm 3mm; border: solid #000; border-width: 0 0.25mm 0.25mm 0; margin: 0 -0.25mm -0.25mm 0; }
.key b { display: block; font-size: 20pt; line-height: 1.15; white-space: nowrap; }
table { width: 100%; border-collapse: collapse; }
thead { display: table-header-group; }
tfoot { display: table-row-group; }
tr { break-inside: avoid; }
th { text-align: left; font-size: 9.5pt; font-weight: 600; vertical-align: bottom; border-bottom: 0.6mm solid #000; padding: 1mm 1.5mm; }
td { border-bottom: 0.2mm solid #000; padding: 0.9mm 1.5mm; vertical-align: top; overflow-wrap: anywhere; }
tfoot td { border-top: 0.6mm solid #000; border-bottom: 0; font-weight: 700; }
.n { text-align: right; white-space: nowrap; overflow-wrap: normal; }
.no { font-size: 15pt; font-weight: 700; line-height: 1; }
td.piece { min-width: 27mm; }
.big { font-size: 21pt; font-weight: 700; line-height: 1.1; }
.plans { display: grid; grid-template-columns: 1fr 1fr; gap: 5mm; }
figure { margin: 0; break-inside: avoid; }
figcaption { font-size: 10pt; margin-bottom: 1mm; }
.plan svg { display: block; width: 100%; max-height: 105mm; }
svg text { font-family: inherit; }
.batch { border: 0.6mm solid #000; padding: 2.5mm 3mm; margin: 0 0 4mm; break-inside: avoid; }
.batch h3 { margin: 0 0 1mm; font-size: 14pt; }
.batch td { vertical-align: middle; }
.day { break-inside: avoid; }
.box { display: inline-block; width: 5.5mm; height: 5.5mm; border: 0.5mm solid #000; vertical-align: middle; }
.line { display: inline-block; min-width: 22mm; height: 7mm; border-bottom: 0.3mm solid #000; vertical-align: bottom; }
.fields { display: grid; grid-template-columns: repeat(auto-fill, minmax(52mm, 1fr)); gap: 2mm 5mm; margin-top: 2mm; }
.fields span { display: flex; align-items: end; gap: 2mm; white-space: nowrap; }
.fields span::after { content: ""; flex: 1; height: 7mm; border-bottom: 0.3mm solid #000; }
.zones { display: flex; flex-wrap: wrap; gap: 5mm; }
.zone { border: 0.25mm solid #000; padding: 2mm; flex: 1 1 80mm; break-inside: avoid; }
.zone svg { display: block; max-width: 100%; margin: 1mm 0 2mm; }
ul.say { margin: 0; padding-left: 5mm; }
ul.notes { columns: 2; column-gap: 8mm; font-size: 9.5pt; margin-top: 2mm; }
ul.say li { margin-bottom: 1.2mm; break-inside: avoid; }
.stop { border: 0.8mm solid #000; padding: 1mm 2mm; font-weight: 700; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 0.5mm 4mm; margin: 0; }
dt { font-weight: 600; } dd { margin: 0; overflow-wrap: anywhere; }
@media print { body { padding: 0; max-width: none; } }
@media screen and (max-width: 640px) { .plans { grid-template-columns: 1fr; } .head { display: block; } .head p { text-align: left; } .scroll { overflow-x: auto; } }
`;
}
