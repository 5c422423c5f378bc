import { plainText } from '../base/plain-text.js';
import type { FileFormat, PlateForm, SurveyDocument } from '../base/survey-document.js';
import { fixed } from './figures.js';
import { findingLines } from './findings-text.js';
import { noPaint, type Paint } from './paint.js';
import { cm2PerMm2, edgeMeasures, identity, type Measure, mainMeasures, mlPerMm3 } from './survey-columns.js';
import { labelled, table, wrap } from './table.js';

export interface SurveyTextOptions {
  /** Places a line may take; 80 where not given. */
  readonly width?: number;
  readonly paint?: Paint;
}

const formats: Record<FileFormat, string> = {
  'stl-binary': 'binary STL',
  'stl-ascii': 'ASCII STL',
  obj: 'OBJ',
  ply: 'PLY',
  '3mf': '3MF',
};
const forms: Record<PlateForm, string> = {
  mould: 'a mould block',
  scan: "a scan of a plate's face",
  sculpt: 'a sculpt on a board, turned face down',
  pieces: 'loose pieces, turned face down',
};
const unitFrom = { file: 'as the file states', option: 'as given with --unit', default: 'the file states no unit' };

function measureTable(document: SurveyDocument, measures: readonly Measure[], width: number): string[] {
  const { cavities } = document;
  const rows = cavities.map((cavity) => measures.map((measure) => measure.value(cavity)));
  const sums = measures.map((measure) => measure.sum?.(document) ?? '');
  const hasSums = cavities.length > 1 && measures.some((measure, i) => measure.sum && i > 1);
  return table(measures, rows, { width, foot: hasSums ? [sums] : [] });
}

function plateLines({ source, plate }: SurveyDocument, width: number): string[] {
  const size = plate.lengthMm === null ? '' : `${fixed(plate.lengthMm, 1)} x ${fixed(plate.widthMm, 1)} mm; `;
  const land = [
    plate.landAreaMm2 === null ? [] : [`${fixed(plate.landAreaMm2 * cm2PerMm2, 1)} cm²`],
    plate.landFlatnessMm === null ? [] : [`flat to ${fixed(plate.landFlatnessMm, 2)} mm`],
    plate.landAreaMm2 === null ? [] : [`scraped as a ${plate.scrapeSurface} surface`],
    plate.noiseMm === null ? [] : [`noise ${fixed(plate.noiseMm, 3)} mm`],
  ].flat();
  const triangles = String(source.triangles).replace(/\B(?=(\d{3})+$)/g, ' ');
  const entries: [string, string][] = [
    ['File', `${plainText(source.file)}: ${formats[source.fileFormat]}, ${triangles} triangles`],
    ['Unit', `read in ${source.unit}: ${unitFrom[source.unitFrom]}`],
    ['Plate', `${size}${plate.formReason === undefined ? forms[plate.form] : plainText(plate.formReason)}`],
    ...(land.length > 0 ? [['Land', land.join(', ')] as [string, string]] : []),
  ];
  return entries.flatMap(([label, text]) => labelled(label, text, width));
}

function hollowLine({ hollows }: SurveyDocument): string[] {
  if (hollows.length === 0) return [];
  const parts = hollows.map(
    ({ role, count, volumeMm3 }) => `${count} ${role}${count === 1 ? '' : 's'} ${fixed(volumeMm3 * mlPerMm3, 2)} ml`,
  );
  return [`Not filled: ${parts.join(', ')}`];
}

const edgeLegend =
  'Least and median: beyond the feathered edge. 0.5 mm in: how thick the edge is that far in from the rim.';

const placeLegend = "x and y are mm from the plate's bottom left corner as one looks into the mould.";

/** The survey as a person at the bench reads it. Ends with a line end. */
export function surveyText(document: SurveyDocument, { width = 80, paint = noPaint }: SurveyTextOptions = {}): string {
  const { cavities, findings, repairs } = document;
  const lines = plateLines(document, width);
  const heading = (text: string): void => void lines.push('', paint.strong(text));

  if (cavities.length > 0) {
    lines.push('', ...measureTable(document, [...identity, ...mainMeasures(cavities)], width));
    const edges = edgeMeasures.filter((measure) => cavities.some((cavity) => measure.known?.(cavity)));
    if (edges.length > 0) {
      heading('Thickness and edges');
      lines.push(
        ...measureTable(document, [...identity, ...edges], width),
        ...wrap(edgeLegend, width).map(paint.faint),
      );
    }
  }
  const hollows = hollowLine(document);
  if (hollows.length > 0) lines.push('', ...hollows.flatMap((line) => wrap(line, width)));
  if (repairs.length > 0) {
    heading('Repairs');
    for (const { what, count, effectMm3 } of repairs) {
      const effect = effectMm3 === null ? '' : `, ${fixed(effectMm3, 1)} mm³`;
      lines.push(...wrap(`${plainText(what)}: ${count}${effect}`, width, 2));
    }
  }
  if (findings.length > 0) {
    heading('Findings');
    const nameOf = (number: number): string | undefined => cavities.find((c) => c.number === number)?.name;
    lines.push(...findingLines(findings, { width, paint, nameOf }));
    if (document.plate.form !== 'pieces' && findings.some(({ atMm }) => atMm !== undefined))
      lines.push(...wrap(placeLegend, width).map(paint.faint));
  }
  return `${lines.join('\n')}\n`;
}
