import { Fault } from '../src/base/fault.js';
import type { SurveyDocument } from '../src/base/survey-document.js';
import type { PictureWall } from '../src/sheet/plan-picture.js';
import type { SurveyResult } from '../src/survey.js';
import type { Output } from './write-output.js';

/** The files a survey can write. */
export interface SurveyOutputs {
  readonly output?: readonly string[];
  readonly picture?: string;
  readonly thickness?: string;
  readonly edgeProfile?: string;
  readonly writeNames?: string;
}

const outputFormats = ['.json', '.csv', '.txt', '.ply', '.glb', '.stl', '.3mf', '.svg'] as const;
const pictureFormats = ['.svg', '.png'] as const;

/** What to write, by the ending of the file's name. */
function formatOf<Format extends string>(path: string, formats: readonly Format[]): Format {
  const format = formats.find((ending) => path.toLowerCase().endsWith(ending));
  if (format === undefined)
    throw new Fault({
      code: 'output-format',
      kind: 'usage',
      file: path,
      message: 'The ending does not say what to write.',
      remedy: `End it in ${formats.join(' or ')}.`,
    });
  return format;
}

/** Says what cannot be written before the work, not after it. */
export function checkOutputs({ output = [], picture, thickness, edgeProfile }: SurveyOutputs): void {
  for (const path of output) formatOf(path, outputFormats);
  if (picture !== undefined) formatOf(picture, pictureFormats);
  if (thickness !== undefined) formatOf(thickness, ['.svg']);
  if (edgeProfile !== undefined) formatOf(edgeProfile, ['.svg']);
}

/** The files that the options ask for, made but not yet written. */
export async function makeOutputs(
  result: SurveyResult,
  document: SurveyDocument,
  flags: SurveyOutputs,
): Promise<Output[]> {
  const outputs: Output[] = [];
  const named = result.cavities.map((cavity, i) => ({ ...cavity, name: document.cavities[i]!.name }));
  const walls = () => named.flatMap(({ name, thickness }) => (thickness === null ? [] : [{ name, ...thickness }]));
  const bodies = () => named.flatMap(({ name, body }) => (body === null ? [] : [{ name, body }]));
  for (const path of flags.output ?? []) {
    const format = formatOf(path, outputFormats);
    if (format === '.json') outputs.push({ path, data: (await import('../src/sheet/json.js')).jsonText(document) });
    if (format === '.csv') outputs.push({ path, data: (await import('../src/sheet/csv.js')).surveyCsv(document) });
    if (format === '.txt')
      outputs.push({ path, data: (await import('../src/sheet/survey-text.js')).surveyText(document) });
    if (format === '.ply') outputs.push({ path, data: (await import('../src/sheet/export-ply.js')).wallsPly(walls()) });
    if (format === '.glb') outputs.push({ path, data: (await import('../src/sheet/export-glb.js')).wallsGlb(walls()) });
    if (format === '.stl')
      outputs.push({ path, data: (await import('../src/sheet/export-bodies.js')).bodiesStl(bodies()) });
    if (format === '.3mf')
      outputs.push({ path, data: (await import('../src/sheet/export-bodies.js')).bodies3mf(bodies()) });
    if (format === '.svg') {
      const { rimsSvg } = await import('../src/sheet/export-rims.js');
      const zones = result.cavities.map(({ number, zones }) => ({ number, zones: zones ?? [] }));
      outputs.push({ path, data: rimsSvg(document, zones) });
    }
  }
  if (flags.picture !== undefined) {
    const { picturePixelsPerMm, planPicture } = await import('../src/sheet/plan-picture.js');
    const picture = planPicture(document, pictureWalls(result));
    const data =
      formatOf(flags.picture, pictureFormats) === '.svg'
        ? (await import('../src/sheet/picture-svg.js')).pictureSvg(picture)
        : (await import('../src/sheet/picture-png.js')).picturePng(picture, picturePixelsPerMm(document));
    outputs.push({ path: flags.picture, data });
  }
  if (flags.thickness !== undefined) {
    const { cavityPicture } = await import('../src/sheet/plan-picture.js');
    const { pictureSvg } = await import('../src/sheet/picture-svg.js');
    const path = flags.thickness.slice(0, -'.svg'.length);
    for (const wall of pictureWalls(result)) {
      outputs.push({ path: `${path}-${wall.number}.svg`, data: pictureSvg(cavityPicture(document, wall)) });
    }
  }
  if (flags.edgeProfile !== undefined) {
    const { edgeProfilesSvg } = await import('../src/sheet/edge-profile-svg.js');
    const profiles = named.flatMap(({ number, name, profile, edgeLimits }) =>
      profile === null || edgeLimits === null ? [] : [{ number, name, profile, ...edgeLimits }],
    );
    outputs.push({ path: flags.edgeProfile, data: edgeProfilesSvg(profiles) });
  }
  if (flags.writeNames !== undefined) {
    const { namesCsv } = await import('../src/sheet/names-csv.js');
    outputs.push({ path: flags.writeNames, data: namesCsv(document) });
  }
  return outputs;
}

/** Each cavity's wall with its thickness, or, where none was measured, the bare wall, which shows by its depth. */
function pictureWalls(result: SurveyResult): PictureWall[] {
  return result.cavities.flatMap(({ number, body, thickness }): PictureWall[] => {
    if (thickness !== null) return [{ number, ...thickness }];
    if (body === null) return [];
    return [{ number, positions: body.positions, triangles: body.triangles.subarray(0, 3 * body.wallTriangles) }];
  });
}
