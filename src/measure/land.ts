import { inBatches } from '../base/batches.js';
import type { Finding } from '../base/finding.js';
import { bowRestMm } from '../cavity/find-wall.js';
import type { WallField } from '../cavity/wall-field.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import type { Plate } from '../plate/find-plate.js';
import type { LandCells } from '../plate/land-cells.js';

/** Area of the surface that faces up in the scrape surface, without any hollow, mm². */
export function landArea(plate: Plate, wall: WallField): number {
  const { mesh } = plate;
  const bowRest = plate.scrape.kind === 'bowed' ? bowRestMm : 0;
  const band = Math.max(6 * plate.landSigmaMm, 8 * plate.coordinateStepMm, bowRest);
  let area = 0;
  inBatches(
    mesh.triangles.length,
    (from, to) => {
      area = addLand(mesh, wall.z, band, from, to, area);
    },
    3,
  );
  return area;
}

/** Adds the land among the triangles with corners `from` to `to` to an area. */
function addLand(
  { positions: p, triangles }: TriangleMesh,
  z: Float64Array,
  band: number,
  from: number,
  to: number,
  before: number,
): number {
  let area = before;
  for (let t = from; t < to; t += 3) {
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    if (z[a]! < 0 || z[b]! < 0 || z[c]! < 0) continue;
    if (Math.abs(p[3 * a + 2]!) > band || Math.abs(p[3 * b + 2]!) > band || Math.abs(p[3 * c + 2]!) > band) continue;
    const projected =
      ((p[3 * b]! - p[3 * a]!) * (p[3 * c + 1]! - p[3 * a + 1]!) -
        (p[3 * c]! - p[3 * a]!) * (p[3 * b + 1]! - p[3 * a + 1]!)) /
      2;
    if (projected > 0) area += projected;
  }
  return area;
}

/** Land lower than this under the scrape surface leaves a film that shows, mm (common practice, no source). */
const lowMm = 0.05;
/** Typical density of a silicone, g/ml, to give a film's mass a size (common practice, no source). */
const typicalDensity = 1.07;

/** What the shape of the land means for scraping, and what stays on it where it is low, mm³. */
export function shapeOfLand(
  plate: Plate,
  flatnessMm: number,
  cells: LandCells,
): { findings: Finding[]; filmMm3: number } {
  const findings: Finding[] = [];
  if (plate.scrape.kind === 'bowed') {
    findings.push({
      code: 'plate-bowed',
      severity: 'note',
      message: `The land is bowed by ${flatnessMm.toFixed(2)} mm: the scrape surface follows it. Scan and fill a soft mould in its jacket, and scrape with a blade that gives.`,
    });
  }
  let [lowArea, filmMm3, lowest, at] = [0, 0, 0, 0];
  for (let i = 0; i < cells.count; i++) {
    const gap = -cells.z[i]!;
    if (gap < lowMm) continue;
    lowArea += cells.area[i]!;
    filmMm3 += cells.area[i]! * gap;
    if (gap > lowest) [lowest, at] = [gap, i];
  }
  if (filmMm3 > 0) {
    const grams = (filmMm3 / 1000) * typicalDensity;
    findings.push({
      code: 'land-low',
      severity: 'caution',
      message: `The land is low by up to ${lowest.toFixed(2)} mm over ${(lowArea / 100).toFixed(1)} cm², most at x ${cells.x[at]!.toFixed(0)}, y ${cells.y[at]!.toFixed(0)} mm: silicone stays there as flash, about ${grams.toFixed(grams < 1 ? 2 : 1)} g (${(filmMm3 / 1000).toFixed(2)} ml) at each fill. Scrape that part twice and trim it; a mix from this survey allows for it.`,
      atMm: [cells.x[at]!, cells.y[at]!, cells.z[at]!],
    });
  }
  return { findings, filmMm3 };
}
