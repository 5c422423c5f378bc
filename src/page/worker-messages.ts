import type { SurveyDocument } from '../base/survey-document.js';
import type { LengthUnit } from '../base/units.js';
import type { EdgeSettings } from '../measure/edge-settings.js';
import type { Shapes } from './picture/shapes.js';
import type { ShownFault } from './state.js';

/** What the page asks of the worker: one file, once. */
export interface SurveyRequest {
  readonly file: File;
  readonly unit: LengthUnit | null;
  readonly edges: EdgeSettings;
}

/** What the worker answers: progress any number of times, then one of the other two. */
export type SurveyAnswer =
  | { readonly kind: 'progress'; readonly stage: string; readonly done: number }
  | { readonly kind: 'done'; readonly document: SurveyDocument; readonly shapes: Shapes }
  | { readonly kind: 'fault'; readonly fault: ShownFault };
