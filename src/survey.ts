import type { Finding } from './base/finding.js';
import { bySeverity } from './base/finding.js';
import { largestFirst } from './base/limiter.js';
import type { MeshSource, TaskOptions } from './base/source.js';
import type { CavityRecord, HollowRecord, PlateForm, SurveyDocument } from './base/survey-document.js';
import { type LengthUnit, mmPerUnit } from './base/units.js';
import { depthLimitMm } from './cavity/deep-parts.js';
import type { FillBody } from './cavity/fill-body.js';
import { findHollows } from './cavity/find-hollows.js';
import { joinedPits } from './cavity/joined-pits.js';
import { rimOutline } from './cavity/rim-outline.js';
import type { HollowRole } from './cavity/roles.js';
import { settleLand } from './cavity/settle-land.js';
import { coarseLand } from './measure/coarse-land.js';
import { type Cavity, collectCavities } from './measure/collect-cavities.js';
import { assumptions, type EdgeSettings } from './measure/edge-settings.js';
import { flashBands } from './measure/flash-band.js';
import { nearestGaps } from './measure/gaps.js';
import { joinFindings } from './measure/join-findings.js';
import { landArea, shapeOfLand } from './measure/land.js';
import { landHoles } from './measure/land-holes.js';
import { measureAllEdges } from './measure/measure-all-edges.js';
import type { EdgeLimits, EdgeMeasures } from './measure/measure-edges.js';
import { measureHollow } from './measure/measure-hollow.js';
import { type NamedCavity, namedCavities } from './measure/named-cavities.js';
import { overlapFindings } from './measure/overlap-findings.js';
import { spacingFindings, tiltFindings } from './measure/plate-findings.js';
import type { EdgeProfile } from './measure/taper.js';
import type { ThicknessMap } from './measure/thickness.js';
import type { ThinZone } from './measure/thin-zones.js';
import { totalUncertainty } from './measure/total-uncertainty.js';
import { bodyFindings } from './measure/volume-findings.js';
import { flawFindings, wallFlaws, withFlaws } from './measure/wall-flaws.js';
import { mendMesh } from './mesh/mend.js';
import { boxSides, type TriangleMesh } from './mesh/triangle-mesh.js';
import { noCavities } from './plate/faults.js';
import { findPlate, type Plate } from './plate/find-plate.js';
import { pieceMotion } from './plate/lay-pieces.js';
import { isPlausibleLength, unitQuestion } from './plate/unit.js';
import type { NameList } from './reading/name-list.js';
import { type MeshFile, readMesh } from './reading/read-mesh.js';

export interface SurveyOptions extends TaskOptions {
  /** The file's unit, where the file does not say it or says it wrongly. */
  readonly unit?: LengthUnit | undefined;
  readonly form?: PlateForm | undefined;
  /** Width of the flash band, mm. */
  readonly bandMm?: number | undefined;
  /** Roles set by the person: by cavity number, or by the name of a left-out hollow (`key1`). */
  readonly roles?: Readonly<Record<string, HollowRole>> | undefined;
  readonly scrape?: 'flat' | 'bowed' | undefined;
  /** Names from a person's list; where it is silent, those of the file's objects. */
  readonly names?: NameList | undefined;
  /** Part pits that a channel joins at its narrowest place: each is a cavity of its own. */
  readonly split?: boolean | undefined;
  /** Volumes, openings, rims and depth only. */
  readonly quick?: boolean | undefined;
  /** What the judgement of edges depends on: way of casting, tear strength, pull and so on; null leaves edges out. */
  readonly edges?: EdgeSettings | null | undefined;
}

export interface SurveyResult {
  readonly document: SurveyDocument;
  /** The plate's mesh in the plate frame; its surface faces up out of the mould in every form. */
  readonly plateMesh: TriangleMesh;
  readonly outline: Float64Array;
  readonly cavities: readonly {
    readonly number: number;
    readonly body: FillBody | null;
    /** Thickness over the wall; null where it was not measured. */
    readonly thickness: ThicknessMap | null;
    /** Thickness of the edge round the rim, and where it is thin; null where it was not measured. */
    readonly profile: EdgeProfile | null;
    readonly zones: readonly ThinZone[] | null;
    readonly edgeLimits: EdgeLimits | null;
  }[];
}

export const defaultBandMm = 3;

/** Up to here a survey is done in one thread: others would start later than it ends. */
const fewTriangles = 150_000;

/**
 * The survey of a mould: reads the mesh, finds the plate and its cavities and measures them.
 * @throws Fault where the file cannot be read or holds no plate
 * @throws the signal's reason where it was aborted
 */
export async function survey(source: MeshSource, options: SurveyOptions = {}): Promise<SurveyResult> {
  const file = await readMesh(source, { signal: options.signal, progress: options.progress });
  return surveyMesh(source.name, file, options);
}

/** The survey of a mesh that was read already. The mesh is moved into the plate frame in place. */
export async function surveyMesh(name: string, file: MeshFile, options: SurveyOptions = {}): Promise<SurveyResult> {
  const stage = stages(options);
  await stage('finding the plate');
  const { plate: placed, mended, unit, unitFrom, findings } = placeInMm(file, options);
  await stage('finding the cavities');
  const land = settleLand(placed, options.scrape);
  const { plate, wall, noiseMm, flatnessMm, cells } = land;
  const whole = findHollows(plate.mesh, wall, plate.outline, depthLimitMm(noiseMm)).map((surface) =>
    joinedPits(plate.mesh, wall, surface),
  );
  const found = whole.flatMap(({ uncut, parts }) => (options.split ? parts : [uncut]));
  const { flaws: flawsFound, effectsMm3 } = wallFlaws(plate, wall, found, mended, depthLimitMm(noiseMm));
  const surfaces = found.filter((_, i) => !flawsFound[i]!.isPlateSide);
  const flaws = flawsFound.filter(({ isPlateSide }) => !isPlateSide);
  if (surfaces.length === 0) throw noCavities();
  const quick = options.quick === true;
  // A small mesh is done before a thread has started.
  const threads = file.trianglesInFile > fewTriangles ? options.threads : undefined;
  // The shape of a noisy wall is only calm on its body: a quick look leaves the body out where there is no noise.
  const bodiless = quick && wall.noiseMm === 0;
  const sizes = surfaces.map((surface) => surface.wall.length);
  const hollows = await largestFirst(sizes, threads?.size ?? 1, async (i, done) => {
    await stage('measuring the cavities', done);
    return withFlaws(await measureHollow(plate, wall, land, surfaces[i]!, bodiless, threads), flaws[i]!);
  });
  const { cavities: pieces, others, findings: roleFindings } = collectCavities(plate, hollows, options.roles ?? {});
  // Pieces that are laid in a row have no places of their own.
  const inARow = plate.pieces?.some(({ offsetMm }) => offsetMm[0] !== 0 || offsetMm[1] !== 0);
  const frame = inARow ? null : { ...plate, sha256: file.sha256 };
  const { cavities, findings: nameFindings } = namedCavities(pieces, options.names, frame);
  await stage('measuring the rims');

  const rims = cavities.map((cavity) => cavity.rimLoops);
  const otherRims = others.map((hollow) => hollow.rimLoops);
  const bandMm = options.bandMm ?? defaultBandMm;
  const flash = quick ? null : await flashBands(rims, otherRims.flat(), plate.outline, bandMm);
  const hasPlate = plate.pieces === undefined;
  const gaps = hasPlate ? nearestGaps(rims, otherRims, plate.outline) : rims.map(() => null);
  const shape = hasPlate ? shapeOfLand(plate, flatnessMm, cells) : null;
  const settings = options.edges ?? {};
  const bodies = cavities.map(({ body }) => (quick || options.edges === null ? null : body));
  const edges = await measureAllEdges(bodies, settings, { ...options, threads }, (done) =>
    stage('measuring thickness and edges', done),
  );
  const records = cavities.map((cavity, i) => cavityRecord(plate, cavity, flash?.[i] ?? null, gaps[i]!, edges[i]!));
  const airless = cavities.flatMap(({ body }, i) => (body !== null && edges[i]?.airTraps.length ? [body] : []));

  const document: SurveyDocument = {
    format: 'plateful.survey',
    version: 1,
    source: {
      file: name,
      fileFormat: file.fileFormat,
      bytes: file.bytes,
      sha256: file.sha256,
      triangles: file.trianglesInFile,
      unit,
      unitFrom,
    },
    plate: {
      form: plate.form,
      formReason: plate.formReason,
      lengthMm: hasPlate ? plate.lengthMm : null,
      widthMm: hasPlate ? plate.widthMm : null,
      landAreaMm2: hasPlate ? landArea(plate, wall) : null,
      landFlatnessMm: hasPlate ? flatnessMm : null,
      noiseMm,
      scrapeSurface: plate.scrape.kind,
      toPlate: hasPlate ? plate.toPlate : null,
      ...(shape !== null && shape.filmMm3 > 0 && { lowLandMm3: shape.filmMm3 }),
    },
    cavities: records,
    hollows: sumByRole(others),
    totals: {
      volumeMm3: total(records.map((record) => record.volumeMm3)),
      volumeUncertaintyMm3: totalUncertainty(cavities, land.level),
      openingAreaMm2: total(records.map((record) => record.openingAreaMm2)),
      flashAreaMm2: total(records.map((record) => record.flashAreaMm2)),
    },
    findings: bySeverity([
      ...findings,
      ...(shape?.findings ?? []),
      ...coarseLand(plate, noiseMm, depthLimitMm(noiseMm)),
      ...(hasPlate ? landHoles(plate, surfaces, mended) : []),
      ...bodyFindings(cavities, quick),
      ...flawFindings(cavities),
      ...overlapFindings(cavities),
      ...edges.flatMap((measured, i) =>
        (measured?.findings ?? []).map((found) => ({ ...found, cavity: cavities[i]!.number })),
      ),
      ...spacingFindings(records, bandMm, settings),
      ...(await tiltFindings(hasPlate ? airless : [], settings, { signal: options.signal })),
      ...judgedWith(options, edges),
      ...joinFindings(whole, cavities, options.split === true),
      ...roleFindings,
      ...nameFindings,
    ]),
    repairs: mended.repairs.map(({ what, count }, i) => ({ what, count, effectMm3: effectsMm3[i]! })),
  };
  return {
    document,
    plateMesh: plate.mesh,
    outline: plate.outline,
    cavities: cavities.map(({ number, body }, i) => ({
      number,
      body,
      thickness: edges[i]?.map ?? null,
      profile: edges[i]?.profile ?? null,
      zones: edges[i]?.zones ?? null,
      edgeLimits: edges[i]?.limits ?? null,
    })),
  };
}

/** By what numbers edges were judged, or why they were not. */
function judgedWith({ quick, edges: settings }: SurveyOptions, edges: readonly (EdgeMeasures | null)[]): Finding[] {
  if (quick || settings === null) {
    return [
      {
        code: 'edges-not-measured',
        severity: 'note',
        message: !quick
          ? 'Thickness, edges, undercut and air were left out of this survey.'
          : 'A quick look: volumes by one method, openings, rims and depth. The second volume, flash band, thickness, edges, undercut and air were not measured: survey again without --quick before you cast.',
      },
    ];
  }
  const assumed = edges.some((measured) => measured !== null) ? assumptions(settings ?? {}) : null;
  return assumed === null ? [] : [assumed];
}

/** Tells the stage, gives the event loop a turn, and stops where the task was aborted. */
function stages({ signal, progress }: TaskOptions) {
  return async (name: string, done = 0): Promise<void> => {
    progress?.(name, done);
    await new Promise((resolve) => setTimeout(resolve, 0));
    signal?.throwIfAborted();
  };
}

function placeInMm(file: MeshFile, options: SurveyOptions) {
  const unit = options.unit ?? file.unit ?? 'mm';
  const unitFrom = options.unit !== undefined ? 'option' : file.unit !== undefined ? 'file' : 'default';
  const { positions } = file.mesh;
  if (unitFrom === 'default') {
    // A mesh that is far too small or too large is not searched with tolerances in millimetres.
    const box = boxSides(positions).sort((a, b) => b - a);
    const diagonal = Math.hypot(...box);
    if (diagonal < 100 || diagonal > 3000) throw unitQuestion(box[0]!, box[1]!);
  }
  const factor = mmPerUnit[unit];
  if (factor !== 1) for (let i = 0; i < positions.length; i++) positions[i]! *= factor;
  const mended = mendMesh(file.mesh, file.coordinateStep * factor);
  const plate: Plate = findPlate(mended.mesh, file.coordinateStep * factor, options, mended.faces);
  const findings: Finding[] = [];
  if (unitFrom === 'default') {
    if (plate.pieces !== undefined || !isPlausibleLength(plate.lengthMm))
      throw unitQuestion(plate.lengthMm, plate.widthMm);
    findings.push({
      code: 'unit-assumed',
      severity: 'note',
      message: `The plate reads ${plate.lengthMm.toFixed(0)} x ${plate.widthMm.toFixed(0)} mm: lay a ruler on it. The file states no unit; if the ruler disagrees, give --unit.`,
    });
  }
  return { plate, mended, unit, unitFrom, findings } as const;
}

function cavityRecord(
  plate: Plate,
  cavity: NamedCavity,
  flashAreaMm2: number | null,
  nearestRimMm: number | null,
  edges: EdgeMeasures | null,
): CavityRecord {
  return {
    number: cavity.number,
    name: cavity.name,
    ...(plate.pieces !== undefined && { toPiece: pieceMotion(plate.pieces, cavity.surface.wall[0]!) }),
    centreMm: cavity.centreMm,
    boxMm: cavity.boxMm,
    volumeMm3: cavity.volumeMm3,
    volumeCheckMm3: cavity.volumeCheckMm3,
    volumeUncertaintyMm3: cavity.volumeUncertaintyMm3,
    openingAreaMm2: cavity.openingAreaMm2,
    rimLengthMm: cavity.rimLengthMm,
    wallAreaMm2: cavity.wallAreaMm2,
    flashAreaMm2: cavity.rimLoops.length === 0 ? null : flashAreaMm2,
    nearestRimMm,
    depthMm: cavity.depthMm,
    thickness: edges?.thickness ?? null,
    thinZones: edges?.thinZones ?? null,
    undercut: edges?.undercut ?? null,
    airTraps: edges?.airTraps ?? null,
    liftPointMm: edges?.liftPointMm ?? null,
    ...(cavity.rimLoops.length > 0 && { rimMm: rimOutline(cavity) }),
    ...(cavity.shapeMm !== null && { shapeMm: [...cavity.shapeMm] }),
  };
}

function sumByRole(others: readonly Cavity[]): HollowRecord[] {
  return (['key', 'gutter', 'mark'] as const)
    .map((role) => {
      const own = others.filter((hollow) => hollow.role === role);
      return { role, count: own.length, volumeMm3: own.reduce((sum, hollow) => sum + (hollow.volumeMm3 ?? 0), 0) };
    })
    .filter(({ count }) => count > 0);
}

function total(values: readonly (number | null)[]): number | null {
  let sum = 0;
  for (const value of values) {
    if (value === null) return null;
    sum += value;
  }
  return sum;
}
