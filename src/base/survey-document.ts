import type { Finding } from './finding.js';
import type { LengthUnit } from './units.js';

/**
 * The survey document: what `survey FILE --json` prints. Lengths mm, areas mm², volumes mm³, angles degrees; every
 * number is finite. `null`: the value does not exist or cannot be trusted, and a finding says why.
 */
export interface SurveyDocument {
  format: 'plateful.survey';
  version: 1;
  source: SourceRecord;
  plate: PlateRecord;
  cavities: CavityRecord[];
  hollows: HollowRecord[];
  totals: {
    volumeMm3: number | null;
    /** Standard uncertainty of the sum; absent in documents that were saved before it was stated. */
    volumeUncertaintyMm3?: number | null;
    openingAreaMm2: number | null;
    flashAreaMm2: number | null;
  };
  findings: Finding[];
  repairs: RepairRecord[];
}

export type FileFormat = 'stl-binary' | 'stl-ascii' | 'obj' | 'ply' | '3mf';
export type PlateForm = 'mould' | 'scan' | 'sculpt' | 'pieces';

export interface SourceRecord {
  file: string;
  fileFormat: FileFormat;
  bytes: number;
  sha256: string;
  triangles: number;
  unit: LengthUnit;
  unitFrom: 'file' | 'option' | 'default';
}

export interface PlateRecord {
  form: PlateForm;
  /** Why this form, in one line. */
  formReason?: string;
  lengthMm: number | null;
  widthMm: number | null;
  landAreaMm2: number | null;
  landFlatnessMm: number | null;
  noiseMm: number | null;
  scrapeSurface: 'flat' | 'bowed';
  /** Rigid motion from the file's millimetres to the plate frame, 4 x 4, column-major. */
  toPlate: number[] | null;
  /** Silicone that stays on land that lies low under the scrape surface, at each fill; absent where there is none. */
  lowLandMm3?: number;
}

export interface CavityRecord {
  number: number;
  name: string;
  /** A loose piece's own frame: rigid motion from the file's millimetres, 4 x 4, column-major. */
  toPiece?: number[];
  centreMm: [number, number];
  /** xMin, yMin, zMin, xMax, yMax, zMax in the plate frame. */
  boxMm: [number, number, number, number, number, number];
  volumeMm3: number | null;
  volumeCheckMm3: number | null;
  volumeUncertaintyMm3: number | null;
  openingAreaMm2: number | null;
  rimLengthMm: number | null;
  wallAreaMm2: number | null;
  flashAreaMm2: number | null;
  nearestRimMm: number | null;
  depthMm: number | null;
  thickness: ThicknessRecord | null;
  thinZones: ThinZoneRecord[] | null;
  undercut: UndercutRecord | null;
  airTraps: AirTrapRecord[] | null;
  liftPointMm: [number, number, number] | null;
  /** The rim in plan, for pictures: one closed loop an entry, x, y per point; absent where no fill body was made. */
  rimMm?: number[][];
  /** How the fill is spread in plan, by which a later scan's cavity is known again: seven lengths, see `fillShape`. */
  shapeMm?: number[];
}

export interface ThicknessRecord {
  minMm: number | null;
  maxMm: number | null;
  medianMm: number | null;
  edgeAngleDeg: number | null;
  taper: TaperStation[] | null;
}

export interface TaperStation {
  inMm: number;
  p10Mm: number;
  medianMm: number;
  p90Mm: number;
}

export interface ThinZoneRecord {
  areaMm2: number;
  reachMm: number;
  rimSpanMm: number;
  minMm: number;
  inner: boolean;
  atMm: [number, number, number];
}

export interface UndercutRecord {
  volumeMm3: number;
  overhangMm: number | null;
  neckMm: number | null;
  stretchPct: number | null;
}

export interface AirTrapRecord {
  volumeMm3: number;
  atMm: [number, number, number];
}

export interface HollowRecord {
  role: 'key' | 'gutter' | 'mark';
  count: number;
  volumeMm3: number;
}

export interface RepairRecord {
  what: string;
  count: number;
  effectMm3: number | null;
}
