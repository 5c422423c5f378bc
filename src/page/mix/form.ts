import { plainText } from '../../base/plain-text.js';
import { assumed } from '../../fill/assumptions.js';
import { transferRangePct, typicalBarrier } from '../../fill/barrier.js';
import { genericSilicones } from '../../fill/generic-silicones.js';
import { neatRecipe } from '../../fill/recipe.js';
import type { Shelf } from '../../fill/shelf/shelf.js';
import type { Silicone } from '../../fill/silicone.js';
import { el, fill } from '../dom.js';
import { choiceField, numberField, segments, tick } from '../fields.js';
import type { App, MixForm } from '../state.js';

interface Material {
  readonly name: string;
  readonly silicone: Silicone;
}

/** What can be chosen: recipes and silicones of the shelf, then the built-in ones. */
function materials(shelf: Shelf | null): Material[] {
  const neat = (silicone: Silicone): Material => ({ name: silicone.name, silicone });
  return [
    ...(shelf?.recipes ?? []).map(({ name, silicone }) => ({ name, silicone })),
    ...(shelf?.silicones ?? []).map(neat),
    ...genericSilicones.map(neat),
  ];
}

/** The form of the mix. Every keystroke changes the plan; empty boxes show, pale, what is then taken. */
export function mixForm(app: App): HTMLElement {
  const set = (changes: Partial<MixForm>) => app.set({ mixForm: { ...app.now.mixForm, ...changes } });
  const box = el('form', { class: 'fields', onsubmit: (event: Event) => event.preventDefault() });
  const number = (label: string, unit: string, key: keyof MixForm, hint?: string | number) =>
    numberField(label, unit, String(app.now.mixForm[key]), (text) => set({ [key]: text }), hint?.toString());
  const figures = el('div', { class: 'row' });
  const spray = el('div', { class: 'row' });
  const wants = el('div', { class: 'wants fields' });

  const chosen = (): Material => {
    const known = materials(app.now.shelf);
    return known.find(({ name }) => name === app.now.mixForm.material) ?? known[0]!;
  };
  const drawFigures = () => {
    const { silicone } = chosen();
    const [a, b] = silicone.ratio;
    const density = neatRecipe(silicone).densityGPerMl.toFixed(3);
    fill(
      figures,
      number('A', 'parts', 'ratioA', a),
      number('B', 'parts', 'ratioB', b),
      number('Density mixed', 'g/ml', 'density', density),
    );
  };

  app.watch(['shelf', 'formsOpened'], ({ shelf }) => {
    const known = materials(shelf);
    if (!known.some(({ name }) => name === app.now.mixForm.material)) set({ material: known[0]!.name });
    const choices = known.map(({ name }) => [name, plainText(name)] as const);
    drawFigures();
    fill(
      box,
      choiceField('Material', choices, chosen().name, (material) => {
        // The figures of one material are not those of the next.
        const { ratioBy } = materials(app.now.shelf).find(({ name }) => name === material)!.silicone;
        set({ material, ratioBy, density: '', ratioA: '', ratioB: '' });
        drawFigures();
      }),
      figures,
      el(
        'div',
        { class: 'row' },
        segments(
          'Way of casting',
          [
            ['straight', 'straight'],
            ['encapsulated', 'encapsulated'],
          ],
          app.now.mixForm.way,
          (way) => set({ way }),
        ),
        segments(
          'Ratio by',
          [
            ['weight', 'weight'],
            ['volume', 'volume'],
          ],
          app.now.mixForm.ratioBy,
          (ratioBy) => set({ ratioBy }),
        ),
      ),
      el(
        'div',
        { class: 'row' },
        number('Fills of the plate', '', 'fills'),
        number('Overfill', '%', 'overfillPct', assumed('straight').overPct),
        number('Stays in the cup', 'g', 'cupLossG', 'by cup'),
        number('Temperature', '°C', 'roomC', 23),
      ),
      spray,
      el('details', {}, el('summary', {}, 'How many of each piece'), wants),
      el(
        'details',
        {},
        el('summary', {}, 'Scale and vacuum'),
        el(
          'div',
          { class: 'row inner' },
          number("Scale's step", 'g', 'scaleStepG', '0.1'),
          number('It carries', 'g', 'scaleMaxG', 'any'),
          tick('the mix goes under vacuum', app.now.mixForm.vacuum, (vacuum) => set({ vacuum })),
        ),
      ),
    );
  });
  app.watch(['formsOpened'], () => {
    fill(
      spray,
      number('Dry film', 'µm', 'filmUm', typicalBarrier.filmUm),
      number('Thinner to 1', 'parts', 'thinnerParts', typicalBarrier.thinnerParts),
      number('Spray that lands', '%', 'transferPct', transferRangePct.least),
      number('Room volume', 'm³', 'roomM3', '?'),
      number('Air changes', '/h', 'airChanges', 0),
    );
  });
  app.watch(['mixForm'], ({ mixForm: { way } }) => {
    spray.hidden = way === 'straight';
  });
  app.watch(['survey', 'formsOpened'], ({ survey }) => {
    if (wants.contains(document.activeElement)) return;
    const names = [...new Set(survey?.cavities.map(({ name }) => name))];
    fill(
      wants,
      el('p', { class: 'soft' }, 'Where any is given, the plate is filled as often as the scarcest piece asks for.'),
      names.map((name) =>
        numberField(plainText(name).slice(0, 40), '', app.now.mixForm.wants[name] ?? '', (text) =>
          set({ wants: { ...app.now.mixForm.wants, [name]: text } }),
        ),
      ),
    );
  });
  return box;
}
