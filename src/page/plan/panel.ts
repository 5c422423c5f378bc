import type { SurveyDocument } from '../../base/survey-document.js';
import { type PlanShape, type PlanView, planOf } from '../../sheet/plan-shapes.js';
import { el, fill } from '../dom.js';
import { segments } from '../fields.js';
import { nameInput } from '../names.js';
import type { App } from '../state.js';

/** The plan with numbers; names stand in boxes over it, to be changed where they are. */
export function planPanel(app: App): HTMLElement {
  const sheet = el('div', { class: 'plan-sheet' });
  let side: PlanView = 'mould';
  let shown: SurveyDocument['findings'] | null = null;
  const box = el(
    'div',
    { class: 'plan-box' },
    segments(
      'seen',
      [
        ['mould', 'in the mould'],
        ['board', 'face up on the board'],
      ],
      side,
      (value) => {
        side = value;
        if (app.now.survey !== null) draw(app.now.survey);
      },
    ),
    sheet,
  );
  app.watch(['survey', 'shapes', 'flat'], ({ survey, shapes, flat }) => {
    // Renaming keeps the findings, and must keep the box that is typed in. What nobody looks at is not drawn.
    const isSeen = flat || shapes === null;
    if (survey === null || !isSeen || survey.findings === shown) return;
    shown = survey.findings;
    draw(survey);
  });
  app.watch(['picked'], pick);
  return box;

  function pick(): void {
    for (const part of sheet.querySelectorAll<HTMLElement>('[data-cavity]')) {
      part.classList.toggle('on', part.dataset.cavity === String(app.now.picked));
    }
  }

  function draw(survey: SurveyDocument): void {
    const plan = planOf(survey, side);
    const high = plan.widthMm / 26;
    const svg = el(
      'svg',
      {
        viewBox: `-1 -1 ${plan.widthMm + 2} ${plan.heightMm + 2}`,
        role: 'img',
        'aria-label': `plan of the plate, ${side === 'mould' ? 'as you look into the mould' : 'pieces face up on the board'}`,
      },
      plan.hasPlate && el('rect', { class: 'plate', width: plan.widthMm, height: plan.heightMm, rx: 1 }),
      plan.shapes.map((shape) =>
        el('path', {
          class: 'opening',
          d: shape.path,
          'fill-rule': 'evenodd',
          'data-cavity': shape.number,
          onclick: () => app.set({ picked: shape.number }),
        }),
      ),
      plan.shapes.map(({ number, centre: [x, y] }) =>
        el(
          'text',
          { x, y, 'font-size': high, 'data-cavity': number, onclick: () => app.set({ picked: number }) },
          number,
        ),
      ),
    );
    const names = plan.shapes.map((shape, i) => {
      const input = nameInput(survey.cavities[i]!, app);
      place(input, shape, plan.widthMm, plan.heightMm, high);
      return input;
    });
    fill(sheet, svg, names);
    pick();
  }
}

/** Puts a name under its number, as wide as its opening, but never too narrow to be read. */
function place(
  input: HTMLElement,
  { centre: [x, y], box }: PlanShape,
  width: number,
  height: number,
  high: number,
): void {
  const wide = Math.max(box[2] - box[0], width * 0.14);
  const left = Math.min(Math.max(0, x - wide / 2), width - wide);
  input.style.left = `${((left + 1) / (width + 2)) * 100}%`;
  input.style.width = `${(wide / (width + 2)) * 100}%`;
  input.style.top = `${((y + 0.7 * high + 1) / (height + 2)) * 100}%`;
}
