import { Fault } from '../../base/fault.js';
import type { PlanFile } from '../../fill/plan/plan-file.js';
import { emptyMixForm, type MixForm } from '../state.js';

const format = 'plateful.mix-form';
export const formName = 'plateful-mix-form.json';

/** The form as a file of the job: what was typed, so that the job opens as it was left. */
export function formText(form: MixForm): string {
  return `${JSON.stringify({ format, version: 1, form }, null, 2)}\n`;
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

const choices: Partial<Record<keyof MixForm, readonly unknown[]>> = {
  way: ['straight', 'encapsulated'],
  ratioBy: ['weight', 'volume'],
};

/** Whether a value may stand where the empty form has `empty`; what the texts mean is checked as if just typed. */
function fits(key: keyof MixForm, value: unknown): boolean {
  const empty = emptyMixForm[key];
  const allowed = choices[key];
  if (allowed !== undefined) return allowed.includes(value);
  if (key === 'left') return Array.isArray(value) && value.every(Number.isInteger);
  if (key === 'despite') return Array.isArray(value) && value.every((code) => typeof code === 'string');
  if (key === 'wants') return isRecord(value) && Object.values(value).every((count) => typeof count === 'string');
  return typeof value === typeof empty;
}

/** Reads it back. @throws Fault `form-damaged` */
export function readForm(text: string): MixForm {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    value = null;
  }
  const form = isRecord(value) && value.format === format && value.version === 1 ? value.form : null;
  const keys = Object.keys(emptyMixForm) as (keyof MixForm)[];
  if (!isRecord(form) || !keys.every((key) => form[key] === undefined || fits(key, form[key]))) {
    throw new Fault({
      code: 'form-damaged',
      message: 'This is no form of a mix as the page saves it.',
      remedy: 'Leave it out, and type the mix in anew.',
    });
  }
  return Object.fromEntries(keys.map((key) => [key, form[key] ?? emptyMixForm[key]])) as unknown as MixForm;
}

const typed = (value: number | undefined): string => (value === undefined ? '' : String(value));

/** What a plan of the command line says that the form can hold; its days and deliveries it cannot. */
export function formFromPlan(plan: PlanFile, before: MixForm): MixForm {
  const counts = new Map<string, number>();
  for (const { piece, count, spares } of plan.wants) counts.set(piece, (counts.get(piece) ?? 0) + count + spares);
  return {
    ...before,
    material: plan.material ?? before.material,
    way: plan.way,
    wants: Object.fromEntries([...counts].map(([piece, count]) => [piece, String(count)])),
    overfillPct: typed(plan.overfillPct),
    cupLossG: typed(plan.cupLossG),
    roomC: typed(plan.roomC),
    vacuum: plan.vacuum,
    scaleStepG: typed(plan.scale.stepG),
    scaleMaxG: typed(plan.scale.maxG),
    filmUm: typed(plan.barrier.filmUm),
    thinnerParts: typed(plan.barrier.thinnerParts),
    transferPct: typed(plan.barrier.transferPct),
    roomM3: typed(plan.room?.volumeM3),
    airChanges: typed(plan.room?.airChangesPerH),
    despite: plan.despite,
  };
}
