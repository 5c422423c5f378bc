import type { Finding } from '../base/finding.js';
import type { SurveyDocument } from '../base/survey-document.js';
import type { LengthUnit } from '../base/units.js';
import type { WayOfCasting } from '../fill/allowances.js';
import type { MixDocument } from '../fill/mix-document.js';
import type { Shelf } from '../fill/shelf/shelf.js';
import type { EdgeSettings } from '../measure/edge-settings.js';
import type { Colouring } from './picture/shader.js';
import type { Shapes } from './picture/shapes.js';
import { Store } from './store.js';

export const views = ['plate', 'scale', 'shelf', 'log', 'sheet'] as const;
export type View = (typeof views)[number];

/** A fault as it is shown: the same sentence and code as on the command line. */
export interface ShownFault {
  readonly code: string;
  readonly message: string;
  readonly where?: string | undefined;
  readonly remedy?: string | undefined;
  readonly file?: string | undefined;
}

/** The form beside the picture, as typed: empty text is 'not given'. */
export interface MixForm {
  readonly material: string;
  readonly density: string;
  readonly ratioA: string;
  readonly ratioB: string;
  readonly ratioBy: 'weight' | 'volume';
  readonly way: WayOfCasting;
  readonly fills: string;
  /** Wanted count by piece name, as typed; used instead of the fills where any is given. */
  readonly wants: Readonly<Record<string, string>>;
  readonly overfillPct: string;
  readonly cupLossG: string;
  readonly roomC: string;
  readonly vacuum: boolean;
  readonly scaleStepG: string;
  readonly scaleMaxG: string;
  readonly filmUm: string;
  readonly thinnerParts: string;
  readonly transferPct: string;
  readonly roomM3: string;
  readonly airChanges: string;
  readonly left: readonly number[];
  readonly despite: readonly string[];
}

/** A shelf as its file holds it: groups of entries, figures with their units as on the data sheet. */
export type ShelfFile = Readonly<Record<string, unknown>>;

export interface AppState {
  readonly view: View;
  readonly task: { readonly name: string; readonly stage: string; readonly done: number } | null;
  readonly fault: ShownFault | null;
  readonly say: string;
  readonly file: File | null;
  readonly unit: LengthUnit | null;
  readonly survey: SurveyDocument | null;
  readonly shapes: Shapes | null;
  /** The mesh that the survey was made from, where it is at hand. */
  readonly mesh: { readonly file: File; readonly unit: LengthUnit | null } | null;
  /** What the survey judged its edges by. */
  readonly edges: EdgeSettings;
  readonly picked: number | null;
  readonly colouring: Colouring;
  /** Thickness under which the silicone tears, as typed; null: as the survey assumes it for each piece. */
  readonly tearMm: number | null;
  readonly flat: boolean;
  readonly section: { readonly on: boolean; readonly axis: 'x' | 'y'; readonly atMm: number };
  readonly lift: number;
  readonly turned: boolean;
  readonly marks: boolean;
  readonly mixForm: MixForm;
  /** One's own materials as the file holds them, and as they were understood; null: none was opened or begun. */
  readonly shelfFile: ShelfFile | null;
  readonly shelf: Shelf | null;
  readonly shelfFault: ShownFault | null;
  /** Counts the shelves that were opened, so that the forms are drawn anew. */
  readonly shelvesOpened: number;
  /** Counts the forms of a mix that were opened, so that their boxes are drawn anew. */
  readonly formsOpened: number;
  /** The log as its file holds it: one JSON object a line. */
  readonly logText: string;
  readonly mix: MixDocument | null;
  readonly mixFault: ShownFault | null;
}

export const emptyMixForm: MixForm = {
  material: '',
  density: '',
  ratioA: '',
  ratioB: '',
  ratioBy: 'weight',
  way: 'straight',
  fills: '1',
  wants: {},
  overfillPct: '',
  cupLossG: '',
  roomC: '',
  vacuum: false,
  scaleStepG: '',
  scaleMaxG: '',
  filmUm: '',
  thinnerParts: '',
  transferPct: '',
  roomM3: '',
  airChanges: '',
  left: [],
  despite: [],
};

export function newState(): Store<AppState> {
  return new Store<AppState>({
    view: 'plate',
    task: null,
    fault: null,
    say: '',
    file: null,
    unit: null,
    survey: null,
    shapes: null,
    mesh: null,
    edges: {},
    picked: null,
    colouring: 'thickness',
    tearMm: null,
    flat: false,
    section: { on: false, axis: 'y', atMm: 0 },
    lift: 0,
    turned: true,
    marks: true,
    mixForm: emptyMixForm,
    shelfFile: null,
    shelf: null,
    shelfFault: null,
    shelvesOpened: 0,
    formsOpened: 0,
    logText: '',
    mix: null,
    mixFault: null,
  });
}

export type App = Store<AppState>;

/** The findings as they stand for the plan, once there is one: a barrier takes some of the survey's away. */
export function findingsNow({ survey, mix }: AppState): readonly Finding[] {
  return mix?.findings ?? survey?.findings ?? [];
}
