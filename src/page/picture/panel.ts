import { fixed } from '../../sheet/figures.js';
import { el, fill } from '../dom.js';
import { button, numberField, segments, tick } from '../fields.js';
import { typedNumber } from '../mix/plan.js';
import { planPanel } from '../plan/panel.js';
import { type App, findingsNow } from '../state.js';
import { colouringNames, legend, rangeOf, tearOf } from './legend.js';
import { Marks } from './marks.js';
import { Picker } from './pick.js';
import { PlateScene } from './scene.js';
import { cutOpen, sectionView } from './section-view.js';
import { type Colouring, colourings } from './shader.js';

/** Keys over the picture; every one has a button or a slider as well. */
function keys(view: PlateScene, app: App): (event: KeyboardEvent) => void {
  const next = (step: number) => {
    const numbers = app.now.survey?.cavities.map(({ number }) => number) ?? [];
    const at = numbers.indexOf(app.now.picked ?? Number.NaN);
    const picked = numbers.at(at < 0 ? (step > 0 ? 0 : -1) : (at + step) % numbers.length);
    if (picked !== undefined) app.set({ picked });
  };
  const plain: Record<string, () => void> = {
    ArrowLeft: () => view.turn(-6, 0),
    ArrowRight: () => view.turn(6, 0),
    ArrowUp: () => view.turn(0, 6),
    ArrowDown: () => view.turn(0, -6),
    '+': () => view.zoom(0.85),
    '=': () => view.zoom(0.85),
    '-': () => view.zoom(1 / 0.85),
    f: () => view.fit(),
    t: () => view.fromAbove(),
    n: () => next(1),
    p: () => next(-1),
    Escape: () => app.set({ picked: null }),
  };
  const shifted: Record<string, () => void> = {
    ArrowLeft: () => view.shift(-0.08, 0),
    ArrowRight: () => view.shift(0.08, 0),
    ArrowUp: () => view.shift(0, 0.08),
    ArrowDown: () => view.shift(0, -0.08),
    '+': plain['+']!,
  };
  return (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const action = (event.shiftKey ? shifted : plain)[event.key];
    if (action === undefined) return;
    event.preventDefault();
    action();
  };
}

/** Tells what lies under the pointer, at most once a frame, and picks what is clicked. */
function follow(view: PlateScene, app: App, readout: HTMLElement): void {
  const picker = new Picker();
  let asked: PointerEvent | null = null;
  let pressed = { x: 0, y: 0 };
  const under = (event: PointerEvent) => {
    const box = view.canvas.getBoundingClientRect();
    return picker.at(view, event.clientX - box.left, event.clientY - box.top);
  };
  view.canvas.addEventListener('pointermove', (event) => {
    if (event.buttons !== 0 || app.now.shapes === null) return;
    if (asked === null) {
      requestAnimationFrame(() => {
        const found = asked === null ? null : under(asked);
        asked = null;
        readout.textContent =
          found === null || found.number === 0
            ? ''
            : `${found.number}: ${found.thicknessMm === null ? '' : `${fixed(found.thicknessMm, 2)} mm thick, `}${fixed(found.depthMm, 2)} mm deep${found.hiddenMm > 0.05 ? `, ${fixed(found.hiddenMm, 1)} mm under the wall` : ''}`;
      });
    }
    asked = event;
  });
  view.canvas.addEventListener('pointerleave', () => {
    readout.textContent = '';
  });
  view.canvas.addEventListener('pointerdown', ({ clientX, clientY }) => {
    pressed = { x: clientX, y: clientY };
  });
  view.canvas.addEventListener('pointerup', (event) => {
    if (event.button !== 0 || Math.hypot(event.clientX - pressed.x, event.clientY - pressed.y) > 5) return;
    const found = under(event);
    app.set({ picked: found === null || found.number === 0 ? null : found.number });
  });
}

function viewButtons(view: PlateScene): HTMLElement {
  const act = (sign: string, label: string, on: () => void) => button(sign, on, { 'aria-label': label, title: label });
  return el(
    'div',
    { class: 'view-buttons' },
    act('Fit', 'Fit the whole plate', () => view.fit()),
    act('Top', 'Top: look from above', () => view.fromAbove()),
    act('+', 'nearer', () => view.zoom(0.8)),
    act('\u2212', 'farther', () => view.zoom(1.25)),
  );
}

function toolbar(app: App, view: PlateScene): HTMLElement {
  const scale = el('div', { class: 'scale-of-colours' });
  const tear = el('div', { class: 'tear' });
  const lift = el('input', { type: 'range', min: 0, max: 1, step: 0.02, 'aria-label': 'lift the pieces out' });
  lift.addEventListener('input', () => app.set({ lift: Number(lift.value) }));
  app.watch(['lift'], (state) => {
    lift.value = String(state.lift);
  });
  app.watch(['survey', 'shapes', 'colouring', 'tearMm'], ({ survey, shapes, colouring, tearMm, edges }) => {
    if (survey === null || shapes === null) return fill(scale);
    const tearing = (number: number) =>
      tearOf(
        tearMm,
        survey.cavities.find((cavity) => cavity.number === number),
        edges,
      );
    const least = Math.min(...survey.cavities.map(({ number }) => tearing(number)));
    const range = rangeOf(colouring, survey, shapes, least);
    const known = colouring === 'depth' || colouring === 'undercut' || shapes.thickMm !== null;
    fill(scale, legend(colouring, range, known));
    tear.hidden = colouring !== 'margin';
    view.colour(known ? colouring : null, range, tearing);
  });
  fill(
    tear,
    numberField(
      'tears under',
      'mm',
      '',
      (text) => {
        const value = typedNumber(text);
        if (value === undefined) app.set({ tearMm: null });
        else if (value > 0 && value < 20) app.set({ tearMm: value });
      },
      'as judged',
    ),
  );
  return el(
    'div',
    { class: 'tools' },
    el(
      'div',
      { class: 'row' },
      segments(
        'colour',
        colourings.map((by) => [by, colouringNames[by]] as const),
        app.now.colouring,
        (colouring: Colouring) => app.set({ colouring }),
      ),
      tear,
      scale,
    ),
    el(
      'div',
      { class: 'row' },
      el('label', { class: 'lift' }, 'Lift out', lift),
      tick('face up', app.now.turned, (turned) => app.set({ turned })),
      tick('marks', app.now.marks, (marks) => app.set({ marks })),
      tick('cut open', app.now.section.on, (on) => cutOpen(app, on)),
    ),
  );
}

const keyHelp =
  'Arrow keys turn the plate, shift and arrows move it, plus and minus zoom, F shows the whole plate, T looks from above, N and P pick the next and the one before, Escape picks none.';

/** The picture of the plate, in space or as a plan. */
export function picturePanel(app: App): HTMLElement {
  const section = el('section', { class: 'panel picture', 'aria-label': 'picture of the plate' });
  const stage = el('div', { class: 'stage' });
  const plan = planPanel(app);
  const none = el('p', { class: 'none' });
  let view: PlateScene | null = null;
  try {
    const canvas = el('canvas', {
      tabindex: 0,
      role: 'application',
      'aria-label': `Plate in three dimensions. ${keyHelp}`,
    });
    view = new PlateScene(canvas);
    const marks = new Marks(view, app);
    const readout = el('output', { class: 'readout' });
    fill(stage, canvas, marks.layer, readout, viewButtons(view));
    const shown = view;
    shown.afterFrame = () => marks.place();
    canvas.addEventListener('keydown', keys(shown, app));
    follow(shown, app, readout);
    new ResizeObserver(() => shown.resize(stage.clientWidth, stage.clientHeight)).observe(stage);
    app.watch(['shapes'], ({ shapes, survey }) => {
      const { lengthMm, widthMm, form } = survey?.plate ?? { lengthMm: 200, widthMm: 150, form: 'scan' };
      shown.show(shapes, [lengthMm ?? 200, widthMm ?? 150], form === 'mould');
    });
    app.watch(['survey', 'mix', 'marks', 'lift'], (state) =>
      marks.show(state.shapes && state.survey, findingsNow(state), state.marks && state.lift === 0),
    );
    app.watch(['picked', 'survey', 'mix', 'marks', 'lift'], ({ picked }) => {
      shown.pick(picked);
      marks.pick(picked);
    });
    app.watch(['lift', 'turned', 'shapes'], (state) => shown.lift(state.lift, state.turned));
    app.watch(['section', 'survey', 'mix', 'marks', 'lift'], ({ section }) => {
      marks.cut(section.axis, section.on ? section.atMm : null);
    });
    app.watch(['section'], (state) => section.classList.toggle('is-cut', state.section.on));
    app.watch(['section', 'shapes'], (state) =>
      shown.cut(state.section.axis, state.section.on ? state.section.atMm : null),
    );
    fill(
      section,
      tabs(app),
      stage,
      plan,
      none,
      toolbar(app, shown),
      sectionView(app, (lines) => shown.outline(lines)),
      el('details', { class: 'keys' }, el('summary', {}, 'Keys'), el('p', {}, keyHelp)),
    );
  } catch (error) {
    // Without WebGL the plan, the table and the grams are all there still.
    fill(
      section,
      el(
        'p',
        { class: 'none' },
        `This browser shows no pictures in space (${error instanceof Error ? error.message : 'no WebGL'}). The plan has the same numbers.`,
      ),
      plan,
    );
    app.set({ flat: true });
  }
  app.watch(['survey', 'shapes', 'flat'], ({ survey, shapes, flat }) => {
    section.hidden = survey === null;
    const inSpace = view !== null && !flat && shapes !== null;
    section.classList.toggle('in-space', inSpace);
    stage.hidden = !inSpace;
    plan.hidden = inSpace;
    for (const part of section.querySelectorAll<HTMLElement>('.tools, .section-box, .keys')) part.hidden = !inSpace;
    none.textContent =
      !flat && shapes === null
        ? 'This survey was opened without its mesh. Open the mesh as well to see the plate in space.'
        : '';
    none.hidden = none.textContent === '';
  });
  return section;
}

function tabs(app: App): HTMLElement {
  return segments(
    'shown',
    [
      ['space', 'in space'],
      ['flat', 'as a plan'],
    ],
    app.now.flat ? 'flat' : 'space',
    (value) => app.set({ flat: value === 'flat' }),
  );
}
